"""The evening before the first drive: what is missing for tomorrow, and ten minutes in the morning.

He gives up if it only says fail, because a washer jet is missing on a truck that never had one.
"""

from __future__ import annotations

import re

import pytest

from tests.stories.telling import GO, UNDECIDED, Person, all_in, kept

LAST_MORNING = "  - on: 2026-11-14\n"
NEVER_LOOKED = ("horn-action", "windshield-crack", "mirror-view", "clutch-release")
# These count for 30 days; read on 2026-10-03 they end with 2026-11-02.
GONE_STALE = {"extinguisher-state": "in reach and charged", "belt-buckle": "latches and releases"}
MORNING = (
    "lf tire standing holds its shape; rf tire standing holds its shape",
    "lr tire standing holds its shape; rr tire standing holds its shape",
    "cold pressure lf 31 psi; cold pressure rf 30 psi; cold pressure lr 36 psi; cold pressure rr 37 psi",
    "lf nuts missing 0; rf nuts missing 0; lr nuts missing 0; rr nuts missing 0",
    "tire bulge no; tire cut none; turn lamp bright; load cannot move",
    "brake fluid traces dry; fuel traces dry; fuel leak running dry",
    "pedal feel firm; brake fluid level full; coolant level full; oil level between marks",
    "throttle return snaps shut; stop lamp bright; oil pressure shows at once",
    "horn clear; windshield crack 0 in; mirror view good; clutch release clean",
    "extinguisher in reach and charged; belt buckle latches and releases",
)


@pytest.fixture
def evening(person: Person) -> Person:
    """The record without its last morning; four readings were never taken and two are too old."""
    file = person.has("juniper-ready.yaml", "juniper.yaml")
    text = file.read_text(encoding="utf-8")
    text = text[: text.index(LAST_MORNING)]
    for point in (*NEVER_LOOKED, *GONE_STALE):
        text, count = re.subn(rf"^ +{point}: .*\n", "", text, flags=re.M)
        assert count == 1, point
    old = "".join(f"      {point}: {state}\n" for point, state in GONE_STALE.items())
    october = "  - on: 2026-10-03\n    by: RO\n    readings:\n"
    text = text.replace(october, october + old)
    text = text.replace("  system-voltage:", "  washer: not fitted\n  system-voltage:")
    file.write_text(text, encoding="utf-8")
    return person


def test_for_tomorrow_it_says_what_is_missing_and_not_just_no(evening: Person) -> None:
    said = evening.types("gate juniper.yaml --for proving --on 2026-11-14")
    assert said.code == UNDECIDED
    assert not said.has("WHAT STANDS AGAINST")
    for point in NEVER_LOOKED:
        item = said.item(f"- {point}:")
        assert "why:" not in item  # nobody looked yet
        all_in(("with ", "write "), item)
    for point, state in GONE_STALE.items():
        assert f"why: run out after 2026-11-02 (was {state})" in said.item(f"- {point}:")
    # The rest is what every drive asks for on its own day, and the pressures of the week.
    missing = said.part("NOT MEASURED YET")
    of_the_day = " ".join(missing.split()).count("counts for the day of the reading")
    assert of_the_day >= 12
    assert f"\n  {of_the_day + 1 + len(NEVER_LOOKED) + len(GONE_STALE)} readings are missing.\n" in said.out
    items = [said.hanging(f"- {point}:") for point in (*NEVER_LOOKED, *GONE_STALE)]
    kept(
        "03-evening", "\n".join([said.part("UNDECIDED for proving"), *items, said.part("IF IT BECOMES A GO")])
    )


def test_equipment_that_it_never_had_holds_nothing_up(evening: Person) -> None:
    asked = "gate juniper.yaml --for occasional --sources eu-2014-45 --on 2026-11-14"
    assert "washer-action" not in evening.types(asked).out
    file = evening.folder / "juniper.yaml"
    fitted = file.read_text(encoding="utf-8").replace("washer: not fitted", "washer: fitted")
    file.write_text(fitted, encoding="utf-8")
    assert "washer-action" in evening.types(asked).out


def test_after_ten_minutes_in_the_morning_it_is_go_within_limits(evening: Person) -> None:
    jotted = evening.types("jot juniper.yaml --on 2026-11-14 --by RO", *MORNING)
    assert jotted.code == 0, jotted.out + jotted.err
    said = evening.types("gate juniper.yaml --for proving --on 2026-11-14")
    assert said.code == GO
    assert "Only within the limits below, and only on this day." in said.out
    limits = said.part("LIMITS OF THIS GO")
    all_in(("top speed: 35 mph", "distance from base: 5 mi", "daylight only", "dry at the start"), limits)
    back = said.part("TURN BACK OR STOP WHEN")
    all_in(("brake pedal", "pulls to one side", "smell", "too hot to touch", "lamp", "Oil pressure"), back)
    kept("03-morning", said.part("GO for proving", "LIMITS", "TURN BACK"))


def test_the_go_of_the_morning_is_gone_the_day_after(evening: Person) -> None:
    assert evening.types("jot juniper.yaml --on 2026-11-14 --by RO", *MORNING).code == 0
    assert evening.types("gate juniper.yaml --for proving --on 2026-11-15").code == UNDECIDED
