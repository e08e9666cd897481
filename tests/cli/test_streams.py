"""Where the answer cannot be written, or nobody reads it: exit code 2, one sentence, no traceback.

/dev/full answers every write with "no space left on device".
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = {
    "gate": [
        "gate",
        "fixtures/juniper.yaml",
        "--for",
        "yard",
        "--on",
        "2026-11-14",
    ],  # GO: 0 when it is written
    "show": ["show", "floor-brake-hose"],
    "why": ["why", "fixtures/juniper.yaml", "--on", "2026-11-14"],
    "work": ["work", "fixtures/juniper.yaml", "--on", "2026-11-14"],
    "rules": ["rules", "check", "fixtures/local/county.yaml"],
}
needs_full = pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")


def run(command: list[str], redirect: str) -> tuple[int, str]:
    """One command through the shell with a redirection; its exit code and what it says in error."""
    line = f'"$0" -m precheck "$@" {redirect}'
    done = subprocess.run(
        ["bash", "-c", line, sys.executable, *command],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    return done.returncode, done.stderr


@needs_full
@pytest.mark.parametrize("name", COMMANDS)
def test_no_room_for_the_answer(name: str) -> None:
    code, said = run(COMMANDS[name], ">/dev/full")
    assert code == 2
    assert said == "precheck: cannot write the answer: No space left on device\n"


@pytest.mark.parametrize("name", COMMANDS)
def test_a_closed_output(name: str) -> None:
    code, said = run(COMMANDS[name], ">&-")
    assert code == 2
    assert said.startswith("precheck: there is nowhere to write to")
    assert len(said.splitlines()) == 1


def test_a_reader_that_goes_away() -> None:
    code, said = run(COMMANDS["gate"], "| head -1 >/dev/null; exit ${PIPESTATUS[0]}")
    assert code in (0, 2)  # 0 where all of it fitted into the pipe before the reader went
    assert said == ""


@needs_full
def test_no_room_for_the_complaint() -> None:
    assert run(["gate", "no-such.yaml"], "2>/dev/full") == (2, "")
    assert run(["gate", "no-such.yaml"], "2>&-") == (2, "")
    assert run([*COMMANDS["gate"]], "2>&- >/dev/null") == (0, "")


@pytest.mark.parametrize("out", ["/dev/full/x", "no-such-folder/x.txt", ".", "fixtures"])
def test_a_file_that_cannot_be_written(out: str) -> None:
    code, said = run([*COMMANDS["gate"], "--out", out], "")
    assert code == 2
    assert said.startswith("precheck: cannot write ")
    assert len(said.splitlines()) == 1
