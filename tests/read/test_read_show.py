"""Nothing from a file reaches the terminal raw; problems fit 80 columns.

Which characters are controls: the general categories of the Unicode Standard.
"""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.model.problem import Mark, Problem
from precheck.read.near import near
from precheck.read.show import problem_lines, visible
from precheck.read.strict_yaml import read_yaml

DANGEROUS = [
    *map(chr, [*range(0x20), *range(0x7F, 0xA0)]),
    *"\u061c\u200b\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff",
    "\ud800",
    "\udfff",
    "\U000e0041",
]


@pytest.mark.parametrize("char", DANGEROUS, ids=lambda c: f"{ord(c):04x}")
def test_dangerous_characters_become_ascii(char):
    shown = visible(f"a{char}b")
    assert shown.isascii()
    assert shown.isprintable()
    assert len(shown) > 3


def test_ordinary_text_stays():
    assert visible("Grüße 2/32 in 漢字 °C") == "Grüße 2/32 in 漢字 °C"
    assert visible("\x1b[31m") == "\\x1b[31m"
    assert visible("a\nb\tc") == "a\\nb\\tc"
    assert visible("\u202e\U000e0041") == "\\u202e\\U000e0041"


def test_one_problem():
    _, (problem,) = read_yaml(b"a: 1\nnote: pad: thin\n", "form.yaml")
    assert problem_lines(problem) == [
        'form.yaml:2:10: a second ": " in one line',
        "    note: pad: thin",
        "             ^",
        '  expected: one "key: value" in a line; text that contains ": " must be quoted',
        '  write: note: "pad: thin"',
    ]


def test_near_and_escapes_move_the_caret():
    problem = Problem("f", Mark(1, 3), "c", "found\x1b", "expected", "", ("a", "b"), "\x1b\x1bx")
    assert problem_lines(problem) == [
        "f:1:3: found\\x1b",
        "    \\x1b\\x1bx",
        "            ^",
        "  expected: expected",
        "  near: did you mean a or b?",
    ]


def test_a_long_line_is_cut_around_the_place():
    problem = Problem("f", Mark(1, 5001), "c", "x", "y", text="a" * 5000 + "!" + "b" * 5000)
    _, line, caret, _ = problem_lines(problem)
    assert line[caret.index("^")] == "!"
    assert len(line) <= 80


@settings(max_examples=200, deadline=None)
@given(
    st.text(max_size=300),
    st.integers(1, 320),
    st.text(max_size=100),
    st.lists(st.text(max_size=20), max_size=3),
)
def test_any_problem_is_safe_and_narrow(text, column, words, close):
    problem = Problem(words, Mark(1, column), "c", words, words, words, tuple(close), text)
    for line in problem_lines(problem):
        assert len(line) <= 80
        assert not any(unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp") for char in line)


def test_near():
    choices = ["tire-pressure", "tire-tread-depth", "psi", "PSI"]
    assert near("tire-presure", choices) == ("tire-pressure",)
    assert near("Psi", choices) == ("PSI", "psi")
    assert near("zzz", choices) == ()
    assert near("x" * 10_000, choices) == ()
    assert len(near("aa", ["aaa", "aab", "aac", "aad"])) == 3
    assert near("aa", ["aab", "aaa"]) == near("aa", ["aaa", "aab"])
