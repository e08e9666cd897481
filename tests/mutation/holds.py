"""What a failure of a floor rule does, read from the blocking table (holds.yaml), and how its limits stand.

`blocks` is held against the table or the judgment beside it; `asks` against the must-look lists of the
uses; limits against what every limit must keep: it does not vanish on a higher rung, and it does more
than the use does by itself. Figures that nothing else holds stand in a list with a reason.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from precheck.model.quantity import Quantity
from precheck.model.rules import Effects, Rule, Step
from precheck.read.quantity import read_quantity
from precheck.rulebook import lint
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up
from tests.mutation.rare import RARE
from tests.mutation.tables import Row, by_step, read, uses_of


class Holds:
    """The second reading of the floor."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self.rungs = [use.id for use in book.rungs()]
        said: dict[str, Any] = read("holds.yaml")
        self.table: dict[str, list[str]] = said["table"]
        self.differences = by_step(said["differences"])
        self.asked = by_step(said["asked"])
        self.figures = by_step(said["figures"])
        self.free = by_step(said["free"])

    def differs(self, rule: Rule) -> list[str]:
        """The steps whose effects are not those of the second reading, with what differs."""
        out = []
        for number, step in enumerate(rule.steps, 1):
            name, effects = f"{rule.id}.{number}", step.effects
            blocks = self.blocks(rule.id, number)
            if blocks is None or effects.blocks != close_up(blocks, self.book.uses):
                out.append(f"{name}: blocks {effects.lowest_block}, expected {blocks}")
            if effects.asks != close_up(self.asks(name, step), self.book.uses):
                out.append(f"{name}: asks {effects.lowest_ask}, expected {self.asks(name, step)}")
            for check in (self.vanish, self.unlimited, self.wide, self.off):
                out += [f"{name}: {words}" for words in check(name, effects)]
        return out

    def row(self, rows: dict[str, Row], name: str) -> Row | None:
        """The row of a step, or of all steps of its rule."""
        return rows.get(name) or rows.get(name.partition(".")[0])

    # -- blocks and asks ------------------------------------------------------------------------

    def blocks(self, rule: str, number: int) -> list[str] | None:
        """The uses a failure blocks; None where nobody has read that step yet."""
        row = self.differences.get(f"{rule}.{number}")
        return uses_of(row["blocks"]) if row else self.read_blocks(rule, number)

    def read_blocks(self, rule: str, number: int) -> list[str] | None:
        """What the table, or the judgment beside it, says."""
        steps = self.table.get(rule, ())
        if number > len(steps):
            return None
        words = steps[number - 1].rstrip("*")
        return [] if words == "none" else words.split()

    def asks(self, name: str, step: Step) -> list[str]:
        """From where a reading is asked: the lowest use that must look at it and that the step bears on.

        What stands on no list is asked for chosen days, or by the side uses alone that it blocks; nobody
        is asked for an instrument that few have.
        """
        row = self.row(self.asked, name)
        if row is not None:
            return uses_of(row["asks"])
        return self.usual_asks(step)

    def usual_asks(self, step: Step) -> list[str]:
        uses, effects = self.book.uses, step.effects
        names = lint._leaves(self.book, lint._wanted(step.condition))
        if names & RARE:
            return []
        bears = effects.blocks | {use for use, _ in effects.limits}
        sides = [use for use in effects.blocks if uses[use].side]
        if effects.lowest_block and not effects.limits and close_up(sides, uses) == effects.blocks:
            return sides
        listed = (use for use in self.rungs if names and names <= {*uses[use].must_look})
        first = max(next(listed, self.rungs[2]), self._lowest_rung(bears), key=self.rungs.index)
        return [first]

    def _lowest_rung(self, bears: set[str] | frozenset[str]) -> str:
        return next((use for use in self.rungs if use in bears), self.rungs[-1])

    # -- limits ---------------------------------------------------------------------------------

    def vanish(self, name: str, effects: Effects) -> list[str]:
        """The rungs where a limit of a lower rung is gone although they are not blocked."""
        out, limited = [], False
        for use in self.rungs:
            limits = {x.kind for x in effects.limits_at(use)}
            if limited and not limits and use not in effects.blocks:
                out.append(f"no limits for {use}, and lower uses have some")
            limited = limited or bool(limits)
        return out

    def unlimited(self, name: str, effects: Effects) -> list[str]:
        """Where chosen days are blocked and the first road drive is neither blocked nor limited."""
        proving, occasional = self.rungs[1:3]
        if occasional != effects.lowest_block or effects.limits_at(proving) or self.row(self.free, name):
            return []
        return [f"blocks {occasional}, no limits for {proving}"]

    def wide(self, name: str, effects: Effects) -> list[str]:
        """Limits on every day that lie beyond what chosen days allow."""
        if self.row(self.figures, name):
            return []
        usual = {x.kind: x.value for x in self.book.uses[self.rungs[2]].limits if x.value is not None}
        return [
            f"{use}: {x.kind} {x.words} is no less than chosen days allow"
            for use in self.rungs[2:]
            for x in effects.limits_at(use)
            if x.value is not None and x.kind in usual and x.value >= usual[x.kind]
        ]

    def off(self, name: str, effects: Effects) -> list[str]:
        """Figures that are not those of the list."""
        row = self.row(self.figures, name)
        if row is None:
            return []
        out = []
        for use, figures in row["limits"].items():
            found = {x.kind: x.value for x in effects.limits_at(use)}
            for kind, words in figures.items():
                if kind not in found or found[kind] != (None if words == "yes" else figure(words, self.book)):
                    out.append(f"{use}: {kind} is not {words}")
        return out


def figure(words: str, book: Rulebook) -> Fraction | None:
    quantity = read_quantity(words, book.units)
    assert isinstance(quantity, Quantity), words
    return quantity.value.low
