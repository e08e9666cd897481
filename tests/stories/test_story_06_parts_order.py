"""Parts order: phone in hand at the counter. Which end, how long out and in, what eye, what count, what pair?

He gives up if a size is for a "shock" without a place, or if it was converted and rounded.
"""

from __future__ import annotations

import pytest

from tests.stories.telling import Person, Said, all_in, kept

ON = "--on 2026-11-14"
# Every size in the unit of the tool at hand, one of them in millimeters.
JOTTED = (
    "lr shock leak drops fall; lf shock leak dry; rf shock leak dry; rr shock leak dry",
    "lr shock extended length 22 5/8 in; rr shock extended length 22 1/2 in",
    "lr shock collapsed length 345 mm",
    "shock eye diameter left rear top 0.63 in; shock eye diameter left rear bottom 5/8 in",
    "shock eye width left rear top 1 1/2 in",
)


@pytest.fixture
def order(person: Person) -> Said:
    person.has("juniper-ready.yaml", "juniper.yaml")
    jotted = person.types(f"jot juniper.yaml {ON} --by RO", *JOTTED)
    assert jotted.code == 0, jotted.out
    return person.types(f"work juniper.yaml --parts --for occasional {ON}")


def test_every_size_names_its_place_and_stands_as_it_was_written(order: Said) -> None:
    shocks = order.item("2 x shock absorber")
    all_in(
        (
            "2 x shock absorber - left rear, right rear",
            "fully out, left rear: 22 5/8 in (measured by RO on 2026-11-14)",
            "fully out, right rear: 22 1/2 in",
            "fully in, left rear: 345 mm (",
            "for the pin, left rear top: 0.63 in",
            "for the pin, left rear bottom: 5/8 in",
            "along its pin, left rear top: 1 1/2 in",
        ),
        shocks,
    )
    # Nothing was converted or rounded: no other figure than those written.
    for other in ("13.58", "13.6", "574", "575", "22.625", "22.6", "16 mm", "15.9", "0.625", "38 mm"):
        assert other not in shocks
    kept("06-shocks", order.hanging("2 x shock absorber"))


def test_it_says_how_many_and_what_goes_in_pairs(order: Said) -> None:
    shocks = order.item("2 x shock absorber")
    all_in(("Pair: both sides of the axle together; found at left rear", "Buy with it: rubbers"), shocks)


def test_what_was_not_taken_is_named_with_place_and_tool(order: Said) -> None:
    shocks = order.item("2 x shock absorber")
    all_in(
        (
            "Not known yet: eye center to eye center, fully in, right rear (part off the vehicle,",
            "Not known yet: hole of the shock eye or its bushing for the pin, right rear top, right rear",
        ),
        shocks,
    )


def test_parts_that_may_wait_stand_apart(order: Said) -> None:
    out = order.out
    assert out.index("2 x shock absorber") < out.index("For what may wait") < out.index("2 x tire")
