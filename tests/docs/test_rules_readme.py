"""The manual for rule authors: its examples work as they stand, and its list of standing is the program's."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from precheck.answer.checking import check_files
from precheck.model.catalogue import Day
from precheck.model.changes import ChangeKind
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.changes import STANDING
from precheck.rulebook.load import load_quickly
from precheck.rulebook.schema import against, schemas_folder
from precheck.settle.check import check

TEXT = (Path(__file__).resolve().parents[2] / "rules" / "README.md").read_text(encoding="utf-8")
ADDED, CHANGED, ACCEPTED, PUT_OFF = re.findall(r"```yaml\n(.*?)```", TEXT, re.S)
BOOK = load_quickly()


def test_the_example_has_ten_lines_and_is_a_good_file(tmp_path: Path) -> None:
    assert len(ADDED.splitlines()) == 10
    path = tmp_path / "mine.yaml"
    path.write_text(ADDED, encoding="utf-8")
    book = check_files([path], BOOK)
    assert "my-free-play" in book.rules
    assert book.sources["my-handbook"].kind == "own"


def test_the_changes_are_good_in_the_file_of_a_law(tmp_path: Path) -> None:
    head = ADDED.split("add:")[0].replace("kind: handbook", "kind: law")
    path = tmp_path / "law.yaml"
    path.write_text(
        head.replace("address: none", "address: https://county.invalid/1") + CHANGED, encoding="utf-8"
    )
    book = check_files([path], BOOK)
    assert [c.kind for c in book.changes] == [ChangeKind.TIGHTEN, ChangeKind.LOOSEN, ChangeKind.SET_ASIDE]


def test_the_acceptance_and_the_plan_are_read() -> None:
    head = "condition: 1\nvehicle: {region: us, vehicle-class: light truck, rear-wheels: single}\n"
    source, problems = read_yaml((head + ACCEPTED + PUT_OFF).encode(), "made-up.yaml")
    assert source is not None, problems
    found, problems = check(source, BOOK, Day(date(2026, 11, 14), True))
    assert found is not None, problems
    assert found.accepted[0].rule == "tire-trade-ten"
    assert (found.put_off[0].rule, found.put_off[0].uses) == ("floor-brake-hose", ("occasional",))
    assert against(source, "condition") == ()


def test_standing_is_told_in_the_programs_order() -> None:
    said = re.search(r"Standing, from high to low: (.*?)\.", TEXT.replace("\n   ", " "))
    assert said is not None
    ranks = [[STANDING[word] for word in step.split(" = ")] for step in said[1].split(" > ")]
    assert [set(step) for step in ranks] == [{n} for n in sorted(set(STANDING.values()), reverse=True)]
    assert sum(len(step) for step in ranks) == len(STANDING)


def test_the_precedence_is_a_numbered_list() -> None:
    section = TEXT.split("### What goes before what")[1].split("###")[0]
    assert re.findall(r"^(\d)\. ", section, re.M) == [str(n) for n in range(1, 8)]


@pytest.mark.parametrize("name", ["local-rules", "condition", "rules", "points", "facts"])
def test_the_schemas_it_names_are_there(name: str) -> None:
    assert (schemas_folder() / f"{name}.schema.json").is_file()
