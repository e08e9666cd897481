"""The closed list of units (rules/units.yaml): names and aliases, dimensions, exact factors."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from precheck.model.node import Items, Map, Node, Source, Text
from precheck.model.problem import Mark, Problem, Problems
from precheck.model.quantity import Unit
from precheck.model.record import dataclass, field
from precheck.read.near import near

_EXACT = re.compile(r"-?[0-9]{1,24}(?:/[1-9][0-9]{0,23})?")
_NEEDED = ("name", "dimension", "factor")
_ALLOWED = (*_NEEDED, "offset", "aliases", "pint")


@dataclass(frozen=True, slots=True)
class Units:
    """All units. Every name and alias belongs to one unit; the first unit of a dimension is its base."""

    units: tuple[Unit, ...]
    index: Mapping[str, Unit] = field(repr=False, compare=False)

    @staticmethod
    def load(source: Source) -> Units:
        """From a read units.yaml. Raises Problems, with every problem of the file."""
        loader = _Loader(source)
        units = loader.load()
        if loader.problems:
            raise Problems(tuple(loader.problems))
        return Units(tuple(units), dict(loader.index))

    def get(self, word: str) -> Unit | None:
        """The unit with this name or alias, letter by letter."""
        return self.index.get(word)

    def of(self, dimension: str) -> tuple[Unit, ...]:
        return tuple(unit for unit in self.units if unit.dimension == dimension)

    def base(self, dimension: str) -> Unit | None:
        """The unit in which values of this dimension are kept."""
        return next(iter(self.of(dimension)), None)

    @property
    def dimensions(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(unit.dimension for unit in self.units))

    def near(self, word: str, dimension: str | None = None) -> tuple[str, ...]:
        """Names of at most three units that look like `word`, those of the dimension first."""
        close = near(word, self.index)
        if dimension is not None:
            own = (name for name, unit in self.index.items() if unit.dimension == dimension)
            close = near(word, own) + close
        return tuple(dict.fromkeys(self.index[name].name for name in close))[:3]


class _Loader:
    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self.index: dict[str, Unit] = {}
        self.first: dict[str, Mark] = {}
        self.dimensions: set[str] = set()

    def refuse(self, mark: Mark, code: str, found: str, expected: str, close: tuple[str, ...] = ()) -> None:
        line = self.source.line(mark)
        self.problems.append(Problem(self.source.name, mark, code, found, expected, near=close, text=line))

    def load(self) -> list[Unit]:
        root = self.source.root
        for entry in root.entries if isinstance(root, Map) else ():
            if entry.key.text != "units":
                self.refuse(entry.key.mark, "unknown-key", entry.key.text, "one of units")
        listed = root.get("units") if isinstance(root, Map) else None
        if not isinstance(listed, Items):
            self.refuse(root.mark, "no-units", "no list of units", "units: followed by a list")
            return []
        units = [unit for node in listed for unit in self.unit(node)]
        if not units and not self.problems:
            self.refuse(listed.mark, "no-units", "an empty list of units", "at least one unit")
        return units

    def unit(self, node: Node) -> list[Unit]:
        if not isinstance(node, Map):
            self.refuse(node.mark, "not-a-unit", "something else than a unit", "name, dimension and factor")
            return []
        before = len(self.problems)
        for entry in node.entries:
            if entry.key.text not in _ALLOWED:
                close = near(entry.key.text, _ALLOWED)
                self.refuse(
                    entry.key.mark, "unknown-key", entry.key.text, f"one of {', '.join(_ALLOWED)}", close
                )
        for key in _NEEDED:
            if node.get(key) is None:
                self.refuse(node.mark, "missing-key", f"a unit without {key}", f"{key}: ...")
        name, dimension = self.text(node, "name"), self.text(node, "dimension")
        factor, offset = self.exact(node, "factor", "1"), self.exact(node, "offset", "0")
        if factor <= 0 or (dimension not in self.dimensions and (factor != 1 or offset != 0)):
            mark = (node.get("factor") or node).mark
            self.refuse(
                mark, "bad-factor", f"the factor {factor}", "above 0, and 1 for the first of a dimension"
            )
        aliases = self.aliases(node)
        words = tuple(alias.text for alias in aliases)
        unit = Unit(name, dimension, factor, offset, words, self.text(node, "pint"))
        named = node.get("name")
        for word in ([named] if isinstance(named, Text) else []) + aliases:
            self.enter(word, unit)
        self.dimensions.add(dimension)
        return [unit] if len(self.problems) == before else []

    def enter(self, word: Text, unit: Unit) -> None:
        if word.text in self.index:
            line = self.first[word.text].line
            found = f'"{word.text}" is already a unit or alias on line {line}'
            self.refuse(word.mark, "duplicate-unit", found, "each word once")
            return
        self.index[word.text] = unit
        self.first[word.text] = word.mark

    def text(self, node: Map, key: str) -> str:
        value = node.get(key)
        if value is None:
            return ""
        if isinstance(value, Text) and value.text:
            return value.text
        self.refuse(value.mark, "not-text", f"{key} is no text", f"{key}: text")
        return ""

    def exact(self, node: Map, key: str, default: str) -> Fraction:
        value = node.get(key)
        if value is None:
            return Fraction(default)
        if isinstance(value, Text) and _EXACT.fullmatch(value.text):
            return Fraction(value.text)
        self.refuse(value.mark, "bad-factor", f"{key} is no exact number", "an integer or n/d")
        return Fraction(default)

    def aliases(self, node: Map) -> list[Text]:
        value = node.get("aliases")
        if value is None:
            return []
        if isinstance(value, Items) and all(isinstance(item, Text) and item.text for item in value):
            return [item for item in value if isinstance(item, Text)]
        self.refuse(value.mark, "not-text", "aliases is no list of texts", "aliases: [word, word]")
        return []
