"""PyYAML's syntax errors in plain English: what is wrong, where, and how to write it.

The two parsers word the same error differently and sometimes place it differently; here both come out alike.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from precheck.model.problem import Mark
from precheck.model.record import dataclass
from precheck.read.chars import mark_at

_ESCAPE = re.compile(
    r"\\(?:(?P<good>[0abtnvfre \"/\\N_LP\n]|x[0-9a-fA-F]{2}|u(?![dD][89a-fA-F])[0-9a-fA-F]{4}"
    r"|U00(?:0(?!0[dD][89a-fA-F])[0-9a-fA-F]|10)[0-9a-fA-F]{4})|(?P<bad>.|$))"
)
_NO_SPACE = re.compile(r"\s*[^\s:#'\"\[{]+:(?=[^\s:/])")
_IN_DOUBLE = r"inside double quotes write \" for a quote"
_IN_SINGLE = "inside single quotes write '' for a quote"
_LONGEST_KEY = 1024  # YAML 1.1, section 9.1.2.1: a simple key is at most 1024 characters


@dataclass(frozen=True, slots=True)
class Finding:
    """A problem without its file name and line text."""

    code: str
    mark: Mark
    found: str
    expected: str
    write: str = ""


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where the parser stopped, and what stands there."""

    text: str
    lines: tuple[str, ...]
    mark: Mark
    start: Mark  # of the thing being read, such as the opening quote; the same as mark if unknown
    what: str  # the parser's words

    @property
    def line(self) -> str:
        return _line(self.lines, self.mark.line)

    @property
    def before(self) -> str:
        return self.line[: self.mark.column - 1]

    @property
    def char(self) -> str:
        return self.line[self.mark.column - 1 : self.mark.column]

    @property
    def first(self) -> Mark:
        """The first visible character of the line."""
        return Mark(self.mark.line, len(self.line) - len(self.line.lstrip()) + 1)


def explain(error: Any, text: str, lines: tuple[str, ...]) -> Finding:
    """`error` is a yaml.MarkedYAMLError; its marks may be missing."""
    start = _mark(error.context_mark) or _mark(error.problem_mark) or Mark(1, 1)
    mark = _mark(error.problem_mark) or start
    if mark.line > len(lines):
        mark = Mark(len(lines), len(lines[-1]) + 1)
    spot = _Spot(text, lines, mark, start, f"{error.context or ''} | {error.problem or ''}")
    for words, answer in _ANSWERS:
        if re.search(words, spot.what):
            return answer(spot)
    return Finding("not-yaml", mark, f"this is not valid YAML ({error.problem})", "key: value")


def bad_escape(text: str, start: int) -> Finding:
    """The first escape after index `start` that means nothing, such as \\q or half a character (\\ud800)."""
    for match in _ESCAPE.finditer(text, start):
        if match.group("good") is None:
            code = text[match.start() : match.start() + 2]
            half = re.match(r"\\(u|U0000)[dD][89a-fA-F]", text[match.start() : match.start() + 7])
            return Finding(
                "surrogate" if half else "bad-escape",
                mark_at(text, match.start()),
                "half a character (a surrogate escape)" if half else f"{code} is no escape of YAML",
                "a whole character" if half else "a backslash only before a character it may stand before",
                "write the character itself" if half else r"inside double quotes write \\ for a backslash",
            )
    return Finding("bad-escape", mark_at(text, min(start, len(text))), "a bad escape", "plain text")


def bare_colon(mark: Mark) -> Finding:
    """`{a:}`: read differently by the two parsers."""
    return Finding("missing-space", mark, "a colon with nothing after it", "key: value", "{key: value}")


def _mark(mark: Any) -> Mark | None:
    return None if mark is None else Mark(mark.line + 1, mark.column + 1)


def _line(lines: tuple[str, ...], number: int) -> str:
    return lines[number - 1] if 0 < number <= len(lines) else ""


