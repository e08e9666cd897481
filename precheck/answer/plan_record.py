"""The record of a plan view: what is known of each wheel and axle, from the same judgement as the answer."""

from __future__ import annotations

from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One reading, missing reading, or finding at a place.

    `thing` is a point, or the title of a rule that fails by what was worked out; `words` say what it is.
    `where` names a part of the place (an end of a spring), else empty. `written` are the values as written,
    `number` says that they are quantities. `mark`: empty, or "fails" and for what, or "not measured", "cannot
    tell"; `holds` says that it fails for a use asked, or puts limits on it. `why` says why there is no value,
    or which rules fail.
    """

    thing: str
    words: str
    where: str
    written: tuple[str, ...]
    number: bool
    mark: str
    holds: bool
    why: str


@dataclass(frozen=True, slots=True)
class PlanPlace:
    """A wheel, a wheel end, an axle or the spare. `side`: left, right, middle; `end`: front, rear, spare."""

    place: str
    words: str
    side: str
    end: str
    lines: tuple[PlanLine, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Places from the front to the rear, left before right. `about` are the uses that "fails" speaks of."""

    about: tuple[str, ...]
    places: tuple[PlanPlace, ...]
    dual_rears: bool
    spare: bool
