"""`precheck rules new`: what it writes passes check and prove, and nothing is ever overwritten."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from precheck.answer.newrule import cases_of
from precheck.answer.prove import prove_all
from precheck.cli.main import main
from precheck.model.catalogue import Kind
from precheck.model.rules import State
from precheck.rulebook.load import extend, load, load_quickly

BOOK = load_quickly()
SOURCE = ("--source", "mine", "--source-title", "My own notes")


def new(*arguments: str) -> int:
    return main(["rules", "new", *arguments])


def tread(path: Path, *more: str) -> int:
    return new(
        "--id", "my-tread", "--title", "Tread for mud", "--measure", "tire-tread-depth",
        "--limit", "at-least 5/32 in", "--blocks", "occasional", "--asks", "occasional",
        "--clause", "page 4", "--checked", "memory", *SOURCE, "--out", str(path), *more,
    )  # fmt: skip


def test_the_file_passes_check_and_prove(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.yaml"
    assert tread(path) == 0
    assert "6 cases, checked and proven" in capsys.readouterr().out
    assert main(["rules", "check", str(path)]) == 0
    assert main(["rules", "prove", str(path)]) == 0
    assert "6 cases of 1 rules: 6 hold, 0 do not." in capsys.readouterr().out


def test_cases_stand_at_the_limit_each_side_missing_and_unknown(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    tread(path)
    rule = extend(BOOK, [path]).rules["my-tread"]
    assert [(c.name, c.expect) for c in rule.cases] == [
        ("exactly 5/32 in is enough", State.MEETS),
        ("4/32 in is not", State.FAILS),
        ("6/32 in is enough", State.MEETS),
        ("3.96875 mm is the same", State.MEETS),  # 5/32 in x 25.4 mm, by definition of the inch
        ("nobody looked", State.NOT_MEASURED),
        ("it could not be told", State.CANNOT_TELL),
    ]
    assert rule.family == "road-wheels"


def test_a_rule_changes_a_verdict_and_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.yaml"
    new(
        "--id", "my-glass", "--title", "A clean windshield", "--measure", "windshield-clarity",
        "--limit", "no-worse-than clear", "--blocks", "yard", "--clause", "page 1", *SOURCE,
        "--out", str(path),
    )  # fmt: skip
    document = tmp_path / "d.yaml"
    document.write_text(
        "condition: 1\nvisits:\n  - on: 2026-10-03\n    readings: {windshield-clarity: light haze}\n",
        encoding="utf-8",
    )
    gate = ["gate", str(document), "--for", "yard", "--on", "2026-10-03"]
    assert main(gate) == 3
    capsys.readouterr()
    assert main([*gate, "--rules", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "A clean windshield" in said
    assert "My own notes, as stated by" in said


def test_nothing_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text("mine\n", encoding="utf-8")
    assert tread(path) == 2
    assert path.read_text(encoding="utf-8") == "mine\n"
    assert "nothing is overwritten" in capsys.readouterr().err
    dangling = tmp_path / "link.yaml"
    dangling.symlink_to(tmp_path / "elsewhere.yaml")
    assert tread(dangling) == 2
    assert not (tmp_path / "elsewhere.yaml").exists()


HEAD = """\
rules: 1
source: {id: mine, title: x, kind: own, publisher: x, edition: x, address: x, binds: nobody}
"""
OTHER = (
    "--id", "my-oil", "--title", "Oil", "--measure", "oil-pressure-hot-idle",
    "--limit", "at-least 15 psi", "--blocks", "occasional", "--clause", "page 5",
)  # fmt: skip


@pytest.mark.parametrize(
    ("tail", "where"),
    [
        ("", "at the end"),
        ("# the end\n", "before a comment at the end"),
        (
            "\ntighten:\n  - {rule: us-570-9a-tread, limit: {at-least: 3/32 in}, because: mud}\n",
            "before tighten",
        ),
    ],
)
def test_a_rule_is_added_and_every_other_line_stays(tmp_path: Path, tail: str, where: str) -> None:
    path = tmp_path / "mine.yaml"
    tread(path)
    before = path.read_text(encoding="utf-8") + tail
    path.write_text(before, encoding="utf-8")
    assert new(*OTHER, "--add-to", str(path)) == 0
    after = path.read_text(encoding="utf-8")
    left = after.splitlines()
    for line in before.splitlines():
        left.remove(line)
    assert all("oil" in line.lower() or not line.strip() or line.startswith("    ") for line in left), where
    book = load(added=[path])
    assert {"my-tread", "my-oil"} <= book.rules.keys()
    assert all(p.holds for p in prove_all([book.rules["my-tread"], book.rules["my-oil"]], book))


def test_a_file_without_add_gets_one(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(
        HEAD + "tighten:\n  - {rule: us-570-9a-tread, limit: {at-least: 3/32 in}, because: mud}\n",
        encoding="utf-8",
    )
    assert new(*OTHER, "--add-to", str(path)) == 0
    assert "my-oil" in load(added=[path]).rules


def test_an_add_on_one_line_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.yaml"
    body = (
        HEAD + "add: [{id: r, title: x, cite: {source: mine, clause: x, checked: memory}, requires: x, "
        "measure: tire-bulge, limit: {is: no}, blocks: []}]\n"
    )
    path.write_text(body, encoding="utf-8")
    assert new(*OTHER, "--add-to", str(path)) == 2
    assert path.read_text(encoding="utf-8") == body
    assert "written on one line" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"--measure": "tire-tred-depth"}, "did you mean tire-tread-depth"),
        ({"--measure": "tire-age"}, "worked out from tire-date-code"),
        ({"--limit": "atleast 5/32 in"}, "did you mean at-least"),
        ({"--limit": "at-least 5/32"}, "unit"),
        ({"--limit": "at-least 5 psi"}, "pressure"),
        ({"--blocks": "ocasional"}, "did you mean occasional"),
        ({"--id": "us-570-9a-tread"}, "stands at rules/us-49cfr570/tires.yaml"),
        ({"--id": "answer-region"}, "built in"),
        ({"--checked": "seen"}, "one of: text, secondary, memory"),
        ({"--source": "floor"}, "known already"),
    ],
)
def test_what_would_be_wrong_is_said_and_not_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], changes: dict[str, str], words: str
) -> None:
    path = tmp_path / "mine.yaml"
    assert tread(path, *(part for pair in changes.items() for part in pair)) == 2
    assert not path.exists()
    assert words in " ".join(capsys.readouterr().err.split())


def test_without_a_terminal_what_is_missing_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert new("--title", "x", "--out", str(tmp_path / "mine.yaml")) == 2
    said = capsys.readouterr().err
    for name in ("--id", "--measure", "--limit", "--blocks", "--clause", "--source", "--source-title"):
        assert f"\n  {name}:" in said
    assert "--title:" not in said.replace("--source-title:", "")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_at_a_terminal_it_asks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed = [
        "my-play", "Play at the wheel", "steering-freeplay", "steering-free-play", "at-most 1 in",
        "occasional", "", "page 57", "",
        "my-handbook", "Handbook of an invented pickup", "handbook", "", "1966", "", "",
    ]  # fmt: skip
    monkeypatch.setattr("sys.stdin", Terminal("\n".join([*typed, ""])))
    path = tmp_path / "mine.yaml"
    assert new("--out", str(path)) == 0
    assert "near: steering-free-play" in capsys.readouterr().err
    book = extend(BOOK, [path])
    assert book.rules["my-play"].cites[0].checked == "text"
    assert book.sources["my-handbook"].kind == "own"  # it names no official address


def test_answers_that_end_early_write_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Terminal("my-play\n"))
    assert new("--out", str(tmp_path / "mine.yaml")) == 2
    assert list(tmp_path.iterdir()) == []


ODD = [
    ("wheel-fasteners-missing", "at-most 0"),
    ("steering-free-play", "between 0 in, 1 1/4 in"),
    ("oil-pressure-hot-idle", "more-than 7.5 psi"),
    ("build-date", "before 1968-01-01"),
    ("frame-rust", "one-of none, roughened"),
    ("spare-wheel", "is fitted"),
    ("tire-bulge", "is no"),
    ("brake-hose-condition", "not-one-of " + BOOK.points["brake-hose-condition"].states[-1]),
]


@pytest.mark.parametrize(("measure", "limit"), ODD)
def test_every_kind_of_limit(tmp_path: Path, measure: str, limit: str) -> None:
    path = tmp_path / "mine.yaml"
    assert new(
        "--id", "r", "--title", "x: y, z", "--measure", measure, "--limit", limit, "--blocks", "occasional",
        "--clause", "null", *SOURCE, "--out", str(path),
    ) == 0  # fmt: skip


def test_a_sample_of_all_points(tmp_path: Path) -> None:
    """Every twentieth point with states or a number takes a rule made by the template."""
    points = [p for p in BOOK.points.values() if p.kind in (Kind.STATES, Kind.NUMBER)][::20]
    assert len(points) > 20
    for number, point in enumerate(points):
        path = tmp_path / f"{number}.yaml"
        unit = point.unit.name if point.unit and point.dimension != "count" else ""
        limit = f"one-of {point.states[0]}" if point.states else f"at-most 2 {unit}".strip()
        assert new(
            "--id", "r", "--title", "x", "--measure", point.id, "--limit", limit, "--blocks", "everyday",
            "--clause", "x", *SOURCE, "--out", str(path),
        ) == 0, (point.id, limit)  # fmt: skip


def test_cases_of_is_pure(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    tread(path)
    rule = extend(BOOK, [path]).rules["my-tread"]
    assert cases_of(rule, BOOK, {}) == cases_of(rule, BOOK, {})
