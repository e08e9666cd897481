"""Back after six weeks: where was I?

He gives up if he is met by a fresh empty list, or if notes in his own words cannot be found again.
"""

from __future__ import annotations

import pytest

from tests.stories.telling import UNDECIDED, Person, all_in, kept

# The last visit was on 2026-11-14; six weeks later is 2026-12-26.
BACK = "compare juniper.yaml --since 2026-10-03 --on 2026-12-26"


@pytest.fixture
def back(person: Person) -> Person:
    person.has("juniper-ready.yaml", "juniper.yaml")
    return person


def test_it_says_where_he_was(back: Person) -> None:
    said = back.types(BACK)
    assert said.code == UNDECIDED
    where = said.part("WHERE YOU WERE")
    words = " ".join(where.split())
    all_in(
        (
            "Last visit: 2026-11-14 by RO, 42 days ago",
            "Found since",
            "Mended (6 readings): wheel-cylinder-leak (left rear); brake-hose-condition (right front)",
            "Work done since: wheel cylinder or caliper replaced or rebuilt, left rear (2026-10-24)",
            "Gone stale since",
            "Never looked at",
            "Next, what to measure: precheck sheet juniper.yaml",
            "Next, what to mend: precheck work juniper.yaml",
        ),
        words,
    )
    kept("07-mended", said.part("MENDED"))


def test_what_was_found_and_mended_stands_together(back: Person) -> None:
    mended = back.types(BACK).item("- brake-hose-condition, right front")
    all_in(
        (
            "cracked to fabric (2026-10-03) -> sound (2026-11-01 by RO)",
            "work between: brake hose replaced on 2026-10-24",
            "us-570-5e-hoses",
        ),
        mended,
    )


def test_what_has_gone_stale_says_when_and_what_it_was(back: Person) -> None:
    said = back.types(BACK)
    all_in(("run out after 2026-12-01 (was in reach and charged)",), said.item("- extinguisher-state:"))
    all_in(("run out after 2026-12-08 (was both hold)",), said.item("- hood-latch:"))
    # What counts for a year is not called stale.
    assert "- brake-lining-thickness" not in said.part("RUN OUT")


def test_what_may_wait_says_until_when(back: Person) -> None:
    said = back.types("work juniper.yaml --for occasional --on 2026-12-26")
    assert "The reading counts through 2027-11-01; then look again." in said.item("- Rust of the frame")


def test_notes_in_his_own_words_are_found_again(back: Person) -> None:
    note = "rattles over the bridge; ask the neighbor for his puller"
    assert (
        back.types("jot juniper.yaml --on 2026-11-15 --by RO", f'exhaust support muffler loose "{note}"').code
        == 0
    )
    notes = " ".join(back.types(BACK).part("NOTES SINCE").split())
    all_in((note, "behind the hanger", "2026-11-15 by RO"), notes)
