"""The cards of one drive: always the same order, and never a GO of their own."""

from __future__ import annotations

import json
from datetime import date
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from precheck.answer.card import AFTER, BEFORE, card
from precheck.answer.gate import Request
from precheck.cli.main import main
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.read.files import read_file
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

ROOT = Path(__file__).resolve().parents[2]
DAY = Day(date(2026, 11, 14), True)
VEHICLES = ("juniper-first-look", "juniper", "juniper-ready", "heron", "linnet", "dunlin")


@cache
def book() -> Rulebook:
    return load_quickly()


@cache
def paper(name: str) -> Document:
    source, _ = read_file(ROOT / "fixtures" / f"{name}.yaml", name)
    assert source is not None
    document, problems = check(source, book(), DAY)
    assert document is not None, problems
    return document


@pytest.mark.parametrize("name", VEHICLES)
@pytest.mark.parametrize("use", ["yard", "proving"])
def test_the_card_before_is_the_same_day_list_in_its_order(name: str, use: str) -> None:
    found = card(paper(name), book(), Request(DAY, (use,)), BEFORE)
    wanted = book().uses[use].same_day
    points = [line.point for group in found.groups for line in group.lines]
    assert points == [n for n in wanted if n in points]
    assert found.turn_back == book().policy.turn_back
    said = " ".join(found.standing)
    assert ("This is no GO" in said) == (found.verdict.value != "GO")
    assert bool(found.limits) == (found.verdict.value == "GO")


def test_it_says_what_the_card_does_not_cover() -> None:
    said = " ".join(card(paper("juniper"), book(), Request(DAY, ("proving",)), BEFORE).standing)
    assert "Beside this card: " in said
    assert "7 rules stand against it" in said


def test_the_evening_before_nothing_but_the_card_is_missing() -> None:
    """The next day the readings of the day are gone, and only they."""
    tomorrow = Day(date(2026, 11, 15), True)
    found = card(paper("juniper-ready"), book(), Request(tomorrow, ("proving",)), BEFORE)
    assert found.verdict.value == "UNDECIDED"
    assert "Nothing but this card is missing." in found.standing
    assert not any(place.today for g in found.groups for line in g.lines for place in line.places)


def test_the_card_after_asks_for_heat_and_how_it_drove() -> None:
    found = card(paper("juniper-ready"), book(), Request(DAY, ("proving",)), AFTER)
    points = [line.point for group in found.groups for line in group.lines]
    assert points[0] == "hub-drum-temperature"
    assert "brake-straight-stop" in points
    assert "trailer-brakes" not in points  # it has no trailer
    assert found.limits == ()
    assert found.turn_back == ()


@pytest.mark.parametrize("kind", [BEFORE, AFTER])
def test_every_form_has_it(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["sheet", str(ROOT / "fixtures" / "juniper.yaml"), "--on", "2026-11-14", "--card", kind]
    schema = json.loads((ROOT / "schemas" / "card.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    main([*command, "--as", "json"])
    record = json.loads(capsys.readouterr().out)
    jsonschema.validate(record, schema)
    main(command)
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    main([*command, "--as", "html"])
    page = capsys.readouterr().out
    flat = " ".join(text.split())
    for group in record["groups"]:
        for line in group["lines"]:
            assert line["words"] in flat
            assert line["words"][1:].replace("'", "&#39;") in page
    for end in (flat, page):
        assert "This card is no verdict." in end


def test_the_sheet_fits_its_schema(capsys: pytest.CaptureFixture[str]) -> None:
    schema = json.loads((ROOT / "schemas" / "sheet.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    for more in ([], ["--at", "under", "--tools", "lamp"]):
        command = ["sheet", str(ROOT / "fixtures" / "juniper.yaml"), "--on", "2026-11-14", *more]
        main([*command, "--as", "json"])
        jsonschema.validate(json.loads(capsys.readouterr().out), schema)
