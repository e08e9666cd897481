"""The sheet as a page to print: all that its text report says, with blanks to write in."""

from __future__ import annotations

from precheck.answer.sheet_record import Sheet
from precheck.report import sheet as sheet_text
from precheck.report.html.outline import Outline
from precheck.report.html.page import document


def sheet_page(found: Sheet) -> str:
    """One page in one file. The same record gives the same bytes."""
    page = Outline()
    sheet_text.lay_out(found, page)
    return document("outline.html", title="What to measure", top=page.top, sections=page.sections)
