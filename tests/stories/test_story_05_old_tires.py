"""Old tires, good rubber: bought years ago, no cracks.

He gives up if they are banned flat, and then believes nothing else; or if they pass in silence.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.stories.telling import GO, NO_GO, Person, all_in, kept

ON = "--on 2026-11-14"
LOOKED_AT = Path(__file__).parent / "documents" / "looked-at-for-occasional.yaml"


@pytest.fixture
def owner(person: Person) -> Person:
    """All else sound and looked at; four tires of week 9 of 2007, without a crack."""
    file = person.has("juniper-ready.yaml", "juniper.yaml")
    text = file.read_text(encoding="utf-8")
    codes = "tire-date-code: {lf: 0907, rf: 0907, lr: 0907, rr: 0907}"
    text, count = re.subn(r"tire-date-code: {lf: 1417.*", codes, text)
    assert count == 1
    assert "tire-cracking: fine surface lines" in text
    text = text.replace("tire-cracking: fine surface lines", "tire-cracking: none")
    file.write_text(text + LOOKED_AT.read_text(encoding="utf-8"), encoding="utf-8")
    return person


@pytest.mark.parametrize("use", ["yard", "proving"])
def test_yard_and_first_drives_are_go(owner: Person, use: str) -> None:
    said = owner.types(f"gate juniper.yaml --for {use} {ON}")
    assert said.code == GO
    # Seen, and said: it does not pass in silence.
    assert "19 years 8 months" in said.words


def test_fair_weather_is_go_with_limits_that_name_the_tires(owner: Person) -> None:
    said = owner.types(f"gate juniper.yaml --for occasional {ON}")
    assert said.code == GO
    limits = said.part("LIMITS OF THIS GO")
    all_in(
        ("top speed: 45 mph (why: Tires over ten years", "distance from base: 25 mi", "no trailer"), limits
    )
    assert "look again: tire cracks and bulges, before each drive" in " ".join(limits.split())
    found = said.part("FOUND, AND ALLOWED ONLY WITHIN LIMITS")
    age = "0907: week 9 of 2007, 2007-03-04 to 2007-03-10; on 2026-11-14: 19 years 8 months old"
    all_in((age, "Source: Tire age, as the tire trade advises, ten years"), " ".join(found.split()))
    kept("05-fair-weather", limits)


def test_motorway_and_trailer_are_no_for_the_tires_alone(owner: Person) -> None:
    for use in ("motorway", "towing"):
        said = owner.types(f"gate juniper.yaml --for {use} {ON}")
        assert said.code == NO_GO
        against = said.part("WHAT STANDS AGAINST IT")
        assert "(1 rule)" in against
        assert "1. Tires over ten years" in against


def test_it_names_the_day_on_which_this_changes(owner: Person) -> None:
    # Made between 2007-03-04 and 2007-03-10 (49 CFR 574.5: week 9), so twenty years old within that week.
    said = owner.types(f"work juniper.yaml --for occasional {ON}")
    words = " ".join(said.part("WHAT MAY WAIT").split())
    told = (
        "meets through 2027-03-04 if nothing else changes, from 2027-03-05 on it cannot be told, and it fails"
    )
    all_in((f"Tires over twenty years - left front, right front: {told} from 2027-03-11 on",), words)
    assert "top speed: 40 mph, distance from base: 10 mi" in words[words.index(told) :]


@pytest.mark.parametrize(
    ("day", "states"),
    [("2027-03-04", {"meets"}), ("2027-03-05", {"cannot tell"}), ("2027-03-11", {"fails"})],
)
def test_and_on_that_day_it_does_change(owner: Person, day: str, states: set[str]) -> None:
    said = owner.types(f"gate juniper.yaml --for occasional --as json --on {day}")
    findings = json.loads(said.out)["findings"]
    assert {f["state"] for f in findings if f["rule"] == "tire-trade-twenty"} == states
