"""What local rule files and condition documents change in the rules that judge: always with a reason."""

from __future__ import annotations

from datetime import date
from enum import Enum
from fractions import Fraction

from precheck.model.problem import Mark
from precheck.model.record import dataclass
from precheck.model.rules import Test


class ChangeKind(Enum):
    """What is done to a rule; the first three by a local rule file, the last by a condition document."""

    TIGHTEN = "tighten"
    LOOSEN = "loosen"
    SET_ASIDE = "set aside"
    ACCEPT = "accepted"


class Standing(Enum):
    """Whether a change counts on a day."""

    IN_FORCE = "in force"
    NOT_YET = "not yet started"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class Change:
    """One change to one rule.

    `tests` is the new limit of step `step` (counted from 0), as the rule's own tests are read; None sets
    the whole rule aside. `start` is the first day it counts, `until` the last; None: no such end.
    `source` is the source of the file it stands in. For an acceptance `places` and `uses` say where and for
    what the finding is accepted; `uses` is complete, with the uses that those named take along.
    """

    kind: ChangeKind
    rule: str
    because: str
    by: str
    start: date | None
    until: date | None
    file: str
    mark: Mark
    source: str = ""
    step: int = 0
    tests: tuple[Test, ...] | None = None
    places: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()

    def on(self, day: date) -> Standing:
        """Whether it counts on `day`; both ends are included."""
        if self.start is not None and day < self.start:
            return Standing.NOT_YET
        if self.until is not None and day > self.until:
            return Standing.ENDED
        return Standing.IN_FORCE

    @property
    def where(self) -> str:
        return f"{self.file}:{self.mark.line}"


@dataclass(frozen=True, slots=True)
class PutOff:
    """A finding whose mending is planned for later: a plan, which changes no state and no verdict.

    `places` empty: wherever it is found. It comes back on the day `until`, where one of `uses` is judged, or
    when the odometer shows `odometer` (in mm, and as written), whichever is first.
    """

    rule: str
    places: tuple[str, ...]
    because: str
    by: str
    until: date
    uses: tuple[str, ...]
    file: str
    mark: Mark
    odometer: Fraction | None = None
    odometer_written: str = ""

    @property
    def where(self) -> str:
        return f"{self.file}:{self.mark.line}"


@dataclass(frozen=True, slots=True)
class Aside:
    """What does not count: `rules` at all their places; `accepted` (rule, place, use) only where it fails.

    An accepted finding still puts its limits on the uses it does not block.
    """

    rules: frozenset[str] = frozenset()
    accepted: frozenset[tuple[str, str, str]] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.rules or self.accepted)


NOTHING_ASIDE = Aside()
