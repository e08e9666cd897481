"""README: exactly two set-up commands, and its output is the real output."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from precheck.cli.main import VERBS, main

ROOT = Path(__file__).resolve().parent.parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"```sh\n(.*?)```", TEXT, re.S)
OUTPUTS = re.findall(r"```text\n(.*?)```", TEXT, re.S)
FLAG = "CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject"


def test_two_commands_each_with_the_compile_flag() -> None:
    assert len(COMMANDS) == 2
    for command in COMMANDS:
        assert len(command.strip().splitlines()) == 1
        assert FLAG in command
        assert "python3 -m venv" in command


@pytest.mark.parametrize(("number", "use", "code"), [(0, "yard", 0), (1, "proving", 1)])
def test_the_output_shown_is_real(
    number: int, use: str, code: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(["gate", "fixtures/juniper.yaml", "--for", use, "--on", "2026-11-14"]) == code
    printed = capsys.readouterr().out
    shown = OUTPUTS[number]
    assert shown.strip()
    assert printed.startswith(shown)


def test_from_nothing_to_a_first_verdict(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The four commands as they stand, in an empty folder; every line shown is printed, in that order."""
    monkeypatch.chdir(tmp_path)
    (session,) = re.findall(r"```console\n(.*?)```", TEXT, re.S)
    verbs = []
    for part in session.split("$ precheck ")[1:]:
        command, *shown = part.rstrip("\n").split("\n")
        verbs.append(command.split()[0])
        code = main(shlex.split(command))
        printed = capsys.readouterr().out.splitlines()
        assert code == {"start": 0, "jot": 0}.get(verbs[-1], 3)
        at = [printed.index(line) for line in shown]
        assert at == sorted(at)
    assert verbs == ["start", "sheet", "jot", "gate"]
    assert TEXT.index("```console") < 2500  # in the first screenful


def test_every_verb_is_named() -> None:
    for verb in VERBS:
        assert f"precheck {verb}" in TEXT, verb


def test_every_command_and_file_named_exists() -> None:
    for name in re.findall(r"`((?:rules|schemas|fixtures)/[\w./-]+)`", TEXT):
        assert (ROOT / name).exists(), name


def test_the_exit_codes_of_the_table_are_the_real_ones() -> None:
    from precheck.answer.uses import EXIT
    from precheck.cli.main import COULD_NOT_JUDGE

    rows = dict(re.findall(r"^\| (\d) \| (GO|NO-GO|UNDECIDED|could not judge)", TEXT, re.M))
    assert rows == {str(code): verdict.value for verdict, code in EXIT.items()} | {
        str(COULD_NOT_JUDGE): "could not judge"
    }
