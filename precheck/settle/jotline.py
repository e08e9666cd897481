"""Cuts a jotted line into parts, words and notes, each with its column; says nothing of what they mean."""

from __future__ import annotations

import re
from collections.abc import Iterator

from precheck.model.record import dataclass
from precheck.read.fault import Fault
from precheck.read.show import visible

MAX_LINE = 2000
MAX_WORDS = 60  # in one part
_TOKEN = re.compile(r"\S+")
_SUB = re.compile(r"[^-]+")
_LETTERS = re.compile(r"[\s\-,]+")


@dataclass(frozen=True, slots=True)
class Atom:
    """One word: lower case, without commas and colons at its ends; `start` and `end` count from 0."""

    word: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Part:
    """What stands between two semicolons.

    `text` is the whole line with everything outside of this part, and its notes, blanked out, so that
    places in it are places in the line. `begin` is where the part's first word stands.
    """

    text: str
    begin: int
    atoms: tuple[Atom, ...]
    note: str
    written: str

    def raw(self, first: int, last: int) -> str:
        """The text from one atom up to another (left out), as written."""
        return self.text[self.atoms[first].start : self.atoms[last - 1].end] if last > first else ""


@dataclass(frozen=True, slots=True)
class Bad:
    """A part that cannot be cut up: where and why."""

    at: int
    fault: Fault


def words_of(text: str) -> tuple[str, ...]:
    """A phrase of the rulebook as words to compare: 'off-road, allowed' -> off road allowed.

    >>> words_of("yes, since opened")
    ('yes', 'since', 'opened')
    """
    return tuple(word for word in _LETTERS.split(text.casefold()) if word)


def cut(line: str) -> Iterator[Part | Bad]:
    """The parts of one line, empty ones left out.

    A note is text in double quotes that begins a word; a mark inside a word (3/32") is part of the word.
    """
    if len(line) > MAX_LINE:
        found = f"the line is longer than {MAX_LINE} characters"
        yield Bad(0, Fault("too-long", found, "shorter lines", "one line for each place or system"))
        return
    for at, end, notes, unclosed in _between(line):
        if unclosed is not None:
            how = 'a " before and after the note'
            yield Bad(unclosed, Fault("unclosed-note", "a note that does not end", 'a closing "', how))
        else:
            yield from _part(line, at, end, notes)


def part_at(line: str, column: int) -> str:
    """The part of a line in which a column (counted from 1) stands, as written; to say it back.

    >>> part_at('lr tread 6; rr presure "a; b"', 16)
    'rr presure "a; b"'
    """
    if len(line) > MAX_LINE:
        return line
    for begin, end, _, _ in _between(line):
        if column - 1 <= end:
            return line[begin:end].strip()
    return line.strip()


def _between(line: str) -> Iterator[tuple[int, int, list[tuple[int, int]], int | None]]:
    """Begin, end and notes of each part; the place of a quote that is never closed."""
    begin, i = 0, 0
    notes: list[tuple[int, int]] = []
    while i < len(line):
        if line[i] == '"' and (i == begin or line[i - 1].isspace()):
            close = line.find('"', i + 1)
            if close < 0:
                yield begin, len(line), notes, i
                return
            notes.append((i, close + 1))
            i = close
        elif line[i] == ";":
            yield begin, i, notes, None
            begin, notes = i + 1, []
        i += 1
    yield begin, len(line), notes, None


def _part(line: str, begin: int, end: int, notes: list[tuple[int, int]]) -> Iterator[Part | Bad]:
    inside = line[begin:end]
    odd = next((i for i, c in enumerate(inside) if visible(c) != c), None)
    if odd is not None:
        found = f"the invisible character U+{ord(inside[odd]):04X}"
        yield Bad(begin + odd, Fault("control-character", found, "visible text", "delete the character"))
        return
    masked = list(" " * begin + inside)
    for a, b in notes:
        masked[a:b] = " " * (b - a)
    text = "".join(masked)
    atoms = tuple(_atoms(text))
    said = "; ".join(line[a + 1 : b - 1].strip() for a, b in notes if line[a + 1 : b - 1].strip())
    if not atoms:
        if notes:
            found, how = "a note without a reading", 'lf tread 6 "inner groove"'
            yield Bad(notes[0][0], Fault("note-alone", found, "what it is about", how))
        return
    if len(atoms) > MAX_WORDS:
        found = f"{len(atoms)} words in one part"
        yield Bad(atoms[0].start, Fault("too-long", found, f"at most {MAX_WORDS}", "a ; between readings"))
        return
    yield Part(text, atoms[0].start, atoms, said, inside.strip())


def _atoms(text: str) -> Iterator[Atom]:
    """Words; those that begin with a letter are cut at hyphens, numbers and codes are not.

    The brackets of a list [6, 5, 6] are no part of its words.
    """
    for match in _TOKEN.finditer(text):
        kept = match.group().lstrip("[")
        start = match.end() - len(kept)
        kept = kept.rstrip(",:]")
        if not kept:
            continue
        if kept[0].isalpha() and "@" not in kept:
            for sub in _SUB.finditer(kept):
                yield Atom(sub.group().casefold(), start + sub.start(), start + sub.end())
        else:
            yield Atom(kept.casefold(), start, start + len(kept))
