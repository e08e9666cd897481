"""What the claims come to: one cell per value and place."""

from __future__ import annotations

from datetime import date
from enum import Enum

from precheck.model.document import Claim, Known, Value
from precheck.model.record import dataclass


class Status(Enum):
    VALUE = "value"
    MISSING = "not measured"
    UNCLEAR = "cannot tell"


@dataclass(frozen=True, slots=True)
class Cell:
    """The settled value of a point, fact or derived value at a place.

    `values` holds all that was taken (status VALUE only); `why` says why there is no value.
    `claim` is the reading it came from, `passed_over` those that did not count, each with its reason.
    `runs_out` is the last day the reading counts, or None; `ends_with` what else ends it, in words.
    `was` is what stood before a reading ran out, was taken back by an event, or is not sure enough (status
    MISSING only): where it would fail, waiting makes nothing better.
    `inputs` are the (id, place) that a derived value was computed from; `steps` say how, in words.
    """

    id: str
    place: str
    status: Status
    values: tuple[Value, ...] = ()
    why: str = ""
    claim: Claim | None = None
    passed_over: tuple[tuple[Claim, str], ...] = ()
    runs_out: date | None = None
    ends_with: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    defaulted: bool = False
    was: tuple[Value, ...] = ()

    @property
    def known(self) -> Known | None:
        return self.claim.known if self.claim else None


@dataclass(frozen=True, slots=True)
class Watch:
    """A line for the watch list: something that changed in a way work does not explain."""

    point: str
    place: str
    words: str


@dataclass(frozen=True, slots=True)
class Settled:
    """Every expected cell, by (id, place), with the places made from the facts."""

    cells: dict[tuple[str, str], Cell]
    places: dict[str, tuple[str, ...]]
    up: dict[str, str]
    watch: tuple[Watch, ...]
    looking_back: bool
    driven_on: tuple[date, ...] = ()
