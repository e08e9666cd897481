"""What a jot wrote and what it did not, in plain text; and what taking one back removed."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.jotrecord import Jotted, Kept, Undone
from precheck.read.show import problem_lines, visible
from precheck.report.command import command
from precheck.report.lines import Page, listed

_WIDTH = 80


def render(found: Jotted, width: int = _WIDTH, *, letters: bool = False) -> str:
    """The same record gives the same bytes. Commands to type again stand on lines of their own."""
    parts = []
    if found.kept:
        parts.append(_written(found, width, letters))
    if found.refused:
        told = ["\n".join(problem_lines(refused.problem)) for refused in found.refused]
        parts += [f"NOT WRITTEN:\n{told[0]}", *told[1:]]
        again = list(dict.fromkeys(refused.said for refused in found.refused))
        parts.append("To write it, mend this line:\n" + _command(found, again))
    unlikely = [f"{kept.echo} sure" for kept in found.kept if kept.asked]
    if unlikely:
        parts.append("If it is right as it stands:\n" + _command(found, unlikely))
    count = f"written: {len(found.kept)}; not written: {found.left_out}"
    if not found.kept:
        count += "; the file is as it was"
    return "\n\n".join([*parts, count]) + "\n"


def render_undone(found: Undone) -> str:
    """The lines as they stood, so that they can be put in again."""
    last = found.first_line + len(found.lines) - 1
    head = f"{visible(found.file)}: taken back, lines {found.first_line} to {last} as they stood:"
    return "\n".join([head, "", *(visible(line) for line in found.lines), ""])


def _written(found: Jotted, width: int, letters: bool) -> str:
    page = Page(width, letters)
    who = f"{found.called}, " if found.called else ""
    page.say(
        f"{found.file}, lines {found.first_line} to {found.last_line}: {who}visit of {found.on} by {found.by}"
    )
    for kept in found.kept:
        _kept(kept, page)
    if found.before_visit:
        page.say(
            f"Dated before a visit of {found.before_visit} that is in the file already: what was found then "
            "stands above this.",
            2,
        )
    if found.again:
        page.say(f"Earlier readings that the work ends: {listed(found.ended) or 'none in this file'}.", 2)
        if found.same_jot:
            page.say(
                f"Said in this jot and ended with them: {listed(found.same_jot)}. What was found on a drive "
                "that went badly, or after the work, is said behind it: jot it again now.",
                2,
            )
        page.say(f"Look at again after the work: {listed(found.again)}.", 2)
    return page.text().rstrip("\n")


def _kept(kept: Kept, page: Page) -> None:
    unit = f" (no unit said, {kept.unit} taken)" if kept.unit else ""
    page.say(f"- {kept.echo}{unit}", 2)
    if kept.asked:
        page.say(f"Please look again: {kept.asked}. Until then it counts as: cannot tell.", 4)


def _command(found: Jotted, lines: Sequence[str]) -> str:
    return command("jot", found.file, *lines, "--on", found.on, "--by", found.by)
