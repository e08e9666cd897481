"""It pulled to the right: after the drive he writes that, and one hot drum.

He gives up if it wants a diagnosis code, or leaves yesterday's GO standing.
"""

from __future__ import annotations

import re

import pytest

from tests.stories.telling import GO, NO_GO, UNDECIDED, Person, all_in, kept

DAY = "2026-11-14"
PULLED = (
    "done drive went badly right front",
    "brake straight stop pulls, must be held",
    "rf hub drum temperature 210 degF; lf hub drum temperature 120 degF",
)
GATHERED = (
    "tire-pressure-cold",
    "brake-lining-thickness",
    "brake-drum-surface",
    "brake-hose-condition",
    "brake-free-turn",
)


@pytest.fixture
def driver(person: Person) -> Person:
    """The truck that was GO for its first drives in the morning."""
    person.has("juniper-ready.yaml", "juniper.yaml")
    assert person.types(f"gate juniper.yaml --for proving --on {DAY}").code == GO
    jotted = person.types(f"jot juniper.yaml --on {DAY} --drove '4 mi'", *PULLED)
    assert jotted.code == 0, jotted.out
    return person


@pytest.mark.parametrize("day", [DAY, "2026-11-15"])
def test_the_go_of_the_morning_does_not_stand(driver: Person, day: str) -> None:
    said = driver.types(f"gate juniper.yaml --for proving --on {day}")
    assert said.code == NO_GO
    against = said.part("WHAT STANDS AGAINST IT")
    all_in(("pulls, must be held", "Hub heat after a drive - front axle"), against)


def test_it_is_back_in_the_yard(driver: Person) -> None:
    said = driver.types(f"gate juniper.yaml --on {DAY}")
    assert f"GO for yard on {DAY}; you have not said for what" in said.out
    kept("08-against", said.part("WHAT STANDS BEFORE proving"))


def test_it_gathers_both_front_wheels_and_asks_for_what_is_missing(driver: Person) -> None:
    said = driver.types(f"gate juniper.yaml --for proving --on {DAY}")
    for point in GATHERED:
        item = said.item(f"- {point}:")
        all_in(("left front", "right front", f"void since a drive went badly on {DAY}"), item)
    said = driver.types(f"work juniper.yaml --for proving --on {DAY}")
    event = said.item(f"{DAY}: a drive went badly - right front")
    all_in(("Compare the two sides of the axle before you take anything apart",), event)
    all_in(GATHERED, event)


def test_no_code_is_asked_for(driver: Person) -> None:
    text = (driver.folder / "juniper.yaml").read_text(encoding="utf-8")
    added = text[text.rindex("# jotted:") :].splitlines()[1:]
    assert len(added) <= 11
    assert not re.search(r"\b[A-Z]{1,2}[0-9]{2,}\b", "\n".join(added))


def test_a_pull_and_an_event_in_one_breath_are_no_go_either(person: Person) -> None:
    """What was read before the event counts no more, so it cannot tell; it is never GO."""
    person.has("juniper-ready.yaml", "juniper.yaml")
    line = "brake straight stop pulls, must be held; done drive went badly"
    assert person.types(f"jot juniper.yaml --on {DAY} --by RO", line).code == 0
    assert person.types(f"gate juniper.yaml --for proving --on {DAY}").code in (NO_GO, UNDECIDED)
