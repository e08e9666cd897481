"""The command sheet: its stored text, its forms, what it takes and refuses, nothing written."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from precheck.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
JUNIPER = str(ROOT / "fixtures" / "juniper.yaml")
EXPECTED = ROOT / "tests" / "cli" / "expected"
DAY = ["--on", "2026-11-14"]
DIGEST = re.compile(r"rules [0-9a-f]{16}")


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["sheet", *words, *DAY])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_text_of_juniper_for_somebody_under_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    code, out, _ = run(capsys, "fixtures/juniper.yaml", "--for", "proving", "--at", "under")
    stored = (EXPECTED / "sheet-juniper-under.txt").read_text(encoding="utf-8")
    assert DIGEST.sub("rules DIGEST", out) == stored
    assert code == 1  # as the gate


@pytest.mark.parametrize("words", [(), ("--for", "everyday,towing"), ("--tools", "lamp, air gauge")])
def test_80_columns_of_plain_ascii_and_the_same_bytes_again(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    _, first, _ = run(capsys, JUNIPER, *words)
    _, second, _ = run(capsys, JUNIPER, *words)
    assert first == second
    assert first.isascii()
    assert max(map(len, first.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (("--tools", "lanp"), "did you mean lamp"),
        (("--at", "hod"), "did you mean hood"),
        (("--for", "provin"), "did you mean proving"),
    ],
)
def test_an_unknown_word_is_no_sheet(
    words: tuple[str, ...], hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = run(capsys, JUNIPER, *words)
    assert (code, out) == (2, "")
    assert hint in err
    assert "one of:" in err


def test_every_line_of_the_record_is_in_each_form(capsys: pytest.CaptureFixture[str]) -> None:
    _, text, _ = run(capsys, JUNIPER, "--as", "json")
    record = json.loads(text)
    assert record["sheet"] == 1
    lines = [x for p in record["positions"] for stop in p["stops"] for x in stop["lines"]]
    assert lines
    _, plain, _ = run(capsys, JUNIPER)
    _, page, _ = run(capsys, JUNIPER, "--as", "html")
    said = " ".join(plain.split())
    assert all(f"{line['jot']} ______" in said for line in lines)
    assert all(re.search(rf">{re.escape(line['jot'])}[<\n]", page) for line in lines)
    assert page.count('class="blank"') == len(lines)


def test_text_from_the_file_stays_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "v.yaml"
    file.write_text(
        "condition: 1\nvehicle:\n  called: '<b>J</b> & {{ 7 * 7 }}'\n  region: us\n"
        "visits:\n  - on: 2026-01-01\n    by: '<i>RO</i>'\n    readings:\n"
        "      brake-pedal-feel: {is: firm, note: '<script>x</script>'}\n",
        encoding="utf-8",
    )
    code, page, _ = run(capsys, str(file), "--for", "yard", "--as", "html")
    assert code == 3
    assert "&lt;b&gt;J&lt;/b&gt; &amp; {{ 7 * 7 }}" in page
    assert "&lt;script&gt;x&lt;/script&gt;" in page
    assert "<script" not in page
