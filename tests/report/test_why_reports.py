"""Reports of why and suppose: stored pages, width, safe signs, schemas, SUPPOSED on every verdict line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest
from explained import EXPLAINED, SUPPOSED, WIDTHS, stored
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from spoil import ALPHABET, NASTY, spoiled

from precheck.answer.explain import Explanation, Supposed
from precheck.model.rules import Verdict
from precheck.report import suppose, why
from precheck.report.as_json import rendered

SCHEMAS = Path(__file__).resolve().parents[2] / "schemas"
WHY, SUPPOSE, ANSWER = (
    json.loads((SCHEMAS / f"{name}.schema.json").read_text()) for name in ("why", "suppose", "answer")
)
ALL: dict[str, Explanation | Supposed] = {**EXPLAINED, **SUPPOSED}


def page(found: Explanation | Supposed, width: int = 80, *, letters: bool = False) -> str:
    if isinstance(found, Explanation):
        return why.render(found, width, letters=letters)
    return suppose.render(found, width, letters=letters)


def document(found: Explanation | Supposed) -> dict[str, Any]:
    name = "why" if isinstance(found, Explanation) else "suppose"
    data: dict[str, Any] = json.loads(rendered(name, found))
    return data


def errors(data: dict[str, Any]) -> list[str]:
    schema = WHY if "why" in data else SUPPOSE
    return [f"{list(e.path)}: {e.message}" for e in Draft202012Validator(schema).iter_errors(data)]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ALL)
def test_stored_page(name: str, width: int) -> None:
    assert page(ALL[name], width) == stored(name, width).read_text(encoding="ascii")


@pytest.mark.parametrize("name", ALL)
def test_it_validates(name: str) -> None:
    assert errors(document(ALL[name])) == []


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("width", [40, 80])
def test_no_line_is_wider_than_asked_and_all_is_ascii(name: str, width: int) -> None:
    text = page(ALL[name], width)
    assert text.isascii()
    assert max(len(line) for line in text.splitlines()) <= width


# -- suppose ------------------------------------------------------------------------------------------

_VERDICT = re.compile(r"\b(GO|NO-GO|UNDECIDED)\b")


@pytest.mark.parametrize("name", SUPPOSED)
@pytest.mark.parametrize("width", [80, 200])
def test_the_word_supposed_stands_on_every_line_that_says_a_verdict(name: str, width: int) -> None:
    for line in page(SUPPOSED[name], width).splitlines():
        if _VERDICT.search(line) and "never a GO" not in line:
            assert "SUPPOSED" in line


@pytest.mark.parametrize("name", SUPPOSED)
def test_a_supposition_is_never_a_go_for_the_shell(name: str) -> None:
    found = SUPPOSED[name]
    assert found.exit_code == (1 if found.verdict_supposed is Verdict.NO_GO else 3)
    assert found.headline_supposed.startswith("SUPPOSED: ")
    assert "SUPPOSED" in found.headline_now


def test_what_moved_is_told_with_now_and_then() -> None:
    text = page(SUPPOSED["suppose-better"], 200)
    assert "Pressure - left front (pressure-low; floor pressure): fails (bad) -> meets" in text
    assert '- tread@left-front: 6/32 in "new tire"' in text


# -- why --------------------------------------------------------------------------------------------------


def test_every_reason_is_cited_and_has_a_way() -> None:
    found = EXPLAINED["why-verdict"]
    for result in (*found.against, *found.open, *found.limited):
        assert all(c.title and c.clause and c.checked for c in result.cites)
        assert result.remedies or result.nothing_to_do


def test_the_page_says_reading_who_when_how_and_with_what() -> None:
    text = page(EXPLAINED["why-close"], 400)
    assert "Reading: tread at left front: 1.5 mm; measured by RO on 2026-06-01 with gauge" in text
    assert "tread at left front: 1.5 mm, needs at-least 2/32 in: fails (0.0875 mm short)" in text
    assert "measure again with a finer instrument" in text


def test_a_rule_of_a_source_left_out_says_why_it_does_not_judge() -> None:
    text = page(EXPLAINED["why-left-out"], 400)
    assert (
        "tread-depth does not judge here: its source us-law is left out (not chosen with --sources)." in text
    )


# -- the schemas ------------------------------------------------------------------------------------------


def schemas(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        if "properties" in node:
            yield node
        for inner in node.values():
            yield from schemas(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from schemas(inner)


@pytest.mark.parametrize("schema", [WHY, SUPPOSE], ids=["why", "suppose"])
def test_every_key_is_described_required_and_closed(schema: dict[str, Any]) -> None:
    for part in schemas(schema):
        assert part["additionalProperties"] is False
        assert part["required"] == list(part["properties"])
        assert part["description"]
        assert all(value.get("description") for value in part["properties"].values())


def test_findings_are_described_as_in_the_answer() -> None:
    """Each schema stands alone, so what they share is there twice; it is the same."""
    shared = [name for name in WHY["$defs"] if name in ANSWER["$defs"]]
    assert {"finding", "evidence", "caution", "tally"} <= set(shared)
    for name in shared:
        assert WHY["$defs"][name] == ANSWER["$defs"][name], f"copy '{name}' from answer.schema.json"


def test_keys_stand_in_the_order_of_the_record() -> None:
    assert list(document(EXPLAINED["why-rule"])) == ["why", *(f.name for f in fields(Explanation))]
    assert list(document(SUPPOSED["suppose-go"])) == ["suppose", *(f.name for f in fields(Supposed))]


# -- people's words ------------------------------------------------------------------------------------------

_KEPT = ("asked_kind", "day")


def hostile(name: str, words: list[str]) -> Explanation | Supposed:
    """The record with every text somebody else's, but for what the report goes by."""
    found = ALL[name]
    bad = spoiled(found, words)
    return replace(bad, **{k: getattr(found, k) for k in _KEPT if hasattr(found, k)})


@pytest.mark.parametrize("name", ALL)
def test_hostile_words_are_shown_as_text(name: str) -> None:
    for letters in (False, True):
        text = page(hostile(name, [NASTY, "\x1b[31mGO\x1b[0m", "a\nb"]), letters=letters)
        assert not {c for c in text if c != "\n"} & set("\x00\x07\x1b\x7f\x85\u202e\u2028\ufeff\r\t")


@settings(deadline=None, max_examples=40)
@given(st.lists(st.text(ALPHABET, max_size=30), min_size=1, max_size=4), st.sampled_from(sorted(ALL)))
def test_any_words_any_page(words: list[str], name: str) -> None:
    found = hostile(name, words)
    assert page(found).isascii()
    assert json.loads(rendered("x", found))
