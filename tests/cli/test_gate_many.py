"""Several vehicles at once: one table, a line each, the worst exit code; a bad file stops no other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from precheck.cli import several
from precheck.cli.main import main
from precheck.report.lines import Page

ROOT = Path(__file__).resolve().parents[2]
FIXTURES = ROOT / "fixtures"
JUNIPER, READY, FIRST = (
    str(FIXTURES / f"{name}.yaml") for name in ("juniper", "juniper-ready", "juniper-first-look")
)
BAD = str(FIXTURES / "broken" / "70-thousands-comma.yaml")
DAY = ("--on", "2026-11-14")
Capture = pytest.CaptureFixture[str]


def gate(capsys: Capture, *words: str) -> tuple[int, str, str]:
    code = main(["gate", *words, *DAY])
    out, err = capsys.readouterr()
    return code, out, err


def lines(capsys: Capture, *words: str) -> tuple[int, dict[str, object]]:
    code, out, _ = gate(capsys, *words, "--as", "json")
    return code, json.loads(out)


def test_one_bad_file_does_not_stop_the_rest(capsys: Capture) -> None:
    code, found = lines(capsys, BAD, JUNIPER, "none.yaml", READY, "--for", "proving")
    vehicles = found["vehicles"]
    assert isinstance(vehicles, list)
    assert (code, found["exit_code"]) == (2, 2)
    assert [v["together"] for v in vehicles] == ["could not judge", "NO-GO", "could not judge", "GO"]
    assert [len(v["problems"]) for v in vehicles] == [2, 0, 1, 0]
    assert [v["exit_code"] for v in vehicles] == [2, 1, 2, 0]
    _, out, err = gate(capsys, BAD, JUNIPER, "--for", "proving")
    assert err == ""
    assert "2 problems, see below" in " ".join(out.split())
    flat = "".join(out.split())  # a long path is broken over lines
    told = [flat.index(words) for words in ("Juniper", "COULDNOTBEJUDGED(1file)", ":4:24:acommainanumber")]
    assert told == sorted(told)


def test_json_is_as_its_schema_says(tmp_path: Path, capsys: Capture) -> None:
    schema = json.loads((ROOT / "schemas" / "gate-many.schema.json").read_text(encoding="utf-8"))
    (tmp_path / "one.yaml").write_bytes(Path(JUNIPER).read_bytes())
    for words in ((BAD, JUNIPER, str(tmp_path)), (JUNIPER, READY, "--for", "yard,proving")):
        _, found = lines(capsys, *words)
        assert [e.message for e in Draft202012Validator(schema).iter_errors(found)] == []
        assert list(found) == list(schema["properties"])


@pytest.mark.parametrize(
    ("files", "use", "code"),
    [
        ([READY, JUNIPER], "yard", 0),
        ([READY, FIRST], "yard", 3),
        ([READY, FIRST, JUNIPER], "proving", 1),
        ([JUNIPER, FIRST, BAD], "proving", 2),
        ([BAD, BAD], "proving", 2),
    ],
)
def test_the_worst_counts(files: list[str], use: str, code: int, capsys: Capture) -> None:
    """Could not judge, NO-GO, UNDECIDED, GO, whatever the order of the files."""
    assert gate(capsys, *files, "--for", use)[0] == code
    assert gate(capsys, *reversed(files), "--for", use)[0] == code


def test_each_line_is_what_the_gate_says_of_that_file_alone(capsys: Capture) -> None:
    _, found = lines(capsys, JUNIPER, READY, FIRST, "--for", "yard,proving")
    vehicles = found["vehicles"]
    assert isinstance(vehicles, list)
    for vehicle in vehicles:
        code, alone = lines(capsys, str(vehicle["file"]), "--for", "yard,proving")
        ladder = {line["use"]: line["verdict"] for line in alone["ladder"]}  # type: ignore[attr-defined]
        assert vehicle["verdicts"] == [ladder["yard"], ladder["proving"]]
        for key in ("called", "headline", "highest"):
            assert vehicle[key] == alone[key]
        assert (vehicle["together"], vehicle["exit_code"]) == (alone["verdict"], code)


def test_without_a_use_the_highest_and_what_holds_the_next(capsys: Capture) -> None:
    code, out, _ = gate(capsys, JUNIPER, READY)
    assert code == 3  # never 0: nobody said for what
    rows = [line for line in out.splitlines() if line.startswith("Juniper")]
    assert " yard " in rows[0]
    assert " proving " in rows[1]
    assert "proving: Brake hoses," in rows[0]
    assert "You have not said for what, so the exit code is never 0." in out


def test_a_folder_gives_its_documents_by_name_and_says_which(tmp_path: Path, capsys: Capture) -> None:
    for name in ("b.yaml", "a.yaml", ".hidden.yaml"):
        (tmp_path / name).write_bytes(Path(JUNIPER).read_bytes())
    (tmp_path / "notes.txt").write_text("no document", encoding="utf-8")
    (tmp_path / "c.yaml").mkdir()
    code, out, _ = gate(capsys, str(tmp_path), "--for", "yard")
    assert code == 2  # c.yaml is a folder, and says so
    assert "took a.yaml, b.yaml, c.yaml; 2 other entries left out" in " ".join(out.split())
    assert "this is a directory" in " ".join(out.split())
    (tmp_path / "c.yaml").rmdir()
    code, found = lines(capsys, READY, str(tmp_path), "--for", "yard")
    assert code == 0
    names = [Path(str(v["file"])).name for v in found["vehicles"]]  # type: ignore[attr-defined]
    assert names == ["juniper-ready.yaml", "a.yaml", "b.yaml"]


def test_a_folder_of_one_is_a_table_and_an_empty_one_a_problem(tmp_path: Path, capsys: Capture) -> None:
    code, out, err = gate(capsys, str(tmp_path))
    assert (code, out) == (2, "")
    assert ":1:1:" in err
    code, out, _ = gate(capsys, str(tmp_path), JUNIPER, "--for", "yard")
    assert code == 2
    assert "holds no file that ends in .yaml" in " ".join(out.split())
    (tmp_path / "one.yaml").write_bytes(Path(JUNIPER).read_bytes())
    code, out, _ = gate(capsys, str(tmp_path), "--for", "yard")
    assert code == 0
    assert "1 vehicle: 1 GO" in out


def test_one_file_stays_the_full_answer(capsys: Capture) -> None:
    assert "WHAT IT RESTS ON" in gate(capsys, JUNIPER, "--for", "yard")[1]


def test_a_fault_of_the_judging_is_one_line_too(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    from precheck.answer import many
    from precheck.engine.faults import EngineFault

    real = many.gate

    def broken(document: object, *rest: object) -> object:
        if "ready" in document.name:  # type: ignore[attr-defined]
            raise EngineFault("a tally is off")
        if "first" in document.name:  # type: ignore[attr-defined]
            raise RuntimeError("something else")
        return real(document, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(many, "gate", broken)
    code, found = lines(capsys, READY, FIRST, JUNIPER, "--for", "yard")
    vehicles = found["vehicles"]
    assert isinstance(vehicles, list)
    assert code == 2
    assert [v["together"] for v in vehicles] == ["could not judge", "could not judge", "GO"]
    assert "a tally is off" in vehicles[0]["fault"]
    assert "RuntimeError: something else; this is a fault of precheck" in vehicles[1]["fault"]


HOSTILE = (
    'condition: 1\nvehicle: {called: "GO | GO \\u202e\\u2028 1.0 --- %s", region: us, '
    "vehicle-class: light truck}\n"
)


def test_names_from_files_cannot_forge_a_line(tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "0012.yaml").write_text(HOSTILE % ("x" * 60), encoding="utf-8")
    (tmp_path / "1e5.yaml").write_bytes(HOSTILE.replace("%s", "漢字").encode())
    code, out, _ = gate(capsys, str(tmp_path), "--for", "yard,proving")
    assert code in (1, 3)
    assert "0012.yaml" in out  # no name is read as a number
    for sign in ("\u202e", "\u2028", "\x1b"):
        assert sign not in out
    assert all(len(line) <= 80 for line in out.splitlines())


def test_rows_keep_their_columns() -> None:
    page = Page(80, True)
    page.row(["漢字漢字", "a b", "0012"], [4, 5, 6], 2)
    assert page.text() == "漢字  a b    0012\n漢字\n"


@pytest.mark.parametrize(
    "uses", ["yard", "yard,proving", "yard,proving,night", "yard,proving,occasional,night,wet"]
)
def test_no_line_is_wider_than_the_terminal(uses: str, capsys: Capture) -> None:
    _, out, _ = gate(capsys, JUNIPER, READY, BAD, "--for", uses)
    assert max(map(len, out.splitlines())) <= 80


def test_html_is_about_one_vehicle(capsys: Capture) -> None:
    code, out, err = gate(capsys, JUNIPER, READY, "--as", "html")
    assert (code, out) == (2, "")
    assert "one file" in err


def test_out_is_none_of_the_files_of_a_folder(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(Path(JUNIPER).read_bytes())
    assert gate(capsys, str(tmp_path), "--out", str(path))[0] == 2
    assert path.read_bytes() == Path(JUNIPER).read_bytes()


def test_the_same_bytes_twice(capsys: Capture) -> None:
    assert gate(capsys, str(FIXTURES)) == gate(capsys, str(FIXTURES))


def test_what_asks_for_a_table(tmp_path: Path) -> None:
    assert several.several(["a", "b"])
    assert not several.several(["a"])
    assert not several.several([str(tmp_path)])
    (tmp_path / "a.yaml").touch()
    assert several.several([str(tmp_path)])
