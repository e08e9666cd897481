"""`why` and `suppose` as pages: all that their text reports say, in sections and lists."""

from __future__ import annotations

from precheck.answer.explain import Explanation, Supposed
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
    sections = without_last(page.sections)
    return document(
        "outline.html",
        title=f"Why: {found.headline}" if found.asked_kind == "verdict" else f"Why: {found.asked}",
        top=page.top,
        sections=sections,
        plots=[plot(trend, number) for number, trend in enumerate(found.trends, 1)],
        plots_in=next((s.id for s in sections if s.heading.startswith(WEAR)), ""),
    )


def suppose_page(found: Supposed) -> str:
    """One page in one file; every line with a verdict says SUPPOSED."""
    page = Outline()
    suppose_text.lay_out(found, page)
    return document(
        "outline.html", title=found.headline_supposed, top=page.top, sections=without_last(page.sections)
    )
