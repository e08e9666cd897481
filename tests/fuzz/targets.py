"""What is fuzzed: bytes in, and a document or problems with places out, in bounded time; nothing else.

Each target takes bytes and returns nothing; anything it raises is a fault of precheck.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from datetime import date
from functools import cache
from pathlib import Path
from typing import ClassVar
from unittest import mock

import yaml

from precheck.model.catalogue import Day
from precheck.model.problem import Problem, Problems
from precheck.model.quantity import Quantity
from precheck.read.quantity import read_quantity
from precheck.read.show import problem_lines
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import extend, load_quickly
from precheck.settle import jot as jotting
from precheck.settle.check import check
from precheck.settle.jot import Where
from precheck.settle.settle import settle

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
DAY = Day(date(2026, 11, 14), True)
SECONDS = 10.0  # of processor time, for one input of a few kB
LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if yaml.__with_libyaml__ else [])]


@cache
def book() -> Rulebook:
    return load_quickly()


def placed(problems: Iterable[Problem], rows: int) -> None:
    """Every problem stands somewhere in the text and can be shown."""
    for problem in problems:
        assert 1 <= problem.mark.line <= rows
        assert problem.mark.column >= 1
        assert problem.found
        assert problem.expected
        assert all(line.isprintable() for line in problem_lines(problem))


def rows_of(data: bytes) -> int:
    return len(data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").split("\n"))


def reader(data: bytes) -> None:
    """Both parsers say the same of any bytes."""
    results = [read_yaml(data, "fuzz.yaml", loader=loader) for loader in LOADERS]
    for source, problems in results:
        assert (source is None) == bool(problems)
        placed(problems, rows_of(data))
    trees = [source.root if source else None for source, _ in results]
    assert all(tree == trees[0] for tree in trees)


def quantity(data: bytes) -> None:
    text = data.decode("utf-8", "replace")
    for dimension in (None, "pressure", "length"):
        got = read_quantity(text, book().units, dimension=dimension)
        if isinstance(got, Quantity):
            low, high = got.value.low, got.value.high
            assert low is not None or high is not None
            assert low is None or high is None or low <= high
        else:
            assert got.found
            assert got.expected


def document(data: bytes) -> None:
    source, problems = read_yaml(data, "fuzz.yaml")
    if source is None:
        return
    found, problems = check(source, book(), DAY)
    placed(problems, rows_of(data))
    assert (found is None) == bool(problems)
    if found is not None:
        settle(found, book(), DAY, book().rungs()[0], book().points)


def rules(data: bytes) -> None:
    path = Path("/dev/shm" if Path("/dev/shm").is_dir() else "/var/tmp") / "precheck-fuzz-rules.yaml"
    path.write_bytes(data)
    try:
        extend(book(), [path])
    except Problems as wrong:
        placed((p for p in wrong.problems if p.file == str(path)), rows_of(data))


class _Kept(jotting.Matcher):
    """One matcher for a vehicle: making one takes longer than reading a line."""

    made: ClassVar[dict[str, jotting.Matcher]] = {}

    def __new__(cls, book: Rulebook, vehicle: jotting.Vehicle) -> _Kept:
        return cls.made.setdefault(repr(vehicle), super().__new__(cls))  # type: ignore[return-value]

    def __init__(self, book: Rulebook, vehicle: jotting.Vehicle) -> None:
        if not hasattr(self, "vehicle"):
            super().__init__(book, vehicle)


@cache
def _jot() -> tuple[jotting.Vehicle, Where]:
    source, _ = read_yaml((FIXTURES / "juniper.yaml").read_bytes(), "juniper.yaml")
    assert source is not None
    found, _ = check(source, book(), DAY)
    assert found is not None
    where = Where(on=DAY.date, visit=len(found.visits), by="RO")
    return jotting.vehicle_of(found, book(), DAY), where


def jot(data: bytes) -> None:
    lines = data.decode("utf-8", "replace").splitlines() or [""]
    vehicle, where = _jot()
    with mock.patch.object(jotting, "Matcher", _Kept):
        got = jotting.read_jot(lines, book(), vehicle, DAY, where)
    for problem in got.problems:
        assert 1 <= problem.mark.line <= len(lines)
        assert problem.mark.column >= 1
        assert problem.found
        assert problem.expected


TARGETS: dict[str, Callable[[bytes], None]] = {
    "reader": reader,
    "quantity": quantity,
    "document": document,
    "rules": rules,
    "jot": jot,
}


def in_time(target: Callable[[bytes], None], data: bytes) -> None:
    began = time.process_time()
    target(data)
    took = time.process_time() - began
    assert took < SECONDS, f"{took:.1f} s for {len(data)} bytes"


def seeds(name: str) -> list[bytes]:
    """What each target starts from: the fixtures, or what people would write."""
    if name in ("reader", "document"):
        return [p.read_bytes() for p in sorted(FIXTURES.glob("*.yaml")) + sorted(FIXTURES.glob("broken/*"))]
    if name == "rules":
        return [p.read_bytes() for p in sorted(FIXTURES.glob("local/*.yaml"))]
    if name == "quantity":
        words = "2/32 in|1 1/16 in|4 ft 3 1/2 in|at least 40 psi|35 to 36 psi|1.60 mm|-5 degC|6,000 lb|12"
        return [word.encode() for word in words.split("|")]
    words = (
        'lr tread 6 5 6; rr pressure 33 psi\nframe left rear rail pitted "behind the hanger"\n'
        "lf date code 1417; rf date code same as lf\nbrake pedal firm told\ndone wheel cylinder replaced lr\n"
        'strike lr tread 6 "typed wrong"\ntire-pressure-cold@left-rear: 36 psi'
    )
    return [line.encode() for line in words.split("\n")] + [words.encode()]