def _second_colon(spot: _Spot) -> Finding:
    if re.search(r":\s", spot.before):
        key, _, value = spot.line.partition(": ")
        quoted = value.strip() if '"' not in value and "\\" not in value else "..."
        return Finding(
            "colon-in-text",
            spot.mark,
            'a second ": " in one line',
            'one "key: value" in a line; text that contains ": " must be quoted',
            f'{key.strip()[-40:]}: "{quoted[:60]}"',
        )
    if len(spot.before) > _LONGEST_KEY:
        return Finding("key-too-long", spot.first, "a very long key", f"at most {_LONGEST_KEY} characters")
    above = next((n for n in range(spot.mark.line - 1, 0, -1) if _line(spot.lines, n).strip()), 0)
    return _glued(spot, above) or _indentation(spot)


def _glued(spot: _Spot, number: int) -> Finding | None:
    """`key:value` on this line."""
    line = _line(spot.lines, number)
    match = _NO_SPACE.match(line)
    if not match:
        return None
    return Finding(
        "missing-space",
        Mark(number, match.end() + 1),
        f'no space after the colon of "{match.group().strip()}"',
        "key: value",
        f"{match.group().strip()} {line[match.end() :].strip()[:40]}",
    )


def _unexpected(spot: _Spot) -> Finding:
    if spot.before.strip():
        return Finding(
            "not-yaml",
            spot.mark,
            f'"{spot.char}" does not belong here' if spot.char else "the line ends too early",
            "key: value",
            "quote text that contains signs such as : { } [ ] , # \" '",
        )
    return _indentation(spot)


def _indentation(spot: _Spot) -> Finding:
    return Finding(
        "indentation",
        spot.first,
        "the indentation of this line fits no line above it",
        "entries that belong together begin with the same number of spaces",
        "line it up with the entry above it, or indent it under a key that has nothing after its colon",
    )


def _quote_open(spot: _Spot) -> Finding:
    quote = _line(spot.lines, spot.start.line)[spot.start.column - 1 : spot.start.column]
    inside = _IN_DOUBLE if quote == '"' else _IN_SINGLE
    found = f"the quote {quote} that opens here is never closed"
    return Finding("quote-not-closed", spot.start, found, f"a closing {quote}", inside)


def _escape(spot: _Spot) -> Finding:
    lines = spot.lines[: spot.start.line - 1]
    return bad_escape(spot.text, sum(len(line) + 1 for line in lines) + spot.start.column - 1)


def _no_colon(spot: _Spot) -> Finding:
    return _glued(spot, spot.start.line) or Finding(
        "missing-colon", spot.start, "a line without a colon", "key: value", "key: value"
    )


def _flow(spot: _Spot) -> Finding:
    opened = _line(spot.lines, spot.start.line)[spot.start.column - 1 : spot.start.column]
    closing = "}" if opened == "{" else "]"
    rest = spot.line[spot.mark.column - 1 :].strip()
    if spot.mark.line > spot.start.line or not rest:
        found = f"the {opened} that opens here is never closed"
        return Finding("bracket-not-closed", spot.start, found, f"a closing {closing}", f"add {closing}")
    return Finding(
        "list-syntax",
        spot.mark,
        f'"{spot.char}" does not fit inside {opened} {closing}',
        f"a comma between entries and {closing} at the end",
        "quote text that contains : , { } [ ] or quotes",
    )


def _no_content(spot: _Spot) -> Finding:
    if spot.char == "?":
        return _question(spot)
    if spot.char and spot.char in ",]}" and "flow" in spot.what:
        found = f"nothing before this {spot.char}"
        return Finding("list-syntax", spot.mark, found, "an entry between commas")
    if spot.char and spot.char in ",]}":
        found = f"a value that begins with {spot.char}"
        return Finding("reserved-character", spot.mark, found, "quotes around such text", f'"{spot.char}"')
    return Finding("empty", spot.mark, "nothing before this line", "key: value")


