"""A problem in a file a person wrote: where, what was found, what was expected, how to write it."""

from __future__ import annotations

from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """A place in a file; line and column count from 1, the column in characters."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one file.

    `code` is a stable word for tests and machine output (`duplicate-key`, `unknown-unit`).
    `text` is the line itself as it stands in the file; printing code makes it safe to show.
    """

    file: str
    mark: Mark
    code: str
    found: str
    expected: str
    write: str = ""
    near: tuple[str, ...] = ()
    text: str = ""

    @property
    def order(self) -> tuple[str, int, int, str]:
        return (self.file, self.mark.line, self.mark.column, self.code)


class Problems(Exception):
    """Raised where a file cannot be used; carries every problem found, ordered by place."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(f"{len(problems)} problem(s)")
        self.problems = tuple(sorted(problems, key=lambda p: p.order))
