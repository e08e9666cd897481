"""Documents with mistakes that people make: every one is named by line and column, and none gets a verdict.

fixtures/broken/NN-what.yaml is the document, NN-what.expected the problems it must bring, one a line:
`line:column code`. The places were counted in the files, before precheck had read them.
"""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from precheck.cli.main import main
from precheck.model.catalogue import Day
from precheck.model.problem import Problem
from precheck.read.files import read_file
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BROKEN = Path(__file__).resolve().parent.parent.parent / "fixtures" / "broken"
FILES = sorted(BROKEN.glob("*.yaml"), key=lambda path: int(path.name.split("-")[0]))
NAMES = [path.name for path in FILES]
EMPTY = ("11-empty-file.yaml",)  # nothing can stand in it, no heading either
LINELESS = (*EMPTY, "15-utf-16.yaml")  # no line of the file can be shown
Capture = pytest.CaptureFixture[str]


def expected(name: str) -> list[str]:
    return (BROKEN / name).with_suffix(".expected").read_text(encoding="ascii").splitlines()


def problems(name: str) -> list[Problem]:
    source, found = read_file(BROKEN / name, name)
    if source is not None:
        _, found = check(source, load_quickly(), Day(date.today(), False))
    return sorted(found, key=lambda problem: problem.order)


def test_there_are_plenty_and_each_has_its_expectation() -> None:
    assert len(FILES) >= 45
    assert {path.stem for path in BROKEN.glob("*.expected")} == {path.stem for path in FILES}
    assert sorted(path.suffix for path in BROKEN.iterdir()) == [".expected"] * len(FILES) + [".yaml"] * len(
        FILES
    )
    numbers = [name.split("-")[0] for name in NAMES]
    assert numbers == [f"{number:02d}" for number in range(1, len(FILES) + 1)]


@pytest.mark.parametrize("name", NAMES)
def test_the_document_says_that_it_is_invented(name: str) -> None:
    if name in EMPTY:
        assert (BROKEN / name).read_bytes() == b""
        return
    head = (BROKEN / name).read_bytes().splitlines()[0].replace(b"\0", b"")
    assert b"# Invented for tests" in head


@pytest.mark.parametrize("name", NAMES)
def test_every_problem_is_found_at_its_place(name: str) -> None:
    found = [f"{p.mark.line}:{p.mark.column} {p.code}" for p in problems(name)]
    assert found == expected(name)


@pytest.mark.parametrize("name", NAMES)
def test_the_gate_names_them_and_gives_no_verdict(
    name: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(BROKEN)
    assert main(["gate", name]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    assert not re.search(r"\b(GO|NO-GO|UNDECIDED)\b", err)
    assert all(len(line) <= 80 and line.isprintable() for line in err.splitlines())

    *blocks, last = err.rstrip("\n").split("\n\n")
    places = [line.split(" ")[0] for line in expected(name)]
    assert last == f"{len(places)} problem{'s' * (len(places) != 1)}; not judged, and no verdict."
    assert len(blocks) == len(places)
    for block, place in zip(blocks, places, strict=True):
        lines = block.splitlines()
        assert lines[0].startswith(f"{name}:{place}: ")
        assert any(line.startswith("  expected: ") for line in lines), block
        shown = [number for number, line in enumerate(lines) if line.strip() == "^"]
        if name in LINELESS:
            assert not shown
        else:
            (caret,) = shown
            assert lines[caret].index("^") <= len(lines[caret - 1])


@pytest.mark.parametrize("name", NAMES)
def test_every_problem_says_how_to_write_it(name: str) -> None:
    for problem in problems(name):
        ways = (problem.write, problem.near, "one of: " in problem.expected, "`precheck " in problem.expected)
        assert any(ways), problem


@pytest.mark.parametrize("use", ["yard", "proving", "everyday"])
def test_asking_for_a_use_changes_nothing(use: str, capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(BROKEN)
    assert main(["gate", "98-many-at-once.yaml"]) == 2
    plain = capsys.readouterr()
    assert main(["gate", "98-many-at-once.yaml", "--for", use, "--as", "json"]) == 2
    assert capsys.readouterr() == plain


def test_a_broken_file_stops_no_other_and_has_no_verdict(capsys: Capture) -> None:
    good = BROKEN.parent / "juniper-first-look.yaml"
    assert main(["gate", str(good), str(BROKEN / NAMES[0]), "--on", "2026-11-14", "--for", "yard"]) == 2
    said = capsys.readouterr()
    rows = [line for line in said.out.splitlines() if NAMES[0][:8] in line or "juniper" in line.casefold()]
    assert any("UNDECIDED" in row for row in rows)
    assert all(word not in row for row in rows if NAMES[0][:8] in row for word in ("GO ", "UNDECIDED"))
    assert "could not judge" in said.out


def test_nothing_is_written_where_the_file_is_broken(tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "answer.txt"
    assert main(["gate", str(BROKEN / NAMES[0]), "--out", str(out)]) == 2
    assert capsys.readouterr().out == ""
    assert list(tmp_path.iterdir()) == []


def test_from_the_shell() -> None:
    command = [sys.executable, "-m", "precheck", "gate", "17-escape-character.yaml", "07-alias-bomb.yaml"]
    root = str(BROKEN.parent.parent)
    done = subprocess.run(command, cwd=BROKEN, env={"PYTHONPATH": root}, capture_output=True, timeout=60)
    assert done.returncode == 2
    assert done.stdout.endswith(b"2 vehicles: 2 could not judge\n")
    rows = done.stdout.split(b"COULD NOT BE JUDGED")[0].split(b"-------\n")[1]
    assert not any(word in rows.split() for word in (b"GO", b"NO-GO", b"UNDECIDED"))
    assert done.stderr == b""
    assert b"Traceback" not in done.stdout
    assert b"\x1b" not in done.stdout + done.stderr
    first = [line.split(b": ")[0] for line in done.stdout.splitlines() if line[:2] in (b"07", b"17")]
    places = [f"{name}:{line.split(' ')[0]}" for name in ("17-escape-character.yaml", "07-alias-bomb.yaml")
              for line in expected(name)]  # fmt: skip
    assert first == [place.encode() for place in places]
