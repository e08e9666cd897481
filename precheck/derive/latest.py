"""The last word on each point and place, for questions between readings; it decides nothing.

Settling is stricter (days, miles, how a thing is known): a question may rest on a reading that has run out.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from precheck.model.catalogue import VEHICLE
from precheck.model.document import Claim, Document, Visit
from precheck.model.record import dataclass
from precheck.rulebook.book import Rulebook


@dataclass(frozen=True, slots=True)
class Latest:
    """Claims by (point, place), the last of each; gone where work after it ends its point."""

    claims: dict[tuple[str, str], Claim]

    def read(self, point: str, place: str = VEHICLE) -> Claim | None:
        """The last reading with a value; None where there is none or it was not known."""
        claim = self.claims.get((point, place))
        return claim if claim and claim.values else None

    def places(self, point: str) -> list[str]:
        return sorted(q for p, q in self.claims if p == point)

    def number(self, point: str, place: str = VEHICLE) -> Fraction | None:
        """The one exact number that was read, in base units; None for lists and ranges."""
        claim = self.read(point, place)
        if claim is None or len(claim.values) != 1:
            return None
        number = claim.values[0].number
        return number.low if number and number.exact else None

    def state(self, point: str, place: str = VEHICLE) -> str:
        """The state that was read, or an empty text."""
        claim = self.read(point, place)
        return (claim.values[-1].state or "") if claim else ""

    def shown(self, point: str, place: str = VEHICLE) -> str:
        """The reading as it was written."""
        claim = self.read(point, place)
        return ", ".join(v.written for v in claim.values) if claim else ""


def latest(document: Document, visits: Sequence[Visit], book: Rulebook) -> Latest:
    """The last claims over the visits, work and the undated facts taken into account.

    Work at one place takes the point away everywhere: too few questions, never one about parts that are
    gone.
    """
    found = {(c.point, c.place or VEHICLE): c for c in document.vehicle if not c.struck}
    for visit in visits:
        found |= {(c.point, c.place): c for c in visit.claims if c.place is not None and not c.struck}
        works = {d.work for d in visit.done}
        found = {key: c for key, c in found.items() if works.isdisjoint(book.ends.get(key[0], frozenset()))}
    return Latest(found)


def mate(place: str) -> str:
    """The same place on the other side, for a place on the left; else an empty text."""
    return f"right{place.removeprefix('left')}" if place.startswith("left") else ""
