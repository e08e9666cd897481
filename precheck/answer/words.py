"""Words that several verbs share about the catalogue."""

from __future__ import annotations

from precheck.model.catalogue import Point


def what_to_write(point: Point) -> str:
    """What a reading of this point is: one of the words, a number in a unit, or what is there."""
    if point.states:
        return " / ".join(point.states)
    unit = point.unit.name if point.unit else ""
    if unit == "count":
        return "a number"
    return f"a number with its unit ({unit})" if unit else "it as it stands there"
