"""The command compare: the page word for word, forms, exit codes, usage, hostile words, nothing written."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from precheck.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
EXPECTED = Path(__file__).parent / "expected"
JUNIPER = str(ROOT / "fixtures" / "juniper.yaml")
FIRST = str(ROOT / "fixtures" / "juniper-first-look.yaml")
COUNTY = str(ROOT / "fixtures" / "local" / "county.yaml")
SINCE = ("--since", "2026-10-03", "--on", "2026-11-14")
Capture = pytest.CaptureFixture[str]


def run(capsys: Capture, *words: str) -> tuple[int, str, str]:
    code = main(["compare", *words])
    out, err = capsys.readouterr()
    return code, out, err


def stable(text: str) -> str:
    """Without what grows with the library: how many rules judge a use, what is not looked at, the watch."""
    text = re.sub(r"\nVERDICTS, THEN AND NOW.*?(?=\n\n)", "\nVERDICTS ...", text, flags=re.DOTALL)
    text = re.sub(r"\nNEVER LOOKED AT.*?(?=\n\n)", "\nNEVER LOOKED AT ...", text, flags=re.DOTALL)
    text = re.sub(r"\nWATCH.*?(?=\n\n)", "\nWATCH ...", text, flags=re.DOTALL)
    text = re.sub(r"  Never looked at.*?then\)\.", "  Never looked at ...", text, flags=re.DOTALL)
    return re.sub(r"\n  precheck 0[^\n]*", "\n  precheck VERSION", text)


def test_the_page_word_for_word(capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read slowly against fixtures/juniper.yaml by hand; only the layout may be taken from our own output."""
    monkeypatch.chdir(ROOT / "fixtures")
    code, out, _ = run(capsys, "juniper.yaml", *SINCE)
    assert code == 3
    expected = (EXPECTED / "compare-juniper.txt").read_text(encoding="utf-8")
    assert stable(out) == expected
    assert out.count("better by itself: no work between") == 2
    assert "tire-standing, left rear: better by itself" in " ".join(out.split())  # on the watch list too


def test_where_was_i_is_answered_on_the_first_screen(capsys: Capture) -> None:
    """Six weeks later: last visit, what stands against it, what is stale, the last work, what is next."""
    _, out, _ = run(capsys, JUNIPER, "--since", "2026-11-14", "--on", "2026-12-26")
    screen = "\n".join(out.splitlines()[:24])
    for words in (
        "2026-11-14 by RO, 42 days ago",
        "Against yard now",
        "Gone stale since",
        "the last was",
        "Never looked at",
        "Next, what to measure: precheck sheet",
        "what to mend: precheck work",
    ):
        assert words in " ".join(screen.split()), words
    assert "moved by the day alone" in " ".join(out.split())


def test_an_older_copy_of_the_file(capsys: Capture) -> None:
    code, out, _ = run(capsys, FIRST, JUNIPER, "--on", "2026-11-14")
    assert code == 3
    assert "Compared with: 2026-09-12" in out
    assert "Older file:" in out
    assert "brake-circuit-layout: one hydraulic circuit" in " ".join(out.split())


def test_json_has_the_same(capsys: Capture) -> None:
    code, out, _ = run(capsys, JUNIPER, *SINCE, "--as", "json", "--for", "proving")
    found = json.loads(out)
    assert (code, found["compare"], found["exit_code"]) == (1, 1, 1)
    assert found["day_then"] == "2026-10-03"
    yard = next(use for use in found["ladder"] if use["use"] == "yard")
    assert (yard["then"], yard["now"], yard["moved_by"]) == ("UNDECIDED", "GO", ["vehicle"])
    hose = next(m for m in found["readings"] if m["point"] == "brake-hose-condition" and m["kind"] == "new")
    assert (hose["now"], hose["place"], hose["blocks"]) == (["cracked to fabric"], "right-front", "proving")


def test_json_is_as_its_schema_says(capsys: Capture) -> None:
    """Also with trends, notes that were searched and rules that moved."""
    schema = json.loads((ROOT / "schemas" / "compare.schema.json").read_text(encoding="utf-8"))
    wren = str(ROOT / "tests" / "cli" / "wearing.yaml")
    for words in (
        (JUNIPER, *SINCE, "--find", "hanger"),
        (FIRST, JUNIPER, "--on", "2027-10-14"),
        (wren, "--since", "2026-07-11", "--on", "2026-10-12", "--rules-then", COUNTY),
    ):
        found = json.loads(run(capsys, *words, "--as", "json")[1])
        wrong = [f"{list(e.path)}: {e.message}" for e in Draft202012Validator(schema).iter_errors(found)]
        assert wrong == []
        assert list(found) == list(schema["properties"])
    assert [t["place"] for t in found["trends"]] == ["left-front", "left-front", "right-front"]


