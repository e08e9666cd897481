"""What the two parsers take differently, or both take and YAML does not: refused with a place."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Any, Protocol

from precheck.model.problem import Mark
from precheck.read.chars import mark_at
from precheck.read.yaml_errors import Finding, bare_colon

_BARE_COLON = re.compile(r":[,?\[\]{}]")
_BESIDE = re.compile(r"[|>][-+0-9]*#")
_GLUED_COMMENT = re.compile(r"[ \t]*,#|#")


class _Open(Protocol):
    @property
    def flow(self) -> bool: ...


class Checks(ABC):
    """Checks on an event; whoever reads gives the text, what is open, and where findings go."""

    text: str
    lines: tuple[str, ...]
    open: Sequence[_Open]

    @abstractmethod
    def report(self, finding: Finding) -> None: ...

    def refuse(self, code: str, mark: Mark, found: str, expected: str, write: str = "") -> None:
        self.report(Finding(code, mark, found, expected, write))

    def check_as_both(self, event: Any, plain: bool) -> None:
        """Refuse what the C parser accepts and the pure one does not, or the reverse: [a?], {a:}, >#."""
        start = event.start_mark.index
        raw = self.text[start : event.end_mark.index]
        flow = bool(self.open) and self.open[-1].flow
        beside = None if plain else _BESIDE.match(raw)
        if plain and flow and "?" in raw:
            mark = mark_at(self.text, start + raw.index("?"))
            self.refuse("list-syntax", mark, "a ? in brackets", "quotes around such text", quoted(raw))
        elif plain and flow and _BARE_COLON.match(self.text, event.end_mark.index):
            self.report(bare_colon(mark_at(self.text, event.end_mark.index)))
        elif event.style in ("|", ">") and beside:
            mark = mark_at(self.text, start + beside.end() - 1)
            self.refuse("block-text", mark, "text beside | or >", "the text on the lines below, indented")

    def check_not_yaml(self, event: Any, plain: bool) -> None:
        """Refuse what both parsers accept and YAML does not: [-], {?a: b}, "a"# b, lines at the margin."""
        start, end = event.start_mark.index, event.end_mark.index
        flow = bool(self.open) and self.open[-1].flow
        raw = self.text[start:end]
        if plain and flow and (raw == "-" or self.text[:start].rstrip().endswith("?")):
            at = start if raw == "-" else self.text.rindex("?", 0, start)
            sign = self.text[at]
            how = quoted(raw if raw == sign else sign + raw)
            self.refuse(
                "list-syntax", mark_at(self.text, at), f"a {sign} in brackets", "quotes around it", how
            )
        if event.style in ("|", ">") and not str(event.value).strip() and not _BESIDE.match(raw):
            mark = mark_at(self.text, start)
            self.refuse("block-text", mark, "nothing below | or >", "the text on the lines below, indented")
        elif (
            event.style in ("|", ">")
            and self.lines[-1].isspace()
            and event.end_mark.line >= len(self.lines) - 1
        ):
            last = Mark(len(self.lines), 1)
            self.refuse("block-text", last, "a last line of blanks", "nothing after the text")
        elif event.style not in ("|", ">") and (flow or not plain):
            self.check_behind(end)
            if not plain:
                self.check_margin(event.start_mark.line + 1, event.end_mark.line)

    def check_margin(self, first: int, last: int) -> None:
        """What goes on over several lines is indented below the line it began on; lines count from 0."""
        for number in range(first, min(last + 1, len(self.lines))):
            line = self.lines[number]
            if line.strip() and not line.startswith((" ", "#")):
                mark = Mark(number + 1, 1)
                self.refuse("indentation", mark, "brackets or a text go on at the margin", "an indented line")
                return

    def check_behind(self, index: int) -> None:
        """A comment that touches what stands before it."""
        glued = _GLUED_COMMENT.match(self.text, index)
        if glued:
            mark = mark_at(self.text, glued.end() - 1)
            self.refuse(
                "lost-comment", mark, "a # that touches what stands before it", "a space before the #"
            )


def quoted(text: str) -> str:
    """A text in double quotes, cut if it is long, as a person would write it."""
    short = text if len(text) <= 60 else text[:57] + "..."
    return '"' + short.replace("\\", "\\\\").replace('"', '\\"') + '"'
