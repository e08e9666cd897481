"""The answer as a page: the words of the text report in sections, with tables and a plan view."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from precheck.answer.plan_record import Plan
from precheck.answer.record import Answer
from precheck.answer.trend_record import Trend
from precheck.model.rules import Verdict
from precheck.report import ending, text
from precheck.report.changes import change_section
from precheck.report.html.outline import Outline, Section
from precheck.report.html.page import document
from precheck.report.html.plan_view import drawing, rows
from precheck.report.html.plot import plot
from precheck.report.lines import Page
from precheck.report.missing import Cautions
from precheck.report.putoff import put_off_section
from precheck.report.trend import trend_section

Lay = Callable[[Page], None]


def render(answer: Answer, plan: Plan, trends: Sequence[Trend] = ()) -> str:
    """One page in one file, with wear drawn where it can be told. The same answer gives the same bytes."""
    cautions = Cautions(answer.cautions)
    found = _sections(lambda page: _found(answer, page))
    missing = _sections(lambda page: _missing(answer, cautions, page), "open")
    rest = _sections(lambda page: _rest(answer, cautions, page), "end")
    return document(
        "gate.html",
        title=f"{answer.headline}{f' - {answer.called}' if answer.called else ''}",
        answer=answer,
        about=_top(answer),
        sums=text.sums(answer),
        looking_back=text.LOOKING_BACK,
        found=found,
        missing=missing,
        rest=rest,
        plan=plan,
        view=drawing(plan),
        table=[(place.words, rows(place)) for place in plan.places],
        wear=_sections(lambda page: trend_section(trends, page), "wear"),
        plots=[plot(trend, number) for number, trend in enumerate(trends, 1)],
        binds=ending.BINDS,
    )


def _top(answer: Answer) -> tuple[object, ...]:
    page = Outline()
    for line in text.about(answer):
        page.say(line)
    return page.top


def _found(answer: Answer, page: Page) -> None:
    text.highest_limits(answer, page)
    change_section(answer, page)
    text.against(answer, page)
    if not text.prospective(answer):
        text.limits(answer, page)
    if answer.verdict is Verdict.GO:
        text.turn_back(answer, page)


def _missing(answer: Answer, cautions: Cautions, page: Page) -> None:
    text.missing(answer, cautions, page)
    if text.prospective(answer):
        text.limits(answer, page)
    put_off_section(answer, page)
    text.also(answer, page)


def _rest(answer: Answer, cautions: Cautions, page: Page) -> None:
    ending.rests(answer, page)
    ending.cautions_left(cautions, page)
    ending.honesty(answer, page)


def _sections(lay: Lay, prefix: str = "part") -> tuple[Section, ...]:
    page = Outline(prefix)
    lay(page)
    return page.sections
