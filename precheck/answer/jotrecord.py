"""The records of a jot and of taking one back: what reports lay out."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.model.problem import Problem
from precheck.model.record import dataclass


class NotWritten(Exception):
    """The document stays as it is: why, and the problems behind it."""

    def __init__(self, why: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(why)
        self.why, self.problems = why, tuple(problems)


@dataclass(frozen=True, slots=True)
class Kept:
    """One thing written: as it was said, and in its exact form.

    `unit` is the unit taken where none was said; `asked` why the value is unlikely, else empty.
    """

    said: str
    echo: str
    unit: str
    asked: str


@dataclass(frozen=True, slots=True)
class Refused:
    """One part not written: as it was said, and what is wrong with it."""

    said: str
    problem: Problem


@dataclass(frozen=True, slots=True)
class Jotted:
    """What one jot wrote. `first_line` and `last_line` of the file are 0 where nothing was written.

    `before_visit` is the day of the last visit where that is later than this one. `ended` are the readings
    that the work jotted ends (`point@place`), `same_jot` those of them said in this jot, `again` the points
    to look at again after it.
    """

    file: str
    called: str
    on: str
    by: str
    first_line: int
    last_line: int
    kept: tuple[Kept, ...]
    refused: tuple[Refused, ...]
    before_visit: str
    ended: tuple[str, ...]
    same_jot: tuple[str, ...]
    again: tuple[str, ...]

    @property
    def left_out(self) -> int:
        """How many parts were not written; one part may have several problems."""
        return len({(r.problem.file, r.problem.mark.line, r.said) for r in self.refused})

    @property
    def exit_code(self) -> int:
        """0 where all of it was written, else 2."""
        return 2 if self.refused or not self.kept else 0


@dataclass(frozen=True, slots=True)
class Undone:
    """What taking the last jot back removed: the lines as they stood, the first of them on `first_line`."""

    file: str
    first_line: int
    lines: tuple[str, ...]
