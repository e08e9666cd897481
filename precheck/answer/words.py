"""Words that several verbs share about the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.answer.record import CautionLine
from precheck.model.catalogue import VEHICLE
from precheck.rulebook.book import Rulebook


def caution_lines(names: Iterable[str], book: Rulebook) -> tuple[CautionLine, ...]:
    """The cautions of some names, in their order, each once; a name that is none is passed over."""
    known = [book.cautions[name] for name in dict.fromkeys(names) if name in book.cautions]
    return tuple(CautionLine(c.id, c.text, c.source, c.checked) for c in known)


def what_to_write(states: Sequence[str], unit: str) -> str:
    """What a reading is: one of the words, a number in a unit, or what is there."""
    if states:
        return " / ".join(states)
    if unit == "count":
        return "a number"
    return f"a number with its unit ({unit})" if unit else "it as it stands there"


def named(point: str, place: str) -> str:
    """A reading as `point@place`; the point alone where it is of the whole vehicle."""
    return point if place == VEHICLE else f"{point}@{place}"
