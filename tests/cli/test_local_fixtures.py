"""The invented local rule files: good files, each alone and all together, and what they do to a vehicle."""

from __future__ import annotations

from pathlib import Path

import pytest

from precheck.answer.checking import check_files
from precheck.answer.prove import prove_all
from precheck.cli.main import main
from precheck.rulebook.load import load_quickly

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "fixtures" / "local").glob("*.yaml"))
BOOK = load_quickly()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_each_is_invented_and_right_and_its_cases_hold(path: Path) -> None:
    assert path.read_text(encoding="utf-8").startswith("# Invented")
    book = check_files([path], BOOK)
    mine = [r for r in book.rules.values() if r.file == str(path)]
    assert mine
    assert all(len(rule.cases) >= 4 for rule in mine)
    assert [p.case.name for p in prove_all(mine, book) if not p.holds] == []


def test_all_together_they_are_right(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "check", *map(str, FILES)]) == 0
    said = capsys.readouterr().out
    for words in ("us-570-9a-tread tightened", "us-570-9b-size set aside, from 2026-10-01, until 2027-03-31"):
        assert words in said


def test_the_report_names_all_of_them_and_what_each_changes(capsys: pytest.CaptureFixture[str]) -> None:
    rules = [word for path in FILES for word in ("--rules", str(path))]
    gate = ["gate", str(ROOT / "fixtures" / "juniper.yaml"), "--on", "2026-12-01", "--for", "occasional"]
    code = main([*gate, *rules])
    said = " ".join(capsys.readouterr().out.split())
    assert code == 1  # NO-GO: nothing here loosens what holds Juniper back
    assert "CHANGED RULES (6)" in said
    for path in FILES:
        assert f"as stated by {path}" in said
    assert "tires of one size cannot be had this winter" in said
    after = [*gate]
    after[after.index("2026-12-01")] = "2027-11-01"
    main([*after, *rules])
    said = " ".join(capsys.readouterr().out.split())
    assert "this ended on 2027-03-31, so it does nothing on this day" in said
    assert "this ended on 2027-10-31, so it does nothing on this day" in said
