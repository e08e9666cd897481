"""The command start: what it writes, what it asks, and that it overwrites and loses nothing."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from precheck.answer import start as starting
from precheck.cli.main import main
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.read.dates import read_date
from precheck.read.files import read_file
from precheck.rulebook.load import load_quickly
from precheck.rulebook.schema import against
from precheck.settle.check import check

BOOK = load_quickly()
DAY = Day(read_date("2026-11-14"), True)  # type: ignore[arg-type]
ON = ["--on", "2026-11-14"]
PICKUP = [
    "--called", "Wren: no. 2", "--region", "us", "--class", "light truck", "--built", "1966-04",
    "--weight-rating", "7500 lb", "--brake-circuits", "one hydraulic circuit", "--voltage", "unknown",
    "--rear-wheels", "single", "--not-fitted", "spare-wheel, washer", "--set", "fuel-kind=gasoline",
]  # fmt: skip


class Typed:
    """A terminal at which these lines are typed."""

    def __init__(self, *lines: str) -> None:
        self._lines: Iterator[str] = iter(lines)

    def isatty(self) -> bool:
        return True

    def readline(self) -> str:
        return next((f"{line}\n" for line in self._lines), "")


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("sys.stdin", io.StringIO())  # no terminal
    return tmp_path / "new.yaml"


def document(file: Path) -> Document:
    source, problems = read_file(file)
    assert source is not None, problems
    found, problems = check(source, BOOK, DAY)
    assert found is not None, problems
    return found


def facts(file: Path) -> dict[str, str]:
    return {c.point: ", ".join(v.written for v in c.values) or "unknown" for c in document(file).vehicle}


def test_what_is_said_stands_in_the_document(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["start", str(file), *PICKUP, *ON]) == 0
    assert facts(file) == {
        "called": "Wren: no. 2",
        "region": "us",
        "vehicle-class": "light truck",
        "build-date": "1966-04",
        "gross-weight-rating": "7500 lb",
        "brake-circuit-layout": "one hydraulic circuit",
        "system-voltage": "unknown",
        "rear-wheels": "single",
        "spare-wheel": "not fitted",
        "fuel-kind": "gasoline",
        "washer": "not fitted",
    }
    assert document(file).visits == ()
    source, _ = read_file(file)
    assert source is not None
    assert against(source, "condition") == ()
    out = capsys.readouterr().out
    assert "UNDECIDED for yard on 2026-11-14" in out
    said = out.partition("\nNEXT")[0].splitlines()  # commands are broken between their words only
    assert max(map(len, [*said, *file.read_text().splitlines()])) <= 80


def test_the_gate_is_undecided_about_it(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (PICKUP, []):
        assert main(["start", str(file), *words, *ON]) == 0
        capsys.readouterr()
        assert main(["gate", str(file), "--for", "yard", *ON]) == 3
        assert "UNDECIDED for yard" in capsys.readouterr().out
        file.unlink()


@pytest.mark.parametrize("kind", BOOK.points["vehicle-class"].states)
@pytest.mark.parametrize("wheels", ["single", "dual", "unknown"])
def test_every_class_of_vehicle_gets_a_document(kind: str, wheels: str) -> None:
    text, found = starting.start({"vehicle-class": kind, "rear-wheels": wheels}, "x", BOOK, DAY)
    assert found.headline == "UNDECIDED for yard on 2026-11-14"
    assert len(found.looks) == 5
    assert text.startswith("# ")


def test_facts_that_bear_on_nothing_here_are_left_out(file: Path) -> None:
    """The fog lamp at the rear is asked about by rules of Great Britain and Germany only."""
    main(["start", str(file), "--region", "us", *ON])
    assert "#rear-fog-lamp:" not in file.read_text()
    file.unlink()
    main(["start", str(file), "--region", "gb", *ON])
    assert "#rear-fog-lamp:" in file.read_text()


def test_each_line_to_fill_in_is_a_fact_with_its_question_and_states(file: Path) -> None:
    main(["start", str(file), *PICKUP, *ON])
    text = file.read_text()
    names = re.findall(r"^  #([a-z-]+):$", text, re.M)
    assert len(names) > 20
    assert not set(names) & set(facts(file))
    flat = re.sub(r"\n *#? ?", " ", text)
    for name in names:
        point = BOOK.points[name]
        assert point.fact
        assert point.question in flat
        assert " / ".join(point.states) in flat
    answered = text.replace("#front-springs:", "front-springs: leaf").replace("#shocks:", "shocks:")
    file.write_text(answered)
    source, _ = read_file(file)
    assert source is not None
    assert [p.found for p in check(source, BOOK, DAY)[1]] == ["shocks is nothing"]  # a bare name says nothing


def test_the_commented_visit_is_one_when_its_values_are_filled_in(file: Path) -> None:
    main(["start", str(file), *PICKUP, "--by", "RO", *ON])
    head, visits = file.read_text().split("visits:\n")
    lines = [line.replace("  # ", "  ", 1) for line in visits.splitlines()[1:]]
    filled = [re.sub(r"\.\.\.", "unknown", line) for line in lines if not line.lstrip().startswith("#")]
    file.write_text("\n".join([f"{head}visits:", *filled, ""]))
    (visit,) = document(file).visits
    assert (str(visit.on), visit.by, len({c.point for c in visit.claims})) == ("2026-11-14", "RO", 5)


def test_the_next_commands_work(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import shlex

    main(["start", str(file), *PICKUP, "--by", "Ann Other", *ON])
    out = capsys.readouterr().out
    told = out.partition("\nNEXT")[2].replace("\\\n", "")
    commands = [shlex.split(line) for line in told.splitlines() if line.startswith("  precheck ")]
    assert [c[1] for c in commands] == ["sheet", "jot", "gate"]
    assert [main([*words[1:], *ON]) for words in commands] == [3, 0, 3]
    assert document(file).visits[0].by == "Ann Other"


def test_what_to_take_care_of_is_said(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["start", str(file), *ON])
    out = " ".join(capsys.readouterr().out.split())
    for name in ("first-start", "exhaust-gas-indoors", "battery-polarity", "stuck-throttle"):
        assert BOOK.cautions[name].text in out
    assert "TO ANSWER FIRST" in out
    assert BOOK.points["region"].question in out


def test_the_declared_names_are_in_the_catalogue() -> None:
    first = [p.id for p in starting.first_facts(BOOK)]
    assert set(starting._FIRST) <= set(BOOK.points)
    assert {p.id for p in BOOK.points.values() if p.fact and p.opens} <= set(first)
    assert all(BOOK.points[name].fact for name in first)
    assert set(starting._BEFORE_A_START) <= set(BOOK.cautions)
    from precheck.cli.start import _OPTIONS

    assert all(BOOK.points[fact].fact for _, fact, _, _ in _OPTIONS)


def test_nothing_is_overwritten(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("mine\n")
    assert main(["start", str(file), *PICKUP, *ON]) == 2
    assert file.read_text() == "mine\n"
    assert "is there already, and nothing is overwritten" in capsys.readouterr().err
    file.unlink()
    file.symlink_to("nowhere.yaml")
    assert main(["start", str(file), *PICKUP, *ON]) == 2
    assert file.is_symlink()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--class", "ligth truck"], "did you mean light truck"),
        (["--class", "lorry"], "one of: car, van, light truck"),
        (["--weight-rating", "7500"], "7500 lb, if lb is what was read"),
        (["--built", "1966-4"], "write 1966, 1966-04 or 1966-04-12"),
        (["--set", "bananas=1"], "'bananas' is no fact"),
        (["--set", "powersteering=fitted"], "did you mean power-steering"),
        (["--set", "tire-tread-depth=3 mm"], "'tire-tread-depth' is no fact"),
        (["--set", "cab"], "expected FACT=VALUE"),
        (["--set", "cab="], "nothing is said"),
        (["--not-fitted", "wiper"], "did you mean wipers"),
        (["--not-fitted", "cab"], "'not fitted' is no state of cab"),
        (["--rear-wheels", "single", "--set", "rear-wheels=dual"], "rear-wheels is 'single' already"),
        (["--by", "a\x1bb"], "is no name"),
    ],
)
def test_a_wrong_answer_is_told_and_nothing_written(
    file: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    assert main(["start", str(file), *words, *ON]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in " ".join(err.split())
    assert not file.exists()


def test_everything_wrong_is_told_at_once(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["start", str(file), "--class", "tank", "--region", "mars", *ON]) == 2
    err = capsys.readouterr().err
    assert "'tank'" in err
    assert "'mars'" in err


# -- questions ----------------------------------------------------------------------------------------------


def test_answers_at_a_terminal(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = [p.id for p in starting.first_facts(BOOK) if p.id not in ("called", "region")]
    typed = dict.fromkeys(asked, "") | {"vehicle-class": "van", "build-date": "unknown"}
    lines = [line for name in asked for line in (["vam"] if name == "vehicle-class" else []) + [typed[name]]]
    monkeypatch.setattr("sys.stdin", Typed(*lines, "wiper", "wipers,  doors"))
    assert main(["start", str(file), "--called", "Wren", "--region", "us", *ON]) == 0
    assert facts(file) == {
        "called": "Wren",
        "region": "us",
        "vehicle-class": "van",
        "build-date": "unknown",
        "wipers": "not fitted",
        "doors": "not fitted",
    }
    err = capsys.readouterr().err
    assert "'vam' is no state of vehicle-class" in err
    assert "did you mean van" in err
    assert "'wiper' is not among them; did you mean wipers?" in err
    assert BOOK.points["called"].question not in err
    assert max(map(len, err.splitlines())) <= 120  # questions of the catalogue are not cut


@pytest.mark.parametrize("lines", [[], ["Wren", "us"], ["Wren", *["mars"] * 5]])
def test_answers_that_end_or_never_fit_write_nothing(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], lines: list[str]
) -> None:
    monkeypatch.setattr("sys.stdin", Typed(*lines))
    assert main(["start", str(file), *ON]) == 2
    assert not file.exists()
    assert "nothing was written" in capsys.readouterr().err


def test_no_questions_where_none_are_wanted(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Typed())
    assert main(["start", str(file), *PICKUP, "--no-questions", *ON]) == 0


def test_the_same_answers_give_the_same_bytes(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["start", str(file), *PICKUP, *ON])
    one = file.read_bytes(), capsys.readouterr()
    file.unlink()
    main(["start", str(file), *PICKUP, *ON])
    assert (file.read_bytes(), capsys.readouterr()) == one
