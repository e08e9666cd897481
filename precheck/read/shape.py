"""From nodes to plain values, collecting every problem of a file instead of stopping at the first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from precheck.model.node import Entry, Items, Map, Node, Source, Text
from precheck.model.problem import Mark, Problem, Problems
from precheck.model.quantity import Quantity
from precheck.read.dates import read_date, read_month_or_date
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.read.quantity import Units, read_quantity

T = TypeVar("T")


def kind_of(node: Node) -> str:
    """What a node is, in a person's words."""
    if isinstance(node, Map):
        return "a mapping (key: value lines)"
    if isinstance(node, Items):
        return "a list"
    if node.empty:
        return "nothing"
    return f"the text '{node.text}'"


class Shape:
    """Reads one source; methods return None where the node does not fit and note a problem."""

    def __init__(self, source: Source, units: Units | None = None) -> None:
        self.source = source
        self.units = units
        self.problems: list[Problem] = []

    def note(
        self,
        place: Node | Mark,
        code: str,
        found: str,
        expected: str,
        write: str = "",
        close: Iterable[str] = (),
    ) -> None:
        mark = place if isinstance(place, Mark) else place.mark
        self.problems.append(
            Problem(
                self.source.name, mark, code, found, expected, write, tuple(close), self.source.line(mark)
            )
        )

    def done(self) -> None:
        """Raise `Problems` if any were noted."""
        if self.problems:
            raise Problems(tuple(self.problems))

    def fault(self, node: Node, fault: Fault) -> None:
        self.note(node, fault.code, fault.found, fault.expected, fault.write, fault.near)

    # -- containers ---------------------------------------------------------------------------

    def map(self, node: Node | None, what: str, write: str = "") -> tuple[Entry, ...]:
        """The entries of a mapping with free keys; empty where it is none."""
        if isinstance(node, Map):
            return node.entries
        if node is not None:
            self.note(node, "not-a-mapping", f"{what} is {kind_of(node)}", "key: value lines", write)
        return ()

    def keys(
        self, node: Node | None, what: str, required: Sequence[str] = (), optional: Sequence[str] = ()
    ) -> dict[str, Node] | None:
        """A mapping with a closed list of keys: unknown and missing ones are problems."""
        if node is None:
            return None
        if not isinstance(node, Map):
            keys = ", ".join([*required, *optional])
            write = ", ".join(f"{key}: ..." for key in required or optional[:1])
            found = f"{what} is {kind_of(node)}"
            self.note(node, "not-a-mapping", found, f"a mapping with {keys}", f"{{{write}}}")
            return None
        known = [*required, *optional]
        out: dict[str, Node] = {}
        for entry in node.entries:
            key = entry.key.text
            if key not in known:
                self.note(
                    entry.key,
                    "unknown-key",
                    f"'{key}' is not a key of {what}",
                    f"one of: {', '.join(known)}",
                    close=near(key, known),
                )
            else:
                out[key] = entry.value
        for key in required:
            if key not in out:
                self.note(node, "missing-key", f"{what} has no '{key}'", f"'{key}: ...'", f"{key}: ...")
        return out

    def items(self, node: Node | None, what: str) -> tuple[Node, ...]:
        """The items of a list; empty where it is none."""
        if isinstance(node, Items):
            return node.items
        if node is not None:
            self.note(node, "not-a-list", f"{what} is {kind_of(node)}", "a list", "[a, b] or lines with '- '")
        return ()

    # -- scalars ------------------------------------------------------------------------------

    def text(self, node: Node | None, what: str) -> str | None:
        if node is None:
            return None
        if not isinstance(node, Text) or node.empty:
            empty = isinstance(node, Text)
            write = "a value after the colon, or delete the line" if empty else "the text alone, on one line"
            self.note(node, "not-text", f"{what} is {kind_of(node)}", "a text", write)
            return None
        return node.text

    def word(self, node: Node | None, what: str, choices: Sequence[str]) -> str | None:
        """A text out of a closed list."""
        text = self.text(node, what)
        if text is None or node is None:
            return None
        if text not in choices:
            self.note(
                node,
                "unknown-word",
                f"{what} is '{text}'",
                f"one of: {', '.join(choices)}",
                close=near(text, choices),
            )
            return None
        return text

    def words(self, node: Node | None, what: str, choices: Sequence[str] | None = None) -> tuple[str, ...]:
        """One text or a list of texts."""
        if node is None:
            return ()
        nodes = node.items if isinstance(node, Items) else (node,)
        got = [self.text(n, what) if choices is None else self.word(n, what, choices) for n in nodes]
        return tuple(g for g in got if g is not None)

    def flag(self, node: Node | None, what: str, default: bool = False) -> bool:
        if node is None:
            return default
        return self.word(node, what, ("yes", "no")) == "yes"

    def whole(self, node: Node | None, what: str) -> int | None:
        text = self.text(node, what)
        if text is None or node is None:
            return None
        if not (text.isascii() and text.isdigit() and len(text) <= 6):
            self.note(node, "not-a-whole-number", f"{what} is '{text}'", "a whole number such as 30")
            return None
        return int(text)

    def read(self, node: Node | None, what: str, reader: Callable[[str], T | Fault]) -> T | None:
        """A text put through a reader that answers with a Fault where it cannot."""
        text = self.text(node, what)
        if text is None or node is None:
            return None
        got = reader(text)
        if isinstance(got, Fault):
            self.fault(node, got)
            return None
        return got

    def quantity(self, node: Node | None, what: str, dimension: str | None) -> Quantity | None:
        units = self.units
        assert units is not None
        return self.read(node, what, lambda text: read_quantity(text, units, dimension=dimension))


__all__ = ["Shape", "kind_of", "read_date", "read_month_or_date"]
