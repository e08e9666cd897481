"""What a text report says, as sections and nested lines instead of columns: the same words in every form."""

from __future__ import annotations

import re
from collections.abc import Iterable

from precheck.model.record import dataclass
from precheck.report.lines import Page

_NUMBERED = re.compile(r"^[0-9]+\. ")
_BULLET = "- "
# Words the reports begin a line with; only these are set off, whatever else stands before a colon.
_LABELS = (
    "About the source", "Accepted for", "Allowed within", "Applies", "As the rule has it", "Blocks",
    "Changed", "Close call", "Compared", "Day", "Decided", "File", "Found", "It applies where", "It asks for",
    "It does not apply", "Limit", "Needs", "Note", "Open", "Please look again", "Reading", "Rule",
    "Runs out first", "Source", "State", "Taken", "The source calls it", "To do", "Use", "Vehicle",
    "What would change it", "Why", "Worked out", "Written at", "note", "passed over", "such as", "why",
    "Asked by", "Buy with it", "Compare before fitting", "From then", "Holds up", "If it gets worse",
    "In the same position", "Not known yet", "Pair", "To do then", "Together with it",
    "Until then only within", "When it is done, write", "Whose work",
)  # fmt: skip
_LABEL = re.compile(
    rf"^({'|'.join(_LABELS)}|Take care \([a-z0-9-]+\)|Take care|Rule [a-z0-9-]+|Repair [0-9]+): (?=.)"
)


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph and what hangs under it. `mark`: number, bullet, or empty; `label` is set off before it."""

    mark: str
    label: str
    words: str
    inner: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its lines. `id` is unique among the sections of one outline."""

    id: str
    heading: str
    lines: tuple[Line, ...]


class Outline(Page):
    """Takes the calls of a `Page`; `top` is what was said before the first heading."""

    def __init__(self, prefix: str = "part") -> None:
        super().__init__(0, letters=True)
        self._prefix = prefix
        self._parts: list[tuple[str, list[tuple[int, str]]]] = [("", [])]

    def blank(self) -> None:
        """Space between paragraphs is the style's."""

    def heading(self, text: str) -> None:
        self._parts.append((text, []))

    def say(self, text: str, indent: int = 0, hang: int = 2) -> None:
        self._parts[-1][1].append((indent, " ".join(text.split(" ")).strip()))

    @property
    def top(self) -> tuple[Line, ...]:
        return _nested(self._parts[0][1])

    @property
    def sections(self) -> tuple[Section, ...]:
        return tuple(
            Section(f"{self._prefix}-{number}", heading, _nested(said))
            for number, (heading, said) in enumerate(self._parts[1:], 1)
        )


def _nested(said: list[tuple[int, str]]) -> tuple[Line, ...]:
    """Lines that stand deeper than the one before hang under it."""
    out: list[Line] = []
    at = 0
    while at < len(said):
        indent, text = said[at]
        end = at + 1
        while end < len(said) and said[end][0] > indent:
            end += 1
        out.append(_line(text, _nested(said[at + 1 : end])))
        at = end
    return tuple(out)


def _line(text: str, inner: tuple[Line, ...]) -> Line:
    mark = ""
    if text.startswith(_BULLET):
        mark, text = "bullet", text[len(_BULLET) :]
    elif number := _NUMBERED.match(text):
        mark, text = "number", text[number.end() :]
    label = _LABEL.match(text)
    return Line(mark, label[1] if label else "", text[label.end() :] if label else text, inner)


def without_last(sections: Iterable[Section]) -> tuple[Section, ...]:
    """Without a verdict that is said once more at the end of a long text, where a screen stops scrolling."""
    found = tuple(sections)
    return found[:-1] if found and not found[-1].lines else found
