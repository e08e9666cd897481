"""From bytes to text we are willing to read, or positioned problems about single bytes and characters."""

from __future__ import annotations

import re

from precheck.model.problem import Mark, Problem

MAX_BYTES = 2_000_000
MAX_REPORTED = 20  # bad characters named in one file

# YAML 1.1 section 5.1 forbids most of these. NEL, LS, PS, DEL and an inner byte order mark are refused here
# as well: the first three would be line ends nobody sees, the others have no use in a form.
_BAD = re.compile("[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")


def same_lines(text: str) -> str:
    """Every line end as one newline."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def mark_at(text: str, index: int) -> Mark:
    """The place of the character with this index; `text` has newline line ends only."""
    start = text.rfind("\n", 0, index) + 1
    return Mark(text.count("\n", 0, index) + 1, index - start + 1)


def decode(data: bytes, name: str) -> tuple[str, tuple[Problem, ...], bool]:
    """UTF-8 bytes to text with newline line ends.

    Returns the text, the problems found, and whether reading may go on to look for more problems
    (tabs inside a line become one space then; nothing else is ever replaced).
    """
    if len(data) > MAX_BYTES:
        return "", (too_large(name),), False
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        found = "the file is written in UTF-16"
        problem = Problem(name, Mark(1, 1), "not-utf-8", found, "a UTF-8 text file", "save the file as UTF-8")
        return "", (problem,), False
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
    try:
        text = same_lines(data.decode("utf-8"))
    except UnicodeDecodeError as error:
        return "", (_bad_byte(data, error.start, name),), False
    problems: list[Problem] = []
    go_on = True
    for match in _BAD.finditer(text):
        mark = mark_at(text, match.start())
        line = text.split("\n", mark.line)[mark.line - 1]
        if match.group() == "\t":
            go_on = go_on and bool(line[: mark.column - 1].strip())
            problems.append(_tab(name, mark, line))
        else:
            go_on = False
            problems.append(_control(name, mark, line, match.group()))
        if len(problems) == MAX_REPORTED:
            return text, tuple(problems), False
    return text.replace("\t", " "), tuple(problems), go_on


def too_large(name: str) -> Problem:
    return Problem(
        name,
        Mark(1, 1),
        "too-large",
        f"the file is larger than {MAX_BYTES} bytes",
        f"a text file of at most {MAX_BYTES} bytes",
        "split the file, or check that this is the file you meant",
    )


def _bad_byte(data: bytes, start: int, name: str) -> Problem:
    before = same_lines(data[:start].decode("utf-8"))
    mark = mark_at(before, len(before))
    rest = re.split(rb"[\r\n]", data[start:], maxsplit=1)[0].decode("utf-8", "backslashreplace")
    return Problem(
        name,
        mark,
        "not-utf-8",
        f"the byte 0x{data[start]:02x}, which is not UTF-8 text",
        "a UTF-8 text file",
        "save the file as UTF-8",
        text=before[len(before) - mark.column + 1 :] + rest,
    )


def _tab(name: str, mark: Mark, line: str) -> Problem:
    write = "replace the tab by spaces; inside double quotes a tab is written \\t"
    return Problem(name, mark, "tab", "a tab character", "spaces", write, text=line)


def _control(name: str, mark: Mark, line: str, char: str) -> Problem:
    what = "a NUL character" if char == "\0" else f"the invisible character U+{ord(char):04X}"
    return Problem(name, mark, "control-character", what, "visible text", "delete the character", text=line)
