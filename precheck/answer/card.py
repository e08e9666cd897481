"""The cards of one drive: what to look at before it, always in the same order, and after it."""

from __future__ import annotations

from collections.abc import Iterable

from precheck.answer.card_record import Card, CardGroup, CardLine, CardPlace
from precheck.answer.evidence import leaves
from precheck.answer.gate import Gate, Request
from precheck.answer.judging import Judged
from precheck.answer.record import Answer, CautionLine
from precheck.answer.words import caution_lines, what_to_write
from precheck.engine.plan import tests_in
from precheck.model.catalogue import Point, Use
from precheck.model.document import Document
from precheck.model.rules import State, Verdict
from precheck.model.settled import Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

BEFORE, AFTER = "before", "after"
_HOT, _DROVE = ("hot-after-drive",), ("private-drive", "quiet-road")


def card(document: Document, book: Rulebook, request: Request, kind: str) -> Card:
    """The card for the uses asked, or for the highest that is GO, or for the first rung.

    Raises an EngineFault where the judging cannot be trusted.
    """
    gate = Gate(document, book, request)
    if not request.uses:
        gate = gate.about(gate.answer().highest or book.rungs()[0].id)
    answer = gate.answer()
    uses = tuple(book.uses[name] for name in answer.shown_for)
    judged = gate.judged(max(uses, key=lambda u: u.rank))
    making = _Card(book, judged, uses)
    groups = making.before() if kind == BEFORE else making.after()
    go = answer.verdict is Verdict.GO
    return Card(
        file=answer.file,
        called=answer.called,
        day=answer.day,
        day_given=answer.day_given,
        kind=kind,
        about=answer.uses,
        verdict=answer.verdict,
        standing=_standing(answer, kind, frozenset(n for use in uses for n in use.same_day)),
        groups=groups,
        limits=answer.limits if go and kind == BEFORE else (),
        turn_back=book.policy.turn_back if kind == BEFORE else (),
        cautions=making.cautions(groups),
        exit_code=answer.exit_code,
    )


def _standing(answer: Answer, kind: str, same_day: frozenset[str]) -> tuple[str, ...]:
    """What the gate says with what is written so far, and what the card does not cover; it says no GO."""
    if kind == AFTER:
        return (
            "Write what is not as it was before, however small: a smell, a pull, a noise, a wet spot, heat.",
            "If the drive went badly, write: done drive-went-badly. That takes back what rested on it.",
            f"Of the card before the drive {len(same_day)} readings count for one day; fill it in again.",
        )
    lines = [f"With what is written so far: {answer.headline}."]
    if answer.verdict is not Verdict.GO:
        beside = [gap for gap in answer.gaps if gap.point not in same_day]
        against = len({finding.rule for finding in answer.blocking})
        counts = (
            (len(beside), "reading is missing", "readings are missing"),
            (len(answer.questions), "question is open", "questions are open"),
            (against, "rule stands against it", "rules stand against it"),
        )
        open_ = ", ".join(f"{n} {one if n == 1 else many}" for n, one, many in counts if n)
        lines.append(f"Beside this card: {open_}." if open_ else "Nothing but this card is missing.")
        lines.append("This is no GO, and filling in the card makes none; ask precheck gate again.")
    return tuple(lines)


class _Card:
    def __init__(self, book: Rulebook, judged: Judged, uses: tuple[Use, ...]) -> None:
        self.book, self.judged, self.uses = book, judged, uses

    def before(self) -> tuple[CardGroup, ...]:
        """The readings that count on their own day only, in the order of rules/uses.yaml."""
        names = dict.fromkeys(name for use in self.uses for name in use.same_day)
        return self._groups({"look at, in this order": names})

    def after(self) -> tuple[CardGroup, ...]:
        """What the drive itself shows, of all that bears on the uses."""
        bearing = self._bearing()
        names = [p for p in self.book.points.values() if p.id in bearing]
        return self._groups(
            {
                "at once, while it is hot": [p.id for p in names if p.access in _HOT],
                "how it drove": [p.id for p in names if p.access in _DROVE],
            }
        )

    def _bearing(self) -> frozenset[str]:
        """The readings behind every rule that applies here and says something of the uses."""
        names = set()
        for unit in self.judged.units:
            state = self.judged.results.states[unit.key]
            if state is not State.DOES_NOT_APPLY and any(unit.effects.bears_on(u.id) for u in self.uses):
                keys = [self.judged.cells.key(test, unit.place) for test in tests_in(unit.step.condition)]
                names |= {cell.id for key in keys for cell in leaves(key, self.judged.cells)}
        return frozenset(names)

    def cautions(self, groups: Iterable[CardGroup]) -> tuple[CautionLine, ...]:
        points = [self.book.points[line.point] for group in groups for line in group.lines]
        names = dict.fromkeys(
            name for p in points for name in (*self.book.access[p.access].cautions, *p.cautions)
        )
        return caution_lines(names, self.book)

    def _groups(self, wanted: dict[str, Iterable[str]]) -> tuple[CardGroup, ...]:
        out = []
        for words, names in wanted.items():
            lines = [self._line(self.book.points[name]) for name in names]
            lines = [line for line in lines if line.places]
            if lines:
                out.append(CardGroup(words, tuple(lines)))
        return tuple(out)

    def _line(self, point: Point) -> CardLine:
        places = self.judged.settled.places.get(point.family, ())
        unit = point.unit.name if point.unit else ""
        return CardLine(
            point=point.id,
            words=point.observe,
            write=what_to_write(point.states, unit),
            states=point.states,
            unit=unit,
            places=tuple(CardPlace(q, words_of_place(self.book, q), self._today(point, q)) for q in places),
        )

    def _today(self, point: Point, place: str) -> str:
        cell = self.judged.settled.cells.get((point.id, place))
        if cell is None or cell.status is not Status.VALUE or cell.claim is None:
            return ""
        today = cell.claim.on == self.judged.cells.day
        return ", ".join(value.written for value in cell.values) if today else ""
