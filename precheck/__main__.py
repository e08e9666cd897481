"""`python -m precheck` is the command `precheck`."""

from precheck.cli.main import entry

entry()