def _after_value(spot: _Spot) -> Finding:
    before = spot.before.rstrip()
    if before.endswith(('"', "'")):
        return Finding(
            "text-after-quote",
            spot.mark,
            f"text after the closing {before[-1]}",
            "one quoted text and nothing after it",
            f"{_IN_DOUBLE}; {_IN_SINGLE}",
        )
    if spot.char and spot.char in "]}":
        found = f"a {spot.char} that nothing opened"
        expected = "as many opening as closing brackets"
        return Finding("bracket-not-opened", spot.mark, found, expected, "delete it, or open it before")
    if spot.char == "-" and not before:
        return Finding(
            "indentation",
            spot.mark,
            "a list item beside keys",
            "either keys or list items at one level",
            "put the list under a key that has nothing after its colon",
        )
    if spot.char == ":" and not before:
        return Finding("key-not-text", spot.mark, "an empty key", "a key must be plain text", "key: value")
    return _unexpected(spot)


def _reserved(spot: _Spot) -> Finding:
    rest = spot.line[spot.mark.column - 1 :].strip()
    write = f'"{rest[:60]}"' if '"' not in rest and "\\" not in rest else "put quotes around the text"
    found = f"text that begins with {spot.char}"
    return Finding("reserved-character", spot.mark, found, "quotes around such text", write)


def _block_text(spot: _Spot) -> Finding:
    rest = _line(spot.lines, spot.start.line)[spot.start.column - 1 :]
    if re.match(r"> ?[0-9]", rest):
        found = "the sign > before a number (it opens a block of text)"
        how = f"at least {rest[1:].strip()[:40]}"
        return Finding("comparison", spot.start, found, "at least, at most, or low to high", how)
    found = "text beside | or >"
    return Finding("block-text", spot.mark, found, "the text on the lines below, indented", "quote the text")


def _dash(spot: _Spot) -> Finding:
    return Finding(
        "list-syntax",
        spot.mark,
        "a list that begins on the line of its key",
        "list items on lines of their own, or in brackets",
        "key: [first, second]",
    )


def _question(spot: _Spot) -> Finding:
    expected = "quotes around such text; unknown where a thing cannot be told"
    return Finding("reserved-character", spot.mark, "text that begins with ?", expected, "unknown")


def _document(spot: _Spot) -> Finding:
    if any(line.rstrip() == "..." for line in spot.lines[: spot.mark.line]):
        return Finding("second-document", spot.mark, "text after the end mark (...)", "one document per file")
    return _after_value(spot)


def _property(code: str, sign: str, what: str) -> Callable[[_Spot], Finding]:
    def answer(spot: _Spot) -> Finding:
        write = f"write the value out; quote text that begins with {sign}"
        return Finding(code, spot.start, what, "no such marks; values written out", write)

    return answer


_ANSWERS: tuple[tuple[str, Callable[[_Spot], Finding]], ...] = (
    (r"while (scanning|parsing) an anchor", _property("anchor", "&", "an anchor (&)")),
    (r"while (scanning|parsing) an alias", _property("alias", "*", "a reference (*)")),
    (r"tag", _property("tag", "!", "a tag (!)")),
    (r"mapping values are not allowed", _second_colon),
    (r"quoted scalar .*(end of stream|document)", _quote_open),
    (r"quoted scalar .*(escape|hex)", _escape),
    (r"could not find expected ':'", _no_colon),
    (r"flow (sequence|mapping) .*(expected ',')", _flow),
    (r"node content", _no_content),
    (r"expected <block end>|expected key|expected '-' indicator", _after_value),
    (r"cannot start any token", _reserved),
    (r"scanning a block scalar", _block_text),
    (r"sequence entries are not allowed", _dash),
    (r"found unexpected ':'", lambda spot: bare_colon(spot.mark)),
    (r"mapping keys are not allowed", _question),
    (r"<document start>", _document),
)
