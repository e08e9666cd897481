"""What is still to measure for a use: a walk round the vehicle, position by position, place by place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from precheck.answer.gate import Gate, Request
from precheck.answer.jotwords import jot_words
from precheck.answer.record import Answer, Gap, UseLine
from precheck.answer.sheet_limits import Judging, judgings, likely, limits
from precheck.answer.sheet_record import Elsewhere, Position, Sheet, SheetLine, Stop
from precheck.answer.tools import missing_tools
from precheck.model.catalogue import VEHICLE, Day, Use
from precheck.model.document import Claim, Document
from precheck.model.record import dataclass
from precheck.model.rules import Verdict
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

MARKED = 5  # at most so many points are marked as holding up the verdict
# Parts of the vehicle in the order of one walk round it, from the driver's corner in front.
ROUND = (
    "the whole vehicle", "front", "left front", "left side", "left rear", "rear", "right rear",
    "right side", "right front", "elsewhere",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a sheet is for. `at` empty: every position; `tools` None: whatever it takes."""

    day: Day
    uses: tuple[str, ...] = ()
    sources: tuple[str, ...] | None = None
    at: tuple[str, ...] = ()
    tools: tuple[str, ...] | None = None


def sheet(document: Document, book: Rulebook, wanted: Wanted) -> Sheet:
    """The sheet for the uses asked, else for the next rung above the highest GO.

    Raises an EngineFault where the judging cannot be trusted.
    """
    gate = Gate(document, book, Request(wanted.day, wanted.uses, wanted.sources))
    answer = gate.answer()
    uses = tuple(book.uses[name] for name in answer.shown_for)
    rung = next((u for u in answer.ladder if not u.side and u.verdict is not Verdict.GO), None)
    lowest = _lowest(gate, answer, rung)
    marks = _marks(lowest, rung)
    writer = _Writer(gate, uses, marks)
    shown: list[tuple[Gap, str, str]] = []
    left: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for gap in answer.gaps:
        reason = _left_off(gap, wanted)
        if reason is None:
            shown += [(gap, place, why) for place, why in gap.places]
        else:
            left.setdefault(reason, []).extend((gap.point, place) for place, _ in gap.places)
    named = {c for gap in answer.gaps for c in gap.cautions}
    return Sheet(
        file=answer.file,
        called=answer.called,
        day=answer.day,
        day_given=answer.day_given,
        looking_back=answer.looking_back,
        uses=answer.uses,
        target=answer.shown_for,
        headline=answer.headline,
        at=wanted.at,
        tools=wanted.tools or (),
        holds=rung.use if rung else "",
        holds_words=_holds_words(rung, lowest),
        positions=tuple(writer.positions(shown)),
        questions=answer.questions,
        elsewhere=tuple(Elsewhere(kind, words, tuple(r)) for (kind, words), r in left.items()),
        cautions=tuple(c for c in answer.cautions if c.id in named),
        notices=answer.notices,
        version=answer.version,
        rules_digest=answer.rules_digest,
        exit_code=answer.exit_code,
    )


def _lowest(gate: Gate, answer: Answer, rung: UseLine | None) -> Answer | None:
    """The answer for the lowest rung that is no GO yet."""
    if rung is None or rung.use in answer.shown_for:
        return answer if rung else None
    return gate.about(rung.use).answer()


def _marks(lowest: Answer | None, rung: UseLine | None) -> dict[str, str]:
    """Why a point holds up the lowest open rung: those that most rules wait for, the nearest first."""
    if lowest is None or rung is None:
        return {}
    order = sorted(lowest.gaps, key=lambda gap: (-gap.rules, gap.access_order))
    alone = len(lowest.gaps) <= MARKED
    out = {}
    for gap in order[:MARKED]:
        rules = f"{gap.rules} rule{'s' if gap.rules != 1 else ''} of {rung.use}"
        wait = "waits" if gap.rules == 1 else "wait"
        few = f", one of the last {len(lowest.gaps)}" if alone and len(lowest.gaps) > 1 else ""
        only = ", the last one missing" if len(lowest.gaps) == 1 else ""
        out[gap.point] = f"{rules} {wait} for it{few}{only}"
    return out


