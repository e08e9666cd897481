"""The command jot: what is written and where, what is refused and kept, undo, and every way it can stop.

Expected documents: the meaning of each line as written here by hand (no source; the format is ours).
"""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from precheck.cli.main import main
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.read.dates import read_date
from precheck.read.files import read_file
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.load import load_quickly
from precheck.rulebook.schema import against
from precheck.settle.check import check

ROOT = Path(__file__).resolve().parents[2]
JUNIPER = (ROOT / "fixtures" / "juniper-first-look.yaml").read_bytes()
BOOK = load_quickly()
HEAD = "condition: 1\nvehicle: {vehicle-class: light truck, rear-wheels: single, spare-wheel: not fitted}\n"
VISIT = "  - on: 2026-09-12\n    by: RO\n    readings:\n      brake-pedal-feel: firm\n"


def jot(file: Path, *words: str, on: str = "2026-11-14") -> int:
    return main(["jot", str(file), *words, "--on", on])


def document(file: Path) -> Document:
    day = read_date("2026-12-31")
    source, problems = read_yaml(file.read_bytes(), file.name)
    assert not problems
    assert source is not None
    found, problems = check(source, BOOK, Day(day, True))  # type: ignore[arg-type]
    assert not problems
    assert found is not None
    return found


def said(file: Path) -> dict[tuple[str, str | None], str]:
    """What the last visits of 2026-11-14 say."""
    return {
        (c.point, c.place): ", ".join(v.written for v in c.values)
        for v in document(file).visits
        for c in v.claims
        if str(v.on) == "2026-11-14"
    }


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "car.yaml"
    path.write_bytes(JUNIPER)
    return path


# -- what is written --------------------------------------------------------------------------------------


