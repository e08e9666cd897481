"""`work` as a page: all that its text report says, in sections and lists."""

from __future__ import annotations

from precheck.answer.mending import WorkAnswer
from precheck.report import work as work_text
from precheck.report.html.outline import Outline, without_last
from precheck.report.html.page import document


def work_page(found: WorkAnswer, *, parts_only: bool = False) -> str:
    """One page in one file; `parts_only` the list for the counter. The same record gives the same bytes."""
    page = Outline()
    work_text.lay_out(found, page, parts_only)
    title = "After this work" if found.asked_after else "Parts" if parts_only else "Work on the vehicle"
    return document("outline.html", title=title, top=page.top, sections=without_last(page.sections))
