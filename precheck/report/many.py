"""Several vehicles in plain text: one table, a line each; then what could not be judged and why."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.answer.many_record import NOT_JUDGED, Many, VehicleLine
from precheck.read.show import problem_lines
from precheck.report.lines import Page, counted, listed

_COLUMNS = 2  # uses with a column of their own; more share one
_VERDICT = 9  # columns of the longest verdict
_GAP = 2


def render(found: Many, width: int = 80, *, letters: bool = False) -> str:
    """The table and the problems. The same record gives the same bytes."""
    page = Page(width, letters)
    page.say(f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})")
    page.say(f"Use: {listed(found.uses) if found.uses else 'none named, so the whole ladder is judged'}")
    for folder in found.folders:
        left = f"; {counted(folder.left, 'other entry', 'other entries')} left out" if folder.left else ""
        page.say(f"Folder {folder.name}: took {listed(folder.took)}{left}")
    _table(found, page)
    if not found.uses:
        page.blank()
        page.say("You have not said for what, so the exit code is never 0.")
    _problems(found, page)
    page.heading("WHAT THIS IS NOT")
    page.say(
        "These are the owners' own pre-checks. They are no inspection, and they give no right to drive. "
        "Local inspection law and licensed inspectors decide. A GO holds within its limits only, and on this "
        "day only; `precheck gate FILE` shows them.",
        2,
    )
    page.say(f"precheck {found.version}, rules {found.rules_digest}", 2)
    page.heading(_sum(found))
    return page.text()


# -- the table ---------------------------------------------------------------------------------------------


def _table(found: Many, page: Page) -> None:
    heads = list(_heads(found))
    widths = [12, 20 if not found.uses else 15, *([_VERDICT if found.uses else 11] * (len(heads) - 3))]
    if len(found.uses) > _COLUMNS:
        widths[2] = 18
    widths.append(page.width - sum(widths) - _GAP * len(widths))
    page.blank()
    page.row(heads, widths, _GAP)
    page.row(["-" * width for width in widths], widths, _GAP)
    for vehicle in found.vehicles:
        page.row(list(_cells(vehicle, found)), widths, _GAP)


def _heads(found: Many) -> Iterator[str]:
    yield from ("Vehicle", "File")
    if not found.uses:
        yield "GO for"
        yield "First before the next use"
        return
    if len(found.uses) <= _COLUMNS:
        yield from found.uses
    else:
        yield "Verdicts"
    if len(found.uses) > 1:
        yield "together"
    yield "First that holds it up"


def _cells(vehicle: VehicleLine, found: Many) -> Iterator[str]:
    yield vehicle.called or "-"
    yield _file(vehicle.file, found)
    if not found.uses:
        yield vehicle.highest or (NOT_JUDGED if vehicle.together == NOT_JUDGED else "nothing")
        yield _first(vehicle, f"{vehicle.next_use}: ", True)
        return
    if len(found.uses) <= _COLUMNS:
        yield from vehicle.verdicts
    else:
        yield listed(f"{use} {v}" for use, v in zip(found.uses, vehicle.verdicts, strict=True))
    if len(found.uses) > 1:
        yield vehicle.together
    yield _first(vehicle, "", len(found.uses) == 1)


def _file(name: str, found: Many) -> str:
    """Without the folder, where only one was named and it is told above."""
    inside = [name.removeprefix(f.name).lstrip("/") for f in found.folders if name.startswith(f.name)]
    return inside[0] if len(found.folders) == 1 and inside else name


def _first(vehicle: VehicleLine, lead: str, counts: bool) -> str:
    """What holds it up first, and how much there is in all."""
    if vehicle.problems or vehicle.fault:
        return f"{counted(max(len(vehicle.problems), 1), 'problem')}, see below"
    if not vehicle.first:
        return "-"
    parts = [counted(vehicle.against, "rule")] if vehicle.against else []
    parts += [counted(vehicle.missing, "reading")] if vehicle.missing else []
    parts += [counted(vehicle.questions, "question")] if vehicle.questions else []
    return f"{lead}{vehicle.first}{f' ({listed(parts)})' if parts and counts else ''}"


# -- after the table -----------------------------------------------------------------------------------------


def _problems(found: Many, page: Page) -> None:
    bad = [vehicle for vehicle in found.vehicles if vehicle.problems or vehicle.fault]
    if bad:
        page.heading(f"COULD NOT BE JUDGED ({counted(len(bad), 'file')})")
    for vehicle in bad:
        page.blank()
        if vehicle.fault:
            page.say(f"{vehicle.file}: {vehicle.fault}")
        for problem in vehicle.problems:
            page.ready(problem_lines(problem))


def _sum(found: Many) -> str:
    """How many of each, in words."""
    said: dict[str, int] = {}
    for vehicle in found.vehicles:
        said[vehicle.together] = said.get(vehicle.together, 0) + 1
    if not found.uses:
        said = {}
        for vehicle in found.vehicles:
            word = vehicle.highest or vehicle.together
            word = (
                f"GO for {word}" if vehicle.highest else f"{word}{'' if word == NOT_JUDGED else ' for all'}"
            )
            said[word] = said.get(word, 0) + 1
    return f"{counted(len(found.vehicles), 'vehicle')}: {listed(f'{n} {word}' for word, n in said.items())}"