def test_lines_become_a_visit_below_everything_else(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = jot(file, "lr tread 6 5 6; rr pressure 33 psi told", 'frame left rear rail pitted "at: #2 hanger"')
    out = capsys.readouterr().out
    assert code == 0
    assert file.read_bytes().startswith(JUNIPER)
    assert file.read_bytes()[len(JUNIPER) :].decode().splitlines()[1:] == [
        "  - on: 2026-11-14",
        "    by: RO",
        "    readings:",
        "      tire-tread-depth: {left-rear: [6 32nds in, 5 32nds in, 6 32nds in]}",
        "      tire-pressure-cold: {right-rear: {is: 33 psi, known: told}}",
        '      frame-rust: {left-rear-rail: {is: pitted, note: "at: #2 hanger"}}',
    ]
    first = JUNIPER.count(b"\n") + 1
    assert f"lines {first} to {first + 6}: Juniper, visit of 2026-11-14 by RO" in " ".join(out.split())
    assert "6 32nds in (no unit said, 32nds in taken)" in " ".join(out.split())
    assert "tire-pressure-cold@right-rear: 33 psi told\n" in out
    assert out.endswith("written: 3; not written: 0\n")
    assert max(map(len, out.splitlines())) <= 80


def test_what_cannot_be_read_is_told_and_the_rest_is_written(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = jot(file, "brake pedal firm; rr presure 33 psi", 'hood latch both hold; lr tread 6 "open; lf flat')
    out = capsys.readouterr().out
    assert code == 2
    assert said(file) == {("brake-pedal-feel", "vehicle"): "firm", ("hood-latch", "vehicle"): "both hold"}
    assert "written: 2; not written: 2" in out
    assert "jot:1:22: 'presure' is no word of any point" in out
    assert "jot:2:34: a note that does not end" in out
    command = out[out.index("  precheck jot") :].replace("\\\n", "")
    assert "--on 2026-11-14 --by RO" in command
    assert "'rr presure 33 psi'" in command
    assert "'lr tread 6 \"open; lf flat'" in command


def test_where_nothing_can_be_read_nothing_is_written(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert jot(file, "bananas 3") == 2
    assert file.read_bytes() == JUNIPER
    out = capsys.readouterr().out
    assert "written: 0; not written: 1" in out
    assert "is as it was" in out


def test_an_unlikely_value_is_written_and_asked_back(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert jot(file, "rr pressure 400 psi") == 0
    (claim,) = [c for v in document(file).visits[-1:] for c in v.claims]
    assert claim.why_unknown
    assert claim.values[0].written == "400 psi"
    out = " ".join(capsys.readouterr().out.split())
    assert "Please look again: '400 psi' is more than a tire-pressure-cold is likely to be" in out
    assert "'tire-pressure-cold@right-rear: 400 psi sure'" in out
    assert jot(file, "rr pressure 400 psi sure") == 0
    assert not document(file).visits[-1].claims[0].why_unknown


def test_what_is_said_twice_begins_a_visit_so_that_the_later_wins(file: Path) -> None:
    assert jot(file, "rr pressure 20 psi; rr pressure 36 psi; lr pressure 36 psi") == 0
    visits = [v for v in document(file).visits if str(v.on) == "2026-11-14"]
    assert [[(c.place, c.values[0].written) for c in v.claims] for v in visits] == [
        [("right-rear", "20 psi")],
        [("right-rear", "36 psi"), ("left-rear", "36 psi")],
    ]


def test_work_counts_after_what_was_read_before_it(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """rules/work.yaml: a wheel cylinder replaced ends the leak reading there and asks for it again."""
    code = jot(file, "wheel cylinder leak lr dry; done wheel cylinder replaced lr; brake pedal firm")
    assert code == 0
    one, two = [v for v in document(file).visits if str(v.on) == "2026-11-14"]
    assert ([c.point for c in one.claims], [(d.work, d.at) for d in one.done]) == (
        ["wheel-cylinder-leak"],
        [("wheel-cylinder-replaced", ("left-rear",))],
    )
    assert [c.point for c in two.claims] == ["brake-pedal-feel"]
    out = " ".join(capsys.readouterr().out.split())
    assert "wheel-cylinder-leak@left-rear" in out.partition("the work ends:")[2].partition(".")[0]
    assert "Look at again after the work: wheel-cylinder-leak" in out


def test_work_by_option(file: Path) -> None:
    assert jot(file, "--done", "wheel cylinder replaced lr", "--done", "tire filled rr") == 0
    assert [(d.work, d.at) for d in document(file).visits[-1].done] == [
        ("wheel-cylinder-replaced", ("left-rear",)),
        ("tire-filled", ("right-rear",)),
    ]


def test_the_rest_of_a_visit(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rest = ["--drove", "12 mi", "--nothing-found", "exhaust: under", "--by", "Ann Other"]
    rest += ["--not-reached", "brake-lining-thickness@lr: drum: seized"]
    code = jot(file, "brake pedal firm", *rest, "--not-reached", "hub-seal-leak: not tried")
    assert code == 0
    visit = document(file).visits[-1]
    assert visit.by == "Ann Other"
    assert visit.drove == 12 * 1609344
    assert [(n.point, n.place, n.why) for n in visit.not_reached] == [
        ("brake-lining-thickness", "left-rear", "drum: seized"),
        ("hub-seal-leak", None, "not tried"),
    ]
    assert any(c.clear_of == "under" and c.point.startswith("exhaust") for c in visit.claims)
    assert "written: 5; not written: 0" in capsys.readouterr().out
    source, _ = read_file(file)
    assert source is not None
    assert against(source, "condition") == ()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--not-reached", "brake-linning-thickness: no"], "did you mean brake-lining-thickness"),
        (["--not-reached", "brake-lining-thickness"], "no word after a colon"),
        (["--not-reached", "brake-lining-thickness@spare: no"], "spare"),
        (["--nothing-found", "exhaust: moon"], "moon"),
        (["--nothing-found", "exaust: under"], "did you mean exhaust"),
    ],
)
def test_a_bad_entry_keeps_the_rest(
    file: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    assert jot(file, "brake pedal firm", *words) == 2
    assert said(file) == {("brake-pedal-feel", "vehicle"): "firm"}
    out = capsys.readouterr().out
    assert says in out
    assert "written: 1; not written: 1" in out


def test_a_reading_that_the_file_contradicts_is_left_out(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file has readings of plain left and right rear; with dual wheels it would be wrong."""
    assert jot(file, "rear wheels dual; brake pedal firm") == 2
    assert said(file) == {("brake-pedal-feel", "vehicle"): "firm"}
    out = " ".join(capsys.readouterr().out.split())
    assert "with this the file says: this vehicle has no" in out
    assert "'rear wheels dual'" in out


def test_an_earlier_day_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert jot(file, "brake pedal firm", on="2026-09-01") == 0
    assert [str(v.on) for v in document(file).visits] == ["2026-09-01", "2026-09-12"]
    assert "Dated before a visit of 2026-09-12" in " ".join(capsys.readouterr().out.split())


def test_facts_said_later_than_the_day_still_make_the_places(file: Path) -> None:
    text = (
        HEAD.replace(", rear-wheels: single", "")
        + "visits:\n"
        + VISIT.replace("brake-pedal-feel: firm", "rear-wheels: dual")
    )
    file.write_text(text)
    assert jot(file, "lro pressure 36 psi", on="2026-09-01") == 0


# -- where it goes in the file ----------------------------------------------------------------------------

LAYOUTS = {
    "as usual": (HEAD + "visits:\n" + VISIT, ""),
    "no line end at the end": ((HEAD + "visits:\n" + VISIT).rstrip("\n"), ""),
    "carriage returns": ((HEAD + "visits:\n" + VISIT).replace("\n", "\r\n"), ""),
    "carriage returns, no line end": ((HEAD + "visits:\n" + VISIT).replace("\n", "\r\n").rstrip(), ""),
    "byte order mark": ("\ufeff" + HEAD + "visits:\n" + VISIT, ""),
    "no visits": (HEAD, ""),
    "no visits, no line end": (HEAD.rstrip("\n"), ""),
    "visits with nothing": (HEAD + "visits:\n", ""),
    "visits with comments only": (HEAD + "visits:   # none\n  # - on: 2026-01-01\n", ""),
    "blank lines and comments at the end": (HEAD + "visits:\n" + VISIT + "\n# the end\n\n", ""),
    "a key after it": (HEAD + "visits:\n" + VISIT, "\n# lists\nplaces: {brake-hoses: [left-front, rear]}\n"),
    "visits with nothing and a key after it": (HEAD + "visits:\n", "places: {brake-hoses: [rear]}\n"),
    "a comment of the visits before the key": (
        HEAD + "visits:\n" + VISIT + "    # so far\n", "\nplaces: {brake-hoses: [rear]}\n",
    ),
    "dashes at the margin": (HEAD + "visits:\n" + VISIT.replace("\n  ", "\n")[2:], ""),
    "an end mark": (HEAD + "visits:\n" + VISIT, "...\n# over\n"),
    "a begin mark": ("---\n" + HEAD + "visits:\n" + VISIT, ""),
    "all of it indented": ("".join(f"   {line}\n" for line in (HEAD + "visits:\n" + VISIT).splitlines()), ""),
    "a note of several lines at the end": (
        HEAD + "visits:\n" + VISIT + "    note: >\n      pedal\n      # tried twice\n", "",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("above", "below"), LAYOUTS.values(), ids=LAYOUTS.keys())
def test_every_byte_above_and_below_stays_and_undo_brings_the_old_file_back(
    file: Path, above: str, below: str
) -> None:
    old = (above + below).encode()
    file.write_bytes(old)
    for number in (1, 2):
        assert jot(file, "lf pressure 31 psi; lr pressure 30 psi", "--by", "AB") == 0
        new = file.read_bytes()
        assert new.startswith(above.encode())
        assert new.endswith(below.encode())
        assert new.count(b"\r\n") == (new.count(b"\n") if b"\r" in old else 0)
        visits = document(file).visits
        assert [(c.place, c.values[0].written) for c in visits[-1].claims] == [
            ("left-front", "31 psi"),
            ("left-rear", "30 psi"),
        ]
        assert len([v for v in visits if v.by == "AB"]) == number
    for _ in range(2):
        assert main(["jot", str(file), "--undo"]) == 0
    assert file.read_bytes() == old


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (HEAD + "visits: []\n", 3),
        (HEAD + "visits: [{on: 2026-09-12, by: RO}]\n", 3),
        (HEAD + "visits: null\n", 3),
        ("{condition: 1, vehicle: {vehicle-class: car}}\n", 1),
    ],
)
def test_a_file_in_brackets_is_left_alone_with_how_to_write_it(
    file: Path, capsys: pytest.CaptureFixture[str], text: str, line: int
) -> None:
    file.write_text(text)
    assert jot(file, "brake pedal firm", "--by", "RO") == 2
    assert file.read_text() == text
    err = capsys.readouterr().err
    assert f"car.yaml:{line}:" in "".join(err.split())  # a long path is broken over lines
    assert "write: " in err


def test_a_file_with_problems_is_left_alone(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(HEAD + "visits:\n" + VISIT.replace("firm", "frim"))
    before = file.read_bytes()
    assert jot(file, "brake pedal firm") == 2
    assert file.read_bytes() == before
    err = capsys.readouterr().err
    assert "car.yaml:7:" in "".join(err.split())
    assert "did you mean firm?" in err
    assert "mend it first" in err


def test_mode_and_link_stay(file: Path, tmp_path: Path) -> None:
    file.chmod(0o640)
    link = tmp_path / "link.yaml"
    link.symlink_to(file.name)
    assert jot(link, "brake pedal firm") == 0
    assert link.is_symlink()
    assert file.stat().st_mode & 0o7777 == 0o640
    assert said(file)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["car.yaml", "link.yaml"]


# -- where the lines come from ----------------------------------------------------------------------------


class Stdin:
    def __init__(self, data: bytes) -> None:
        self.buffer = io.BytesIO(data)


def test_lines_from_a_file(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_bytes("\ufeffbrake pedal firm\r\n\r\nlf presure 3\r\nlf pressure 31 psi".encode())
    assert jot(file, "--from", str(notes)) == 2
    assert set(said(file)) == {("brake-pedal-feel", "vehicle"), ("tire-pressure-cold", "left-front")}
    assert "notes.txt:3:4:" in capsys.readouterr().out


def test_lines_from_standard_input(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Stdin(b"brake pedal firm\nlf pressure 31 psi\n"))
    assert jot(file, "--from", "-") == 0
    assert set(said(file)) == {("brake-pedal-feel", "vehicle"), ("tire-pressure-cold", "left-front")}


def test_lines_of_standard_input_are_said_back_where_nothing_is_written(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(HEAD)
    monkeypatch.setattr("sys.stdin", Stdin(b"brake pedal firm\nlf pressure 31 \x1b psi\xff\n"))
    assert jot(file, "--from", "-") == 2
    err = capsys.readouterr().err
    assert "--by NAME" in err
    assert "  brake pedal firm\n  lf pressure 31 \\x1b psi\\udcff\n" in err
    assert file.read_text() == HEAD


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "there is nothing to write down"),
        (["  "], "there is nothing to write down"),
        (["brake pedal firm", "--from", "x.txt"], "not both"),
        (["--from", "x.txt"], "there is no such file"),
        (["brake pedal firm", "--by", "  "], "is no name"),
        (["brake pedal firm", "--by", "a\x1bb"], "a\\x1bb"),
        (["brake pedal firm", "--by", "a" * 81], "at most 80 characters"),
        (["--drove", "12"], "write 12.5 mi"),
        (["--drove", "12 psi"], "length"),
        (["--drove", "at least 3 mi"], "one distance, 0 or more"),
        (["--drove", "-3 mi"], "one distance, 0 or more"),
        (["--undo", "brake pedal firm"], "say it alone"),
    ],
)
def test_what_cannot_be_done_says_so(
    file: Path, capsys: pytest.CaptureFixture[str], words: list[str], says: str
) -> None:
    assert jot(file, *words) == 2
    assert file.read_bytes() == JUNIPER
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err


def test_lines_may_stand_after_options(file: Path) -> None:
    assert main(["jot", str(file), "brake pedal firm", "--on", "2026-11-14", "hood latch both hold"]) == 0
    assert len(said(file)) == 2


def test_an_unknown_option_is_refused(file: Path) -> None:
    with pytest.raises(SystemExit) as stop:
        jot(file, "brake pedal firm", "--bye", "RO")
    assert stop.value.code == 2
    assert file.read_bytes() == JUNIPER


# -- undo -------------------------------------------------------------------------------------------------


def test_undo_says_what_it_removed(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jot(file, "brake pedal firm")
    added = file.read_bytes()[len(JUNIPER) :].decode()
    capsys.readouterr()
    assert main(["jot", str(file), "--undo"]) == 0
    assert file.read_bytes() == JUNIPER
    assert added in capsys.readouterr().out


def test_undo_leaves_what_was_written_elsewhere_since(file: Path) -> None:
    jot(file, "brake pedal firm")
    text = file.read_bytes().replace(b"called: Juniper", b"called: Juniper Two") + b"# checked\n"
    file.write_bytes(text)
    assert main(["jot", str(file), "--undo"]) == 0
    assert file.read_bytes() == JUNIPER.replace(b"called: Juniper", b"called: Juniper Two") + b"# checked\n"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda text: text, "holds nothing that jot wrote"),
        (lambda text: text.replace("2026-11-14\n    by: RO", "2026-11-14\n    by: XX"), "changed by hand"),
        (lambda text: text[: text.rindex("    readings:")], "changed by hand"),
        (lambda text: text + "      hood-latch: both hold\n", "written after the last jot"),
        (lambda text: text + VISIT.replace("09-12", "11-20"), "written after the last jot"),
        (lambda text: text + "      frame-crack: {\n", "cannot be read"),
    ],
)
def test_undo_leaves_what_somebody_edited(
    file: Path, capsys: pytest.CaptureFixture[str], change: object, says: str
) -> None:
    if says != "holds nothing that jot wrote":
        jot(file, "brake pedal firm")
    file.write_text(change(file.read_text()))  # type: ignore[operator]
    before = file.read_bytes()
    assert main(["jot", str(file), "--undo"]) == 2
    assert file.read_bytes() == before
    assert says in " ".join(capsys.readouterr().err.split())


def test_undo_leaves_what_later_readings_need(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The places of the tires that stand above come from the fact that was jotted."""
    file.write_text(HEAD.replace(", rear-wheels: single", "") + "visits:\n" + VISIT)
    assert jot(file, "rear wheels dual") == 0
    text = file.read_text().replace("firm\n", "firm\n      tire-pressure-cold: {lro: 36 psi}\n")
    file.write_text(text.replace("vehicle: {", "vehicle: {rear-wheels: single, "))
    assert main(["jot", str(file), "--undo"]) == 2
    assert "without the last jot the file would not be right" in " ".join(capsys.readouterr().err.split())


def test_the_same_line_gives_the_same_bytes(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jot(file, "brake pedal firm")
    one = file.read_bytes(), capsys.readouterr()
    main(["jot", str(file), "--undo"])
    capsys.readouterr()
    jot(file, "brake pedal firm")
    assert (file.read_bytes(), capsys.readouterr()) == one


def test_help_says_that_it_judges_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["jot", "--help"])
    out = capsys.readouterr().out
    assert "It judges nothing" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80 or os.environ.get("COLUMNS")
