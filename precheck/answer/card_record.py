"""The cards of one drive as data."""

from __future__ import annotations

from precheck.answer.record import CautionLine, LimitLine
from precheck.model.record import dataclass
from precheck.model.rules import Verdict


@dataclass(frozen=True, slots=True)
class CardPlace:
    place: str
    words: str
    today: str


@dataclass(frozen=True, slots=True)
class CardLine:
    """A thing to look at; `today` of a place is what was written on the day already, empty if nothing."""

    point: str
    words: str
    write: str
    states: tuple[str, ...]
    unit: str
    places: tuple[CardPlace, ...]


@dataclass(frozen=True, slots=True)
class CardGroup:
    words: str
    lines: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A short card for one drive: `kind` is before or after. It never says GO by itself.

    `standing` is what the gate says on the day; `turn_back` and `limits` are empty where it is no GO.
    """

    file: str
    called: str
    day: str
    day_given: bool
    kind: str
    about: tuple[str, ...]
    verdict: Verdict
    standing: tuple[str, ...]
    groups: tuple[CardGroup, ...]
    limits: tuple[LimitLine, ...]
    turn_back: tuple[str, ...]
    cautions: tuple[CautionLine, ...]
    exit_code: int
