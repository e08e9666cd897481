"""The number is just under: one lining a hair below the limit.

He gives up if it says no without a reason he can check, or by a rule for heavy trucks.
"""

from __future__ import annotations

import re

import pytest

from tests.stories.telling import NO_GO, Person, all_in, kept

ON = "--on 2026-11-14"
# 1/32 in is 0.03125 in: 49 CFR 570.5(g), from 10,000 lb up 570.59(c).
A_HAIR_UNDER = "0.03 in"


@pytest.fixture
def owner(person: Person) -> Person:
    file = person.has("juniper-ready.yaml", "juniper.yaml")
    text = file.read_text(encoding="utf-8")
    under = f"brake-lining-thickness: {{lf: {{is: {A_HAIR_UNDER}, with: steel ruler}}, rf: 5/32 in"
    text, count = re.subn("brake-lining-thickness: {lf: 5/32 in, rf: 5/32 in", under, text)
    assert count == 1
    file.write_text(text, encoding="utf-8")
    return person


def test_it_says_no_with_a_reason_that_he_can_check(owner: Person) -> None:
    said = owner.types(f"gate juniper.yaml --for occasional {ON}")
    assert said.code == NO_GO
    against = said.part("WHAT STANDS AGAINST IT")
    words = " ".join(against.split())
    all_in(
        (
            "left front: 0.03 in (about 0.00125 in short)",
            "Needs: at least 1/32 in",
            "with steel ruler",
            "Source: 49 CFR part 570, vehicle in use inspection standards, 570.5(g); read in its own text",
            "riveted (over the rivet heads) and bonded (over the shoe, thinnest point)",
            'The source calls it: "below the inspection standard"',
        ),
        words,
    )
    # Only the laws for its own weight speak against it.
    assert re.findall(r"Source: (?:49 CFR part 570, .*?|The floor), ([^;]*);", words) == [
        "brake-lining-front",
        "570.5(g)",
    ]
    kept("04-against", against)


def test_why_says_that_the_ruler_cannot_tell_and_that_bonded_linings_differ(owner: Person) -> None:
    said = owner.types(f"why juniper.yaml brake-lining-thickness@lf {ON}")
    all_in(
        (
            "smaller than the 0.01 in to which it was read: measure again with a finer instrument",
            "Compared: brake-lining-thickness at left front: 0.03 in, needs at least 1/32 in: fails",
            "At least 1/16 inch of a bonded front lining",
            "one figure for riveted",
            'suppose "brake-lining-thickness@left-front: 1/32 in" (tried: meets)',
        ),
        said.words,
    )
    # The rules for heavy trucks are there to be seen, and say themselves that they do not apply.
    heavy = said.words[said.words.index("Rule us-570-59c-fastener-front") :]
    assert (
        "It does not apply: gross-weight-rating is 7500 lb, and it applies where more than 10000 lb" in heavy
    )
    kept("04-why", said.part("ABOUT", "THE RULES THAT JUDGE IT"))


def test_the_finer_instrument_settles_it(owner: Person) -> None:
    gauge = '"lf brake lining thickness 0.032 in with depth gauge"'
    assert owner.types(f"jot juniper.yaml {ON} {gauge}").code == 0
    said = owner.types(f"gate juniper.yaml --for proving {ON}")
    assert said.code == 0
    assert not said.has("WHAT STANDS AGAINST")


def test_exactly_the_limit_is_enough_and_a_sixty_fourth_under_is_not(owner: Person) -> None:
    for written, code in (("1/32 in", 0), ("1/64 in", NO_GO)):
        assert owner.types(f"jot juniper.yaml {ON}", f"lf brake lining thickness {written}").code == 0
        assert owner.types(f"gate juniper.yaml --for proving {ON}").code == code
