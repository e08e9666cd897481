"""What a failing rule of a source other than the floor does, said a second time with its own reason.

`convention.yaml` gives it: blocks and limits by whom the source binds,
by the source's own grade of the finding and by chain; who asks by where the reading can be taken.
Steps that leave the convention stand in a list, each with a reason.
"""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.catalogue import Limit
from precheck.model.quantity import Quantity
from precheck.model.rules import Effects, Rule, Step
from precheck.read.quantity import read_quantity
from precheck.rulebook import lint
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up, lowest, spread_limits
from tests.mutation.rare import RARE
from tests.mutation.tables import Row, by_step, read, uses_of, words_of

ANY = "*"  # a list limit whose words nobody but the rule says


class Convention:
    """The effects that a step of a rule is expected to have."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self.table: Row = read("convention.yaml")
        self.grades: Mapping[str, list[str]] = {
            rule: row["grades"] for row in self.table["graded"] for rule in row["rules"]
        }
        self.except_ = by_step(self.table["exceptions"])

    def differs(self, rule: Rule) -> list[str]:
        """The steps whose effects are not what the convention gives, with what differs."""
        out = []
        for number, step in enumerate(rule.steps, 1):
            wanted = self.expected(rule, number, step)
            out += [f"{rule.id}.{number}: {words}" for words in unlike(step.effects, wanted)]
        return out

    def expected(self, rule: Rule, number: int, step: Step) -> Effects:
        said = self.except_.get(f"{rule.id}.{number}") or self.except_.get(rule.id) or {}
        row = self._row(rule, self.grade(rule, number))
        blocks = uses_of(said.get("blocks", row["blocks"]))
        asks = uses_of(said["asks"]) if "asks" in said else self._asks(rule, step, blocks, row)
        return effects_of(blocks, asks, said.get("limits", row.get("limits", {})), self.book)

    def grade(self, rule: Rule, number: int) -> str:
        """The source's word for a finding of this step: of several grades one a step, in turn."""
        grades = self.grades.get(rule.id) or rule.consequence.split(" / ")
        return grades[(number - 1) % len(grades)]

    def _row(self, rule: Rule, grade: str) -> Row:
        has = {
            "binds": self.book.sources[rule.source].binds,
            "source": rule.source,
            "grade": grade,
            "chain": rule.chain or "none",
        }
        for row in self.table["rows"]:
            if all(has[key] in words_of(row[key]) for key in has if key in row):
                return row  # type: ignore[no-any-return]
        raise AssertionError(f"{rule.id}: no row of convention.yaml for {has}")

    def _asks(self, rule: Rule, step: Step, blocks: list[str], row: Row) -> list[str]:
        """The lowest use blocked, where the must-look list of the first road drive holds what it reads.

        A law asks no more for that drive than the floor does; the rest it asks from the next rung on.
        Nobody is asked for an instrument that few have, nor for one of two ways where a step takes either.
        """
        if not blocks:
            return uses_of(row.get("watch", "none"))
        names = lint._leaves(self.book, lint._wanted(step.condition))
        either = {t.measure for s in rule.steps if s.condition.any_of for t in lint._all_tests(s.condition)}
        driven = {n for n in lint._leaves(self.book, either) if self._drive(n)}
        if not step.condition.any_of and names & (RARE | driven):
            return []
        proving, occasional = (use.id for use in self.book.rungs()[1:3])
        asked = bool(names) and names <= {*self.book.uses[proving].must_look}
        return [occasional] if proving in blocks and not asked else blocks

    def _drive(self, name: str) -> bool:
        """Whether reading it takes a drive or a tester."""
        point = self.book.points.get(name)
        access = self.book.access.get(point.access) if point else None
        return access is not None and access.needs is not None


def effects_of(blocks: list[str], asks: list[str], limits: object, book: Rulebook) -> Effects:
    """Effects from words: `{proving: {speed: 25 mph, look-again: "*"}}`, or none."""
    written = {
        use: tuple(_limit(kind, str(words), book) for kind, words in of.items())
        for use, of in (limits.items() if isinstance(limits, dict) else ())
    }
    blocked = close_up(blocks, book.uses)
    spread = spread_limits(written, blocked, book.uses)
    return Effects(
        blocked, close_up(asks, book.uses), spread, lowest(blocks, book.uses), lowest(asks, book.uses)
    )


def _limit(kind: str, words: str, book: Rulebook) -> Limit:
    quantity = read_quantity(words, book.units) if words[0].isdigit() else None
    return Limit(kind, words, quantity.value.low if isinstance(quantity, Quantity) else None)


def unlike(found: Effects, wanted: Effects) -> list[str]:
    """In what two effects differ."""
    out = []
    if found.blocks != wanted.blocks:
        out.append(f"blocks {found.lowest_block}, expected {wanted.lowest_block}")
    if found.asks != wanted.asks:
        out.append(f"asks {found.lowest_ask}, expected {wanted.lowest_ask}")
    if not _same(found, wanted):
        out.append(f"limits {_said(found)}, expected {_said(wanted)}")
    return out


def _same(found: Effects, wanted: Effects) -> bool:
    if {use for use, _ in found.limits} != {use for use, _ in wanted.limits}:
        return False
    return all(_alike(limits, wanted.limits_at(use)) for use, limits in found.limits)


def _alike(found: tuple[Limit, ...], wanted: tuple[Limit, ...]) -> bool:
    """Same kinds and same figures; words only where the expected ones are said."""
    if sorted({x.kind for x in found}) != sorted({x.kind for x in wanted}):
        return False
    if {(x.kind, x.value) for x in found} != {(x.kind, x.value) for x in wanted}:
        return False
    said = {x.words for x in wanted if x.value is None and x.words not in (ANY, "yes")}
    return said <= {x.words for x in found}


def _said(effects: Effects) -> str:
    return "; ".join(
        f"{use}: {', '.join(f'{x.kind} {x.words}' for x in limits)}" for use, limits in effects.limits
    )
