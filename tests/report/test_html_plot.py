"""The plot of a wear trend: places in proportion, everything inside, and the same facts as the text."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from explained import EXPLAINED
from test_html import bare, elements, parsed, said, tag, words

from precheck.answer.trend_record import Trend, TrendEnd, TrendLimit, TrendPoint
from precheck.report.html.plot import HEIGHT, WIDTH, plot
from precheck.report.html.said import why_page
from precheck.report.lines import Page
from precheck.report.trend import trend_section

# Made up: a tire that loses 1 mm in every 100 days, and two limits ahead of it.
START = 738000


def _point(day: int, mm: int) -> TrendPoint:
    return TrendPoint(f"day {day}", str(START + day), f"{mm} mm", str(mm), f"day {day}", "RO")


def _limit(mm: int) -> TrendLimit:
    return TrendLimit(
        f"at least {mm} mm", str(mm), ("r",), ("floor",), False, "", "day 600", "", "by the line"
    )


WEAR = Trend(
    point="tire-tread-depth",
    words="depth of a main groove",
    place="left-front",
    place_words="left front",
    over="date",
    unit="mm",
    points=(_point(0, 8), _point(100, 7), _point(300, 5), _point(400, 4)),
    line=(TrendEnd("day 0", str(START), "8"), TrendEnd("day 800", str(START + 800), "0")),
    rate="less by 3.65 mm per 365 days",
    scatter="0.1 mm",
    step="1 mm",
    reaches_to="day 800",
    limits=(_limit(3), _limit(2)),
    method="Least squares.",
)
RISING = replace(
    WEAR,
    points=tuple(replace(p, number=str(12 - int(p.number))) for p in WEAR.points),
    line=(replace(WEAR.line[0], number="4"), replace(WEAR.line[1], number="12")),
    limits=(_limit(10),),
)


def test_places_are_in_proportion() -> None:
    """Readings at 0, 100, 300 and 400 of 800 days; 8, 7, 5 and 4 of 8 to 0 mm."""
    found = plot(WEAR, 1)
    first, last = found.line
    wide, tall = last.x - first.x, last.y - first.y
    assert [8 * (spot.x - first.x) for spot in found.spots] == pytest.approx(
        [0, wide, 3 * wide, 4 * wide], abs=8
    )
    assert [8 * (spot.y - first.y) for spot in found.spots] == pytest.approx(
        [0, tall, 3 * tall, 4 * tall], abs=8
    )
    assert [8 * (y - first.y) for y in found.limits] == pytest.approx([5 * tall, 6 * tall], abs=8)


@pytest.mark.parametrize("trend", [WEAR, RISING], ids=["falling", "rising"])
def test_more_is_higher_and_later_is_further_right(trend: Trend) -> None:
    found = plot(trend, 1)
    for (one, a), (other, b) in pairwise(zip(found.spots, trend.points, strict=True)):
        assert one.x < other.x
        assert (one.y > other.y) == (int(a.number) < int(b.number))


@pytest.mark.parametrize(
    "trend",
    [
        WEAR,
        RISING,
        replace(WEAR, limits=()),
        # All readings the same, and no line drawn: there is no height to share out.
        replace(WEAR, points=(_point(0, 5), _point(100, 5)), line=(), limits=()),
        replace(WEAR, points=tuple(replace(p, written="a long word of 24 letters") for p in WEAR.points)),
    ],
    ids=["falling", "rising", "no limit", "flat", "long words"],
)
def test_everything_is_inside(trend: Trend) -> None:
    found = plot(trend, 1)
    places = [*found.spots, *found.line]
    assert all(0 <= spot.x <= WIDTH and 0 <= spot.y <= HEIGHT for spot in places)
    assert all(0 <= word.x <= WIDTH and 0 < word.y < HEIGHT for word in found.words)
    shown = [word.text for word in found.words]
    assert [p.written for p in trend.points] == shown[: len(trend.points)]
    assert all(f"limit: {limit.limit}" in shown for limit in trend.limits)


def test_a_page_draws_each_trend_in_the_section_that_tells_it() -> None:
    other = replace(WEAR, place="right-front", place_words="right front")
    page = why_page(replace(EXPLAINED["why-point"], trends=(WEAR, other)))
    sections = [e for e in elements(page, "section") if words(e).strip().startswith("Wear (2")]
    (section,) = sections
    assert len([e for e in section.iter() if tag(e) == "svg"]) == 2
    ids = [e.get("id") for e in parsed(page).iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    text = Page(80, letters=True)
    trend_section((WEAR, other), text)
    told = (
        text.text().split("\n", 1)[1].replace("- tire", "tire")
    )  # without the heading; a list has its own mark
    assert all(bare(line) in bare(said(page)) for line in told.splitlines())
