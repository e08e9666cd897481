"""A condition document after reading: claims in time order, nothing settled yet."""

from __future__ import annotations

from datetime import date
from enum import Enum
from fractions import Fraction

from precheck.model.changes import Change, PutOff
from precheck.model.problem import Mark
from precheck.model.quantity import Enclosure, Quantity
from precheck.model.record import dataclass


class Known(Enum):
    """How a value is known."""

    MEASURED = "measured"
    SEEN = "seen"
    TOLD = "told"
    PAPERS = "papers"
    SAME_AS = "same-as"


@dataclass(frozen=True, slots=True)
class Value:
    """One value: exactly one of `number` (with its `quantity`), `state` and `text` carries it.

    Dates are numbers: proleptic ordinals of their first and last day.
    """

    written: str
    number: Enclosure | None = None
    state: str | None = None
    quantity: Quantity | None = None

    @property
    def same(self) -> tuple[Enclosure | None, str]:
        """What makes two values of a permanent mark the same: the exact value, else the text."""
        if self.number is not None:
            return (self.number, "")
        return (None, self.state if self.state is not None else self.written)


@dataclass(frozen=True, slots=True)
class Claim:
    """A reading: what somebody says of a point at a place.

    `place` None speaks for all places without their own. `values` empty: the word `unknown`.
    `struck` holds the reason when the reading was struck by its writer.
    `clear_of` names the access of a `nothing-found` line that made this claim.
    """

    point: str
    place: str | None
    values: tuple[Value, ...]
    known: Known
    on: date | None
    visit: int
    by: str
    mark: Mark
    instrument: str = ""
    note: str = ""
    same_as: str = ""
    struck: str = ""
    why_unknown: str = ""
    clear_of: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """Work that was done, after the readings of its visit. `at` empty: everywhere."""

    work: str
    at: tuple[str, ...]
    mark: Mark
    note: str = ""


@dataclass(frozen=True, slots=True)
class NotReached:
    point: str
    place: str | None
    why: str


@dataclass(frozen=True, slots=True)
class Visit:
    """One time somebody looked. `index` is its order after sorting by date, then file position.

    `drove` is a distance in mm, None where the visit says nothing. `note` is in free words.
    """

    index: int
    on: date
    by: str
    claims: tuple[Claim, ...]
    not_reached: tuple[NotReached, ...]
    done: tuple[Done, ...]
    drove: Fraction | None
    mark: Mark
    note: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """`vehicle` holds the undated short form of facts. `listed` replaces default lists of places.

    `accepted` are findings that somebody answers for, each for some uses and a time; `put_off` what is
    planned for later.
    """

    name: str
    called: str
    vehicle: tuple[Claim, ...]
    listed: tuple[tuple[str, tuple[str, ...]], ...]
    visits: tuple[Visit, ...]
    notices: tuple[str, ...] = ()
    accepted: tuple[Change, ...] = ()
    put_off: tuple[PutOff, ...] = ()
