"""What is wrong with one text, before anybody knows where it stands in a file."""

from __future__ import annotations

from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """The same parts as a Problem, without file, mark and line; the caller knows those."""

    code: str
    found: str
    expected: str
    write: str = ""
    near: tuple[str, ...] = ()
