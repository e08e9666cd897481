"""What a file holds before anybody says what it means: text, lists and mappings with their places."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.model.problem import Mark
from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar as written. `plain` is False for quoted and block text.

    Nothing is converted: 0512, 2/32, NO and 1e3 stay the letters that stand in the file.
    """

    text: str
    plain: bool
    mark: Mark

    @property
    def empty(self) -> bool:
        """True for `key:` with nothing after it, and for the plain words ~ and null."""
        return self.plain and self.text in ("", "~", "null")


@dataclass(frozen=True, slots=True)
class Items:
    items: tuple[Node, ...]
    mark: Mark

    def __iter__(self) -> Iterator[Node]:
        return iter(self.items)


@dataclass(frozen=True, slots=True)
class Entry:
    key: Text
    value: Node


@dataclass(frozen=True, slots=True)
class Map:
    """A mapping in file order; keys are unique text."""

    entries: tuple[Entry, ...]
    mark: Mark

    def get(self, key: str) -> Node | None:
        for entry in self.entries:
            if entry.key.text == key:
                return entry.value
        return None


Node = Text | Items | Map


@dataclass(frozen=True, slots=True)
class Source:
    """A read file: its name as the person gave it, its lines (for problems) and its root."""

    name: str
    lines: tuple[str, ...]
    root: Node

    def line(self, mark: Mark) -> str:
        return self.lines[mark.line - 1] if 0 < mark.line <= len(self.lines) else ""
