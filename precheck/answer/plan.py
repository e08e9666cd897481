"""The plan view of a judged vehicle: wheels, axles and spare with what was found, fails, was not measured."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.findings import finding
from precheck.answer.gate import Gate
from precheck.answer.judging import Judged
from precheck.answer.plan_record import Plan, PlanLine, PlanPlace
from precheck.answer.record import Answer, Evidence, Finding
from precheck.model.catalogue import Use
from precheck.model.rules import State
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

_FAMILIES = ("axles", "wheels", "tires")
_ENDS = ("front", "rear", "spare")
_SIDES = ("middle", "left", "right")
_WEIGHT = ("bad", "open", "limited", "beside", "set aside")


def plan(gate: Gate, answer: Answer) -> Plan:
    """What the answer of this gate comes to at each wheel and axle, for the uses it shows."""
    uses = tuple(gate.book.uses[name] for name in answer.shown_for)
    judged = gate.judged(max(uses, key=lambda u: u.rank))
    return _Plan(gate.book, judged, uses, answer).plan()


class _Plan:
    def __init__(self, book: Rulebook, judged: Judged, uses: Sequence[Use], answer: Answer) -> None:
        self.book, self.judged, self.uses, self.answer = book, judged, uses, answer
        made = judged.settled.places
        self.tops = tuple(dict.fromkeys(p for family in _FAMILIES for p in made.get(family, ())))
        self.failing = self._found(State.FAILS)
        self.unsure = {
            key: group for key, group in self._found(State.CANNOT_TELL).items() if group[0].weighs == "open"
        }
        self.missing = {(gap.point, place): why for gap in answer.gaps for place, why in gap.places}

    def plan(self) -> Plan:
        places = sorted((self._place(top) for top in self.tops), key=_order)
        return Plan(
            about=self.answer.shown_for,
            places=tuple(places),
            dual_rears=any(top.endswith("-inner") for top in self.tops),
            spare="spare" in self.tops,
        )

    def _place(self, top: str) -> PlanPlace:
        side = next((s for s in ("left", "right") if top.startswith(f"{s}-")), "middle")
        end = next(e for e in _ENDS if e in top.split("-"))
        cells = self.judged.settled.cells
        readings = [key for key in cells if self._top(key[1]) == top]
        lines = [line for key in readings for line in self._reading(key, cells[key])]
        return PlanPlace(
            place=top,
            words=words_of_place(self.book, top),
            side=side,
            end=end,
            lines=(*lines, *self._worked(top)),
        )

    def _top(self, place: str) -> str:
        """The wheel or axle that a place is at or a part of; empty where it is at none."""
        while place and place not in self.tops:
            place = self.judged.settled.up.get(place, "")
        return place

    # -- lines --------------------------------------------------------------------------------

    def _reading(self, key: tuple[str, str], cell: Cell) -> Iterator[PlanLine]:
        """A value, or one that is asked for and not there; nothing for what no use shown asks for."""
        point, place = key
        mark, why = "", ""
        if cell.status is Status.VALUE:
            failing = self.failing.get(key, ())
            mark, why = _mark(failing), "; ".join(dict.fromkeys(f.title for f in failing))
            if not failing and key in self.missing:  # there, and too wide or too unsure to judge
                mark, why = Status.UNCLEAR.value, self.missing[key]
            elif not failing and key in self.unsure:  # it may fail: whether the rule applies is not known
                titles = dict.fromkeys(f"{f.title} ({f.fine})" for f in self.unsure[key])
                mark, why = Status.UNCLEAR.value, "; ".join(titles)
        elif key in self.missing:
            mark, why = cell.status.value, self.missing[key]
        else:
            return
        yield PlanLine(
            thing=point,
            words=self.book.words_of(point),
            where="" if place in self.tops else words_of_place(self.book, place),
            written=tuple(value.written for value in cell.values),
            number=any(value.quantity is not None for value in cell.values),
            mark=mark,
            holds=_holds(self.failing.get(key, ())),
            why=why,
        )

    def _worked(self, top: str) -> Iterator[PlanLine]:
        """Rules that fail here by a value that was worked out from readings."""
        for key, failing in self.failing.items():
            if key in self.judged.settled.cells or self._top(failing[0].place) != top:
                continue
            first, titles = failing[0], tuple(dict.fromkeys(f.title for f in failing))
            written = tuple(w for e in _failed(first) if e.measure == key[0] for w in e.written)
            yield PlanLine(
                thing=titles[0] if len(titles) == 1 else key[0],
                words=first.requires if len(titles) == 1 else self.book.words_of(key[0]),
                where="" if first.place in self.tops else first.place_words,
                written=written,
                number=True,
                mark=_mark(failing),
                holds=_holds(failing),
                why="; ".join(titles),
            )

    def _found(self, state: State) -> dict[tuple[str, str], tuple[Finding, ...]]:
        """Findings of a state at the places of the plan, by value and place, the weightiest first."""
        found: dict[tuple[str, str], list[Finding]] = {}
        for unit in self.judged.units:
            if self.judged.results.states[unit.key] is state and self._top(unit.place):
                one = finding(unit, self.uses, self.judged, self.book)
                for evidence in _failed(one):
                    found.setdefault((evidence.measure, evidence.place), []).append(one)
        return {key: tuple(sorted(group, key=_weight)) for key, group in found.items()}


def _failed(found: Finding) -> list[Evidence]:
    tests = [e for e in found.evidence if not e.term]
    return [e for e in tests if e.outcome == "fails"] or tests


def _weight(found: Finding) -> int:
    return _WEIGHT.index(found.weighs) if found.weighs in _WEIGHT else len(_WEIGHT)


def _mark(failing: Sequence[Finding]) -> str:
    """What the weightiest of some findings means, in words."""
    if not failing:
        return ""
    first = failing[0]
    if first.weighs == "bad":
        return "fails"
    if first.weighs == "limited":
        return "fails, allowed within limits"
    if first.weighs == "set aside":
        return "fails, accepted"
    if not first.blocks:
        return "fails, watch it"
    return f"fails for {first.bears}"


def _holds(failing: Sequence[Finding]) -> bool:
    return any(found.weighs in ("bad", "limited") for found in failing)


def _order(place: PlanPlace) -> tuple[int, int]:
    return (_ENDS.index(place.end), _SIDES.index(place.side))
