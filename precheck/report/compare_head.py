"""The first screen of a comparison: where you were."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from precheck.answer.compare_record import Compared, ReadingMoved
from precheck.report.lines import Page, counted, listed

_FEW = 3  # names told on the first screen


def head(found: Compared, page: Page) -> None:
    """Which days, which vehicle, the verdict, and the answers to "where was I?"."""
    page.say(f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})")
    page.say(f"Compared with: {found.day_then}{' and the rules of then' if found.rules_moved else ''}")
    page.say(f"{f'Vehicle: {found.called}; file' if found.called else 'File'}: {found.file}")
    if found.file_then != found.file:
        page.say(f"Older file: {found.file_then}")
    uses = listed(found.uses) if found.uses else f"none named; told about {listed(found.shown_for)}"
    page.say(f"Use: {uses}")
    page.blank()
    if found.looking_back:
        page.say("LOOKING BACK: this day lies before the last visit in the file, so it is a GO for no day.")
    page.say(found.headline_now)
    page.say(f"(then: {found.headline_then})", 2)
    _where(found, page)


def _where(found: Compared, page: Page) -> None:
    page.heading("WHERE YOU WERE")
    _last_visit(found, page)
    about = listed(found.shown_for)
    if found.against:
        page.say(f"Against {about} now: {_few(found.against)}.", 2)
    else:
        page.say(f"Against {about} now: nothing that was found.", 2)
    _kinds(found, page)
    _work(found, page)
    if found.put_off:
        ends = [f"{line.title} until {line.until} ({line.standing})" for line in found.put_off]
        page.say(f"Put off: {_few(ends)}.", 2)
    page.say(
        f"Never looked at, and asked for {about}: {counted(found.never_now, 'reading')} ({found.never_then} "
        "then).",
        2,
    )
    if found.questions:
        page.say(f"Questions not answered: {_few(found.questions)}.", 2)
    file = shlex.quote(found.file)
    page.say(f"Next, what to measure: precheck sheet {file} --for {found.next_use}", 2)
    page.say(f"Next, what to mend: precheck work {file} --for {found.next_use}", 2)


def _last_visit(found: Compared, page: Page) -> None:
    if not found.visits:
        page.say("Last visit: none up to this day.", 2)
        return
    last = found.visits[-1]
    ago = {0: "the same day", 1: "1 day ago"}.get(last.days_ago, f"{last.days_ago} days ago")
    who = f" by {last.by}" if last.by else ""
    since = sum(visit.since for visit in found.visits)
    visits = counted(since, "visit") if since else "no visit"
    page.say(f"Last visit: {last.on}{who}, {ago}. Since {found.day_then}: {visits}.", 2)


def _kinds(found: Compared, page: Page) -> None:
    for kind, words in (
        ("new", "Found since"),
        ("worse", "Worse"),
        ("mended", "Mended"),
        ("better", "Better"),
        ("run out", "Gone stale since"),
        ("work done", "To look at again after work"),
        ("struck", "Struck"),
        ("cannot tell", "Cannot be told any more"),
        ("gone", "No longer there"),
    ):
        moved = [m for m in found.readings if m.kind == kind]
        if moved:
            page.say(f"{words} ({counted(len(moved), 'reading')}): {_few(_names(moved))}.", 2)
    if not any(m.kind not in ("first look", "confirmed") for m in found.readings):
        page.say("No reading is worse, better or gone since.", 2)


def _names(moved: Sequence[ReadingMoved]) -> list[str]:
    """Points with their places; one without places alone."""
    places: dict[str, list[str]] = {}
    for m in moved:
        places.setdefault(m.point, []).extend([] if m.place == "vehicle" else [m.place_words])
    return [f"{point}{f' ({listed(at)})' if at else ''}" for point, at in places.items()]


def _work(found: Compared, page: Page) -> None:
    since = [w for w in found.work if w.since]
    shown = since or [w for w in found.work if w.on == found.work[-1].on]
    if not shown:
        page.say("Work done: none written.", 2)
        return
    said = [f"{w.words}{f', {listed(w.at)}' if w.at else ''} ({w.on})" for w in shown]
    words = "Work done since" if since else "No work since; the last was"
    page.say(f"{words}: {_few(said)}.", 2)


def _few(names: Sequence[str]) -> str:
    """The first names, and how many more there are."""
    more = len(names) - _FEW
    if more < 1:
        return "; ".join(names)
    return f"{'; '.join(names[:_FEW])}; and {more} more"
