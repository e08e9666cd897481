"""The words of the rulebook: points, places, uses, sources, cautions, work."""

from __future__ import annotations

from datetime import date
from enum import Enum
from fractions import Fraction

from precheck.model.quantity import Enclosure, Unit
from precheck.model.record import dataclass

VEHICLE = "vehicle"  # the one place of everything that does not repeat


class Kind(Enum):
    """What a point's value is."""

    NUMBER = "number"
    STATES = "states"
    DATE = "date"
    DATE_CODE = "date-code"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Lasts:
    """How long a reading may be relied on; the first of several limits ends it.

    `days` n: through date + n. `months`: by the calendar. `miles`: distance driven since.
    `drives`: the day of the reading only. None of them: permanent, until an event ends it.
    """

    days: int | None = None
    months: int | None = None
    miles: Fraction | None = None
    each_drive: bool = False

    @property
    def permanent(self) -> bool:
        return self.days is None and self.months is None and self.miles is None and not self.each_drive


@dataclass(frozen=True, slots=True)
class Point:
    """A thing that can be looked at or measured, or a fact of the vehicle (`fact` True).

    `family` names where it repeats. `states` are ordered best first when `ordered`.
    `better` is +1 where a higher number is better, -1 where a lower one is, 0 where neither.
    `plausible` asks back outside, in base units; it never judges.
    `opens` is the use from which an unanswered fact alone leaves the answer UNDECIDED.
    """

    id: str
    system: str
    observe: str
    kind: Kind
    family: str
    access: str
    states: tuple[str, ...] = ()
    ordered: bool = False
    clear: str | None = None
    dimension: str = ""
    unit: Unit | None = None
    denominator: int | None = None
    instrument: str = ""
    lasts: Lasts = Lasts()
    ends: tuple[str, ...] = ()
    better: int = 0
    adjustable: bool = False
    plausible: Enclosure | None = None
    slip: str = ""
    chain: str | None = None
    cautions: tuple[str, ...] = ()
    fact: bool = False
    question: str = ""
    default: str | None = None
    opens: str | None = None
    about: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """One place of a family; `up` is the place it belongs to (a wheel's axle).

    `when` lists what must be known of the vehicle for the place to exist:
    (fact, accepted states); all must hold.
    """

    id: str
    words: str
    short: str = ""
    up: str = ""
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Family:
    """Where a point repeats.

    `kind` is fixed (places made from facts), listed (a default list per class that a document may
    replace) or spots (the places written are the ones judged).
    """

    id: str
    kind: str
    words: str
    places: tuple[Place, ...] = ()
    by_class: tuple[tuple[str, tuple[Place, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Access:
    """Where the person and the vehicle are; `needs` is the use that getting there takes, if any.

    `cautions` are for everything done there.
    """

    id: str
    words: str
    needs: str | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LimitKind:
    """A kind of limit that a GO may carry. `take` is lowest (a number), flag or list."""

    id: str
    words: str
    take: str
    dimension: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit: a quantity in base units with its writing, a flag, or a line of text."""

    kind: str
    words: str
    value: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Use:
    """A rung of the ladder or a side use.

    `rank` orders rungs from 0; a side use has the rank of the rung it stands on.
    `includes` are side uses that a rung takes with it. `lifts` are kinds of limit of the rung below that
    a side use takes off (night lifts daylight), never those of a finding. `floor_complete` is False while
    the floor rules
    for this use are not all written: then no GO is given for it.
    """

    id: str
    words: str
    side: bool
    rank: int
    includes: tuple[str, ...] = ()
    limits: tuple[Limit, ...] = ()
    must_look: tuple[str, ...] = ()
    same_day: tuple[str, ...] = ()
    floor_complete: bool = True
    lifts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Source:
    """Where rules come from. `binds`: road, inspection or nobody. `service` limits whom it judges;
    `by_name`: it judges only where it is chosen by name."""

    id: str
    title: str
    kind: str
    publisher: str
    edition: str
    address: str
    region: str | None
    binds: str
    service: str | None = None
    floor: bool = False
    own: bool = False
    note: str = ""
    by_name: bool = False


@dataclass(frozen=True, slots=True)
class Clause:
    """A line of a source's register: the rules that carry it, or a status with a word why."""

    source: str
    clause: str
    words: str
    rules: tuple[str, ...]
    status: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    id: str
    text: str
    source: str
    checked: str


@dataclass(frozen=True, slots=True)
class Region:
    """`includes`: regions whose sources judge here too. `asks`: who inspects and where to ask."""

    id: str
    words: str
    includes: tuple[str, ...]
    inspects: str
    ask: str


@dataclass(frozen=True, slots=True)
class Later:
    """A second look after work: not before so many days, or so many mm driven."""

    point: str
    words: str
    days: int | None = None
    miles: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """A kind of work or an event: the points whose earlier readings it ends, and what to look at again.

    `everywhere`: it ends them at all places, not only the one worked at; `both_sides`: at a wheel it ends
    them at both wheels of its axle. `later`: what is looked at once more after some days or miles.
    `advice`: what else to do, in words.
    """

    id: str
    words: str
    voids: tuple[str, ...]
    again: tuple[str, ...]
    everywhere: bool = False
    event: bool = False
    later: tuple[Later, ...] = ()
    advice: str = ""
    both_sides: bool = False


@dataclass(frozen=True, slots=True)
class Derived:
    """A value computed from settled values by a pure function of precheck.derive.

    `gather` names the inputs taken from several places, with the family whose places at (or below) the
    place of the value are meant. `optional` inputs may have no value; the function says what that does.
    """

    id: str
    words: str
    inputs: tuple[str, ...]
    function: str
    dimension: str
    unit: Unit | None
    family: str
    formula: str
    source: str
    states: tuple[str, ...] = ()
    gather: tuple[tuple[str, str], ...] = ()
    optional: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Day:
    """The one calendar date a verdict is for; `given` when the person named it."""

    date: date
    given: bool
