"""The cache of the parsed library: the same rulebook, and anything odd in it is no rulebook."""

from __future__ import annotations

import hashlib
import pickle
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from precheck.rulebook import cache
from precheck.rulebook.book import Rulebook
from precheck.rulebook.kept import KeptRules
from precheck.rulebook.load import load, rules_folder


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load()


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.delenv("PRECHECK_NO_CACHE", raising=False)
    return tmp_path / "precheck"


def never() -> Rulebook:
    raise AssertionError("the library was read anew")


def kept(book: Rulebook) -> Rulebook:
    cache.get(rules_folder(), lambda: book)
    return cache.get(rules_folder(), never)


def test_what_is_kept_is_what_was_read(home: Path, book: Rulebook) -> None:
    back = kept(book)
    assert isinstance(back.rules, KeptRules)
    for field in fields(Rulebook):
        if field.name != "rules":
            assert getattr(back, field.name) == getattr(book, field.name), field.name
    assert list(back.rules) == list(book.rules)
    assert back.with_rules == book.with_rules == {rule.source for rule in book.rules.values()}
    for name, rule in book.rules.items():
        assert back.rules[name] == replace(rule, cases=())
        assert [repr(t) for t in back.rules[name].applies] == [repr(t) for t in rule.applies]


def test_rules_of_some_sources_come_in_the_order_of_the_library(home: Path, book: Rulebook) -> None:
    back = kept(book)
    for names in ({"floor"}, {"floor", "us-49cfr570"}, {"gb-cu", "floor"}, set(), {"no-such"}):
        wanted = [r.id for r in book.rules.values() if r.source in names]
        assert [r.id for r in back.rules_of(names)] == [r.id for r in book.rules_of(names)] == wanted


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: b"",
        lambda data: data[:40],
        lambda data: data[:-1],
        lambda data: data[:100] + bytes([data[100] ^ 1]) + data[101:],
        lambda data: bytes(32) + data[32:],
        lambda data: signed(pickle.dumps("not a rulebook")),
        lambda data: signed(pickle.dumps((1, {}, {}))),
        lambda data: signed(pickle.dumps((Path("x"), {}, {}))),
        lambda data: signed(b"cposix\nsystem\n(S'true'\ntR."),
    ],
)
def test_an_odd_cache_is_not_taken(home: Path, book: Rulebook, spoil: Any) -> None:
    cache.get(rules_folder(), lambda: book)
    (path,) = home.glob("*.pickle")
    path.write_bytes(spoil(path.read_bytes()))
    with pytest.raises(AssertionError, match="read anew"):
        cache.get(rules_folder(), never)


def signed(data: bytes) -> bytes:
    return hashlib.sha256(data).digest() + data


def test_a_home_that_cannot_be_written_does_not_matter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, book: Rulebook
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert list(cache.get(rules_folder(), lambda: book).rules) == list(book.rules)


def test_parts_that_only_compare_alike_stay_apart() -> None:
    one, true, half = cache._loads(cache._dumps(((1, "x"), (True, "x"), (1, "x"))))
    assert [type(t[0]) for t in (one, true, half)] == [int, bool, int]
    assert one is half