def _holds_words(rung: UseLine | None, lowest: Answer | None) -> str:
    if rung is None or lowest is None:
        return ""
    if not lowest.gaps:
        return f"No reading is missing for {rung.use}."
    if rung.verdict is Verdict.NO_GO:
        return (
            f"{rung.use} is NO-GO by what was found already; readings alone do not open it. Marked is what "
            "its rules wait for most."
        )
    return f"Marked is what holds up {rung.use}: what most of its rules wait for."


def _left_off(gap: Gap, wanted: Wanted) -> tuple[str, str] | None:
    """Why a reading is not on this sheet, and what it would take."""
    if wanted.at and gap.access not in wanted.at:
        return ("position", gap.access_words)
    if wanted.tools is not None:
        missing = missing_tools(gap.instrument, wanted.tools)
        if missing:
            return ("tool", ", ".join(missing))
    return None


def zone(place: str, up: str = "") -> str:
    """The part of the vehicle that a place is at, from its name.

    >>> zone("left-rear-outer"), zone("right-mid-rail"), zone("vehicle"), zone("front")
    ('left rear', 'right side', 'the whole vehicle', 'front')
    """
    if place == VEHICLE:
        return ROUND[0]
    words = (*place.split("-"), up)
    side = next((w for w in words if w in ("left", "right")), "")
    end = next((w for w in words if w in ("front", "rear")), "")
    if side:
        return f"{side} {end or 'side'}"
    return end or ROUND[-1]


class _Writer:
    def __init__(self, gate: Gate, uses: Sequence[Use], marks: dict[str, str]) -> None:
        self.book = gate.book
        self.judged = gate.judged(max(uses, key=lambda u: u.rank))
        self.found: dict[tuple[str, str], list[Judging]] = judgings(self.judged, uses)
        self.marks = marks
        self.order = {name: i for i, name in enumerate(self.book.points)}
        self.systems = {p.system: i for i, p in reversed(list(enumerate(self.book.points.values())))}

    def positions(self, shown: list[tuple[Gap, str, str]]) -> Iterator[Position]:
        for order, group in groupby(sorted(shown, key=self._key), key=lambda x: x[0].access_order):
            here = list(group)
            gap = here[0][0]
            told: set[str] = set()
            stops = []
            for name, inner in groupby(here, key=lambda x: self._zone(x[1])):
                lines = []
                for g, place, why in inner:
                    lines.append(self._line(g, place, why, g.point in told))
                    told.add(g.point)
                stops.append(Stop(name, tuple(lines)))
            cautions = dict.fromkeys(c for g, _, _ in here for c in g.cautions)
            assert order == gap.access_order
            yield Position(gap.access, gap.access_words, tuple(cautions), tuple(stops))

    def _zone(self, place: str) -> str:
        return zone(place, self.judged.settled.up.get(place, ""))

    def _key(self, item: tuple[Gap, str, str]) -> tuple[int, int, int, int, int]:
        gap, place, _ = item
        family = self.judged.settled.places.get(self.book.points[gap.point].family, ())
        at = family.index(place) if place in family else len(family)
        round_ = ROUND.index(self._zone(place))
        system = self.systems[self.book.points[gap.point].system]
        return (gap.access_order, round_, system, self.order[gap.point], at)

    def _line(self, gap: Gap, place: str, why: str, again: bool) -> SheetLine:
        point = self.book.points[gap.point]
        was = self._was(gap.point, place)
        return SheetLine(
            point=gap.point,
            words=gap.words,
            system=point.system,
            place=place,
            place_words="" if place == VEHICLE else words_of_place(self.book, place),
            instrument=gap.instrument,
            unit=gap.unit,
            states=gap.states,
            likely=likely(point),
            lasts=gap.lasts,
            rules=gap.rules,
            limits=limits(self.found.get((gap.point, place), ()), point, self.judged),
            why=why,
            was=tuple(v.written for v in was.values) if was else (),
            was_on=str(was.on) if was and was.on else "",
            was_by=was.by if was else "",
            was_note=was.note if was else "",
            holds_up=self.marks.get(gap.point, ""),
            jot=jot_words(self.book, point, place),
            again=again,
        )

    def _was(self, point: str, place: str) -> Claim | None:
        """The reading written last there that says something, whether or why it does not count."""
        cell = self.judged.settled.cells.get((point, place))
        if cell is None:
            return None
        claims = [*(c for c in (cell.claim,) if c), *(c for c, _ in cell.passed_over)]
        return next((c for c in claims if c.values and not c.struck), None)
