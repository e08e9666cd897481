"""`why`, `suppose` and `compare` as pages: all that their text reports say, in sections and lists."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.compare_record import Compared
from precheck.answer.explain import Explanation, Supposed
from precheck.answer.trend_record import Trend
from precheck.report import compare as compare_text
from precheck.report import suppose as suppose_text
from precheck.report import why as why_text
from precheck.report.html.outline import Outline, without_last
from precheck.report.html.page import document
from precheck.report.html.plot import plot
from precheck.report.trend import WEAR


def why_page(found: Explanation) -> str:
    """One page in one file. The same record gives the same bytes."""
    page = Outline()
    why_text.lay_out(found, page)
    about = found.headline if found.asked_kind == "verdict" else found.asked
    return _page(f"Why: {about}", page, found.trends)


def compare_page(found: Compared) -> str:
    """One page in one file, with wear drawn."""
    page = Outline()
    compare_text.lay_out(found, page)
    return _page(found.headline_now, page, found.trends)


def suppose_page(found: Supposed) -> str:
    """One page in one file; every line with a verdict says SUPPOSED."""
    page = Outline()
    suppose_text.lay_out(found, page)
    return _page(found.headline_supposed, page)


def _page(title: str, page: Outline, trends: Sequence[Trend] = ()) -> str:
    sections = without_last(page.sections)
    return document(
        "outline.html",
        title=title,
        top=page.top,
        sections=sections,
        plots=[plot(trend, number) for number, trend in enumerate(trends, 1)],
        plots_in=next((s.id for s in sections if s.heading.startswith(WEAR)), ""),
    )
