"""The record of a sheet: what is still to measure or to look at, in the order the vehicle allows."""

from __future__ import annotations

from precheck.answer.record import CautionLine, Question
from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class SheetLimit:
    """One limit that will judge a reading.

    `known` is a limit that depends on the vehicle, worked out as far as it can be; `needs` names the other
    values without which it says nothing yet. `across`: it judges a value worked out from several readings.
    `strictest`: no other limit on the same value and side is stricter.
    """

    written: str
    rule: str
    title: str
    source: str
    clause: str
    checked: str
    known: str
    needs: tuple[str, ...]
    across: bool
    strictest: bool


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One reading at one place.

    `was`, `was_on`, `was_by`: what was written there last; `why` says why it does not count, or that there is
    none. `holds_up`: why this reading is one of the few that the verdict waits for; empty for the others.
    `jot` are the words to type later, up to the value. `again`: the point was told in full before, at
    another place of the same position.
    """

    point: str
    words: str
    system: str
    place: str
    place_words: str
    instrument: str
    unit: str
    states: tuple[str, ...]
    likely: str
    lasts: str
    rules: int
    limits: tuple[SheetLimit, ...]
    why: str
    was: tuple[str, ...]
    was_on: str
    was_by: str
    was_note: str
    holds_up: str
    jot: str
    again: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Lines that are taken while standing or lying at one part of the vehicle."""

    words: str
    lines: tuple[SheetLine, ...]


@dataclass(frozen=True, slots=True)
class Position:
    """Where the vehicle and the person are; `cautions` of it and of the points read there, first of all."""

    access: str
    words: str
    cautions: tuple[str, ...]
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Readings left off by --at or --tools. `kind`: position or tool; `words`: what they need."""

    kind: str
    words: str
    readings: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """`uses` are those asked, `target` those it is about; `holds` is the rung that the marks are for."""

    file: str
    called: str
    day: str
    day_given: bool
    looking_back: bool
    uses: tuple[str, ...]
    target: tuple[str, ...]
    headline: str
    at: tuple[str, ...]
    tools: tuple[str, ...]
    holds: str
    holds_words: str
    positions: tuple[Position, ...]
    questions: tuple[Question, ...]
    elsewhere: tuple[Elsewhere, ...]
    cautions: tuple[CautionLine, ...]
    notices: tuple[str, ...]
    version: str
    rules_digest: str
    exit_code: int
