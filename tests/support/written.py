"""Documents written as people write them, read by the library with the rules of a few systems."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date
from functools import cache

from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

HEAD = """\
condition: 1
vehicle: {called: Wren, region: us, vehicle-class: light truck, build-date: 1966-04, rear-wheels: single,
  gross-weight-rating: 7500 lb}
visits:
"""


@cache
def library(systems: Collection[str] = ("tires",)) -> Rulebook:
    """The library with the rules of some systems alone."""
    book = load_quickly()
    return replace(book, rules={n: r for n, r in book.rules.items() if r.system in systems})


def visit(on: str, readings: str, more: str = "") -> str:
    """One visit by RO; `readings` as the inside of a flow mapping."""
    return f"  - {{on: {on}, by: RO, readings: {{{readings}}}{more}}}\n"


def read(visits: str, on: date, head: str = HEAD, name: str = "wren.yaml") -> Document:
    """The document of some visits; fails the test where it has a problem."""
    source, wrong = read_yaml((head + visits).encode(), name)
    assert source is not None, wrong
    document, wrong = check(source, library(), Day(on, True))
    assert document is not None, wrong
    return document
