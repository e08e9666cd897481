"""The same vehicle said otherwise has the same results: other units, another order, other YAML.

The factors are those of the definitions: 1 in is 25.4 mm, 1 lb is 0.45359237 kg, 1 mi is 1.609344 km,
exactly (international yard and pound, 1959).
"""

from __future__ import annotations

import random
import re
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from precheck.answer.gate import Gate, Request
from precheck.model.catalogue import Day
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
VEHICLES = ("juniper-first-look", "juniper", "juniper-ready", "heron", "linnet", "dunlin")
DAY = Day(date(2026, 11, 14), True)
FACTORS = {"in": ("mm", "25.4"), "lb": ("kg", "0.45359237"), "mi": ("km", "1.609344"), "ft": ("m", "0.3048")}
FACTORS |= {"mm": ("cm", "0.1"), "kg": ("tonne", "0.001"), "km": ("m", "1000")}
_AMOUNT = re.compile(r"\b(?:(\d+) )?(\d+)(?:/(\d+)|\.(\d+))? (in|lb|mi|ft|mm|kg|km)\b(?! (?:lb|in))")


@cache
def book() -> Rulebook:
    return load_quickly()


def results(text: str) -> dict[str, Any]:
    """Every state and every verdict of a document."""
    source, problems = read_yaml(text.encode(), "paper.yaml")
    assert source is not None, problems
    document, problems = check(source, book(), DAY)
    assert document is not None, problems
    made = Gate(document, book(), Request(DAY, ("proving",)))
    judged = made.judged(book().uses["proving"])
    answer = made.answer()
    return {
        "states": judged.results.states,
        "verdicts": [(line.use, line.verdict) for line in answer.ladder],
        "limits": [(limit.kind, limit.value) for limit in answer.limits],
        "missing": [(gap.point, [place for place, _ in gap.places]) for gap in answer.gaps],
    }


def text_of(name: str) -> str:
    return (FIXTURES / f"{name}.yaml").read_text(encoding="utf-8")


def converted(found: re.Match[str]) -> str:
    whole, number, below, decimals, unit = found.groups()
    amount = Fraction(int(number), int(below) if below else 1) + (int(whole) if whole else 0)
    if decimals:
        amount = Fraction(f"{number}.{decimals}")
    name, factor = FACTORS[unit]
    exact = amount * Fraction(factor)
    with localcontext() as context:
        context.prec = 40
        written = Decimal(exact.numerator) / Decimal(exact.denominator)
    text = format(written.normalize(), "f")
    if Fraction(text) != exact or len(text.replace(".", "")) > 12:
        return found[0]  # thirds of an inch have no decimal that ends
    return f"{text} {name}"


@pytest.mark.parametrize("name", VEHICLES)
def test_other_units(name: str) -> None:
    text = text_of(name)
    other = re.sub(r"(?m)^(?!\s*#)(.*)$", lambda line: _AMOUNT.sub(converted, line[0]), text)
    assert other != text
    assert results(other) == results(text)


def shuffled(node: Any, how: random.Random) -> Any:
    """The same data with the keys of every mapping in another order; lists are left alone."""
    if isinstance(node, dict):
        items = list(node.items())
        how.shuffle(items)
        return {key: shuffled(value, how) for key, value in items}
    return [shuffled(item, how) for item in node] if isinstance(node, list) else node


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("name", VEHICLES)
def test_another_order_and_another_way_to_write_it(name: str, seed: int) -> None:
    """Keys in any order, visits in any order of days, block style, every text in quotes."""
    how = random.Random(seed)
    data = shuffled(yaml.load(text_of(name), Loader=yaml.BaseLoader), how)
    days = list({visit["on"] for visit in data["visits"]})
    how.shuffle(days)
    data["visits"].sort(key=lambda visit: days.index(visit["on"]))  # those of one day stay in their order
    other = yaml.dump(data, default_style='"', default_flow_style=False, sort_keys=False, width=1000)
    assert results(other) == results(text_of(name))
