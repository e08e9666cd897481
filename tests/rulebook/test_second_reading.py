"""Every figure of every rule with a source, against a second reading of the notes on that source.

The table was made once, by clause and number, from the notes and not from the rules (tests/rulebook/
second_reading.yaml); a figure that is changed, added or gone in rules/ shows here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from dateutil.parser import parse

from precheck.rulebook.load import rules_folder

TABLE = yaml.load(
    (Path(__file__).parent / "second_reading.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader
)
SKIPPED = {
    *("id", "title", "cite", "requires", "consequence", "fix", "cases", "limits", "blocks", "asks", "chain"),
    *("cautions", "words", "measure", "by", "of", "at", "take"),
}  # what holds words or effects, no figures of the source
STATES = {"one-of", "not-one-of", "is", "no-worse-than"}
NUMBER = r"-?(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
FIGURE = re.compile(rf"{NUMBER}(?: [^,;]+)?")
COUNT = re.compile(r"\d+ count")
DAY = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")


def figures(node: Any, key: str = "") -> Iterator[str]:
    """The figures of a rule as its file has them."""
    if isinstance(node, dict):
        for name, inner in node.items():
            if name not in SKIPPED:
                yield from figures(inner, name)
    elif isinstance(node, list):
        for inner in node:
            yield from figures(inner, key)
    elif isinstance(node, str):
        form = FIGURE if key not in STATES else COUNT
        if form.fullmatch(node) or (form is FIGURE and DAY.fullmatch(node)):
            yield node


def number(text: str) -> Fraction:
    """`2 1/4`, `2-1/4`, `1,200`, `1 200` or `5,0`, without a sign."""
    text = text.strip().lstrip("-")
    mixed = re.fullmatch(r"(\d+)[ -](\d+/\d+)", text)
    if mixed:
        return Fraction(mixed[1]) + Fraction(mixed[2])
    grouped = re.fullmatch(r"(\d{1,3})((?:[ ,]\d{3})+)", text)
    return Fraction(re.sub("[ ,]", "", text) if grouped else text.replace(",", "."))


def same(figure: str, read: str) -> bool:
    """Whether the second reading holds the same figure."""
    if DAY.fullmatch(figure) and not re.match(r"\d{4} ", figure):
        if DAY.fullmatch(read):
            return figure in (read, f"{read}-01-01", f"{read}-01")
        after = read.startswith("after ")
        day: date = parse(read.removeprefix("after ")).date() + timedelta(days=after)
        return figure in (day.isoformat(), day.isoformat()[:7])
    found = re.match(NUMBER, figure)
    return found is not None and number(found[0]) == number(read)


def rules() -> dict[str, tuple[str, set[str]]]:
    """Source and figures of every rule but those of the floor."""
    out = {}
    for path in sorted(rules_folder().glob("*/*.yaml")):
        if path.parent.name in ("points", "floor") or path.name == "clauses.yaml":
            continue
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)
        for rule in data["rules"]:
            out[rule["id"]] = (path.parent.name, set(figures(rule)))
    return out


RULES = rules()
READ = [(source, row) for source, rows in TABLE["read"].items() for row in rows]
EXPLAINED = [(source, row) for source, rows in TABLE["explained"].items() for row in rows]


def test_every_figure_was_read_twice_or_is_explained() -> None:
    there = {(s, rule, row["figure"]) for s, row in (*READ, *EXPLAINED) for rule in row["rules"]}
    wanted = {(source, rule, figure) for rule, (source, found) in RULES.items() for figure in found}
    assert wanted - there == set(), "read the clause again, then add a row"
    assert there - wanted == set(), "no rule has this figure any more"


def test_both_readings_agree() -> None:
    assert [row for _, row in READ if not same(row["figure"], row["read"])] == []


def test_every_explanation_says_something() -> None:
    assert [row for _, row in EXPLAINED if len(row["why"]) < 20] == []


@pytest.mark.parametrize(
    ("figure", "read", "agree"),
    [
        ("2/32 in", "2/32", True),
        ("1/16 in", "2/32", True),
        ("1/16 in", "1/32", False),
        ("2-1/4 in", "2 1/4", True),
        ("1200 mm", "1 200", True),
        ("5.0 m/s2", "5,0", True),
        ("-1.5 in", "1.5", True),
        ("1936-01-02", "after January 1, 1936", True),
        ("1936-01-01", "after January 1, 1936", False),
        ("1986-04-01", "1st April 1986", True),
        ("1973-01-01", "1973", True),
    ],
)
def test_how_figures_are_compared(figure: str, read: str, agree: bool) -> None:
    assert same(figure, read) is agree
