"""Wear trends in plain text."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.trend_record import Trend
from precheck.report.lines import Page, counted, listed

WEAR = "WEAR"


def trend_section(trends: Sequence[Trend], page: Page) -> None:
    """Each trend with its readings, its rate, and when it reaches each limit; how, said once."""
    if not trends:
        return
    page.heading(f"{WEAR} ({counted(len(trends), 'estimate')}, no part of any verdict)")
    for trend in trends:
        _trend(trend, page)
    for method in dict.fromkeys(trend.method for trend in trends):
        page.say(f"How: {method}", 2)


def _trend(trend: Trend, page: Page) -> None:
    where = "" if trend.place == "vehicle" else f", {trend.place_words}"
    page.say(f"- {trend.point}{where}: {trend.rate}", 2)
    page.say(listed(f"{p.written} ({p.x})" for p in trend.points), 4)
    for limit in trend.limits:
        page.say(f"{limit.limit} ({listed(limit.rules)}): {limit.says}", 4)
    if not trend.limits:
        page.say("No rule that judges here holds a limit on that side.", 4)
    page.say(
        f"Scatter {trend.scatter}, written to {trend.step}; nothing is said beyond {trend.reaches_to}.", 4
    )