def test_exit_codes_are_those_of_the_gate_for_the_new_side(capsys: Capture) -> None:
    assert run(capsys, JUNIPER, *SINCE, "--for", "yard")[0] == 0
    assert run(capsys, JUNIPER, *SINCE, "--for", "proving")[0] == 1
    assert run(capsys, JUNIPER, "--since", "2026-10-03", "--on", "2026-11-15", "--for", "yard")[0] == 3
    assert run(capsys, JUNIPER, "--since", "2026-10-03", "--on", "2026-10-31", "--for", "yard")[0] == 3


def test_rules_that_moved(capsys: Capture) -> None:
    same = run(capsys, JUNIPER, "--since", "2026-11-14", "--on", "2026-11-14", "--rules", COUNTY)
    assert "ALONE" not in same[1]
    moved = run(
        capsys, JUNIPER, "--since", "2026-11-14", "--on", "2026-11-14", "--rules", COUNTY, "--no-rules-then"
    )
    assert "MOVED BY THE RULES ALONE" in moved[1]
    assert "and the rules of then" in moved[1]
    then = run(capsys, JUNIPER, "--since", "2026-11-14", "--on", "2026-11-14", "--rules-then", COUNTY)
    assert "MOVED BY THE RULES ALONE" in then[1]


def test_notes_are_found(capsys: Capture) -> None:
    _, out, _ = run(capsys, JUNIPER, *SINCE, "--find", "Hanger")
    assert "NOTES WITH 'Hanger' (1)" in out
    assert "behind the hanger" in out
    assert "NOTES WITH 'nowhere' (0)" in run(capsys, JUNIPER, *SINCE, "--find", "nowhere")[1]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([JUNIPER], "--since"),
        ([JUNIPER, "--since", "3.10.2026"], "--since"),
        ([JUNIPER, "--since", "2026-11-15", "--on", "2026-11-14"], "is after the day"),
        ([JUNIPER, JUNIPER, JUNIPER], "3 files"),
        ([JUNIPER, *SINCE, "--for", "provng"], "did you mean proving"),
        ([JUNIPER, *SINCE, "--rules-then", COUNTY, "--no-rules-then"], "one of them"),
        (["none.yaml", *SINCE], "none.yaml:1:1"),
        ([FIRST, "none.yaml", "--on", "2026-11-14"], "none.yaml:1:1"),
    ],
)
def test_clumsy_use_says_how(words: list[str], says: str, capsys: Capture) -> None:
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert says in err
    assert "Traceback" not in err


HOSTILE = """\
condition: 1
vehicle: {called: "<b>\\u202eW\\e[31m", region: us, vehicle-class: light truck}
visits:
  - on: 2026-11-01
    by: "R\\aO"
    note: "\\e]0;title \\u2028 | --- <script>"
    readings: {tire-tread-depth: {lf: {is: 7/32 in, note: "a\\tb"}}}
"""


def test_words_from_the_file_cannot_move_the_terminal(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "hostile.yaml"
    for text in (HOSTILE, HOSTILE.replace("\\e", "x").replace("\\a", "x")):
        path.write_text(text, encoding="utf-8")
        _, out, err = run(capsys, str(path), "--since", "2026-10-01", "--on", "2026-11-14")
        for sign in ("\x1b", "\u202e", "\u2028", "\a"):
            assert sign not in out + err
        assert all(len(line) <= 80 for line in out.splitlines())


def test_nothing_is_written_to_the_file(tmp_path: Path, capsys: Capture) -> None:
    copy = tmp_path / "juniper.yaml"
    copy.write_bytes(Path(JUNIPER).read_bytes())
    assert run(capsys, str(copy), *SINCE, "--out", str(copy))[0] == 2
    assert run(capsys, str(copy), *SINCE)[0] == 3
    assert copy.read_bytes() == Path(JUNIPER).read_bytes()
    out = tmp_path / "out.txt"
    assert run(capsys, str(copy), *SINCE, "--out", str(out))[0] == 3
    assert out.read_text(encoding="utf-8").startswith("Day: 2026-11-14")


def test_the_same_bytes_twice(capsys: Capture) -> None:
    assert run(capsys, JUNIPER, *SINCE) == run(capsys, JUNIPER, *SINCE)
