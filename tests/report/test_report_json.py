"""The JSON report: its schema, reading back, and the same facts as the text."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from answers import ALL, GO, NO_GO
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from spoil import ALPHABET, NASTY, spoiled

from precheck.answer.record import Answer, Evidence, Finding, Gap
from precheck.model.rules import Verdict
from precheck.report import as_json, text

SCHEMA = json.loads((Path(__file__).resolve().parents[2] / "schemas" / "answer.schema.json").read_text())
PAIRS = {"places": ("place", "why"), "counts": ("state", "count")}


def errors(data: Any) -> list[str]:
    return [f"{list(e.path)}: {e.message}" for e in Draft202012Validator(SCHEMA).iter_errors(data)]


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_it_validates(answer: Answer) -> None:
    assert errors(json.loads(as_json.render(answer))) == []


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def schemas(node: Any) -> Iterator[dict[str, Any]]:
    """Every schema with properties in the document."""
    if isinstance(node, dict):
        if "properties" in node:
            yield node
        for inner in node.values():
            yield from schemas(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from schemas(inner)


def test_every_key_is_described_required_and_closed() -> None:
    found = list(schemas(SCHEMA))
    assert len(found) == 18
    for schema in found:
        assert schema["additionalProperties"] is False
        assert schema["required"] == list(schema["properties"])
        assert schema["description"]
        for key, value in schema["properties"].items():
            assert value.get("description"), key


def test_another_key_is_refused() -> None:
    data = json.loads(as_json.render(GO))
    data["gaps"].append({"point": "x"})
    assert errors(data)
    assert errors({**json.loads(as_json.render(GO)), "score": 1})


def test_keys_stand_in_the_order_of_the_record() -> None:
    data = json.loads(as_json.render(NO_GO))
    assert list(data) == ["answer", *(f.name for f in fields(Answer))]
    assert list(data["blocking"][0]) == [f.name for f in fields(Finding)]
    assert data["answer"] == 1


# -- reading back ---------------------------------------------------------------------------------


def rebuilt(kind: Any, value: Any, name: str = "") -> Any:
    """The record again, from JSON and the types of the record."""
    if name in PAIRS:
        return tuple(tuple(pair[key] for key in PAIRS[name]) for pair in value)
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        return kind(**{f.name: rebuilt(hints[f.name], value[f.name], f.name) for f in fields(kind)})
    if get_origin(kind) is tuple:
        return tuple(rebuilt(get_args(kind)[0], item) for item in value)
    if kind is Verdict:
        return Verdict(value)
    assert type(value) is kind
    return value


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_it_reads_back_to_the_same_record(answer: Answer) -> None:
    assert rebuilt(Answer, json.loads(as_json.render(answer))) == answer


@settings(deadline=None)
@given(st.lists(st.text(ALPHABET, max_size=60), min_size=1, max_size=6), st.sampled_from(sorted(ALL)))
@example([NASTY, "</script>"], "no-go")
def test_any_words_read_back_and_stay_ascii(words: list[str], name: str) -> None:
    # Two halves of a pair side by side are one letter to JSON; no file gives surrogates.
    kept = [w.encode("utf-16", "surrogatepass").decode("utf-16", "replace") for w in words]
    answer = spoiled(ALL[name], kept)
    out = as_json.render(answer)
    assert all(char == "\n" or " " <= char <= "~" for char in out)
    assert rebuilt(Answer, json.loads(out)) == answer


def test_one_newline_at_the_end() -> None:
    assert as_json.render(GO).endswith("}\n")


def test_exact_values_are_text() -> None:
    data = json.loads(as_json.render(NO_GO))
    assert data["blocking"][5]["evidence"][0]["exact"] == ["381/160 mm", "127/50 mm"]


# -- the same facts in both ------------------------------------------------------------------------


def facts(answer: Answer) -> Iterator[str]:
    """What the text must say of the JSON: all but the full list of findings and each single reading."""
    data = json.loads(as_json.render(answer))
    yield from (data[key] for key in ("file", "called", "day", "headline", "inspects", "ask", "version"))
    yield data["rules_digest"]
    for key in ("asked_back", "watch", "first_to_run_out", "hearsay", "notices", "uses", "shown_for"):
        yield from data[key]
    if data["verdict"] == "GO":
        yield from data["turn_back"]
    for key in ("blocking", "limited", "beside"):
        for found in data[key]:
            yield from finding_facts(found, short=key == "beside")
    for gap in data["gaps"]:
        yield from (gap["point"], gap["words"], gap["instrument"], *gap["states"])
        yield from ("a number" if gap["unit"] == "count" else gap["unit"], str(gap["rules"]))
        yield gap["access_words"][1:]
        for place in gap["places"]:
            yield place["place"].replace("-", " ") if place["place"] != "vehicle" else ""
            yield place["why"] if place["why"] != "no reading" else ""
    for question in data["questions"]:
        yield from (question["fact"], question["question"], *question["states"], question["unit"])
        yield f"one answer settles {question['rules']} rule"
    for limit in data["limits"]:
        yield from (limit["words"], limit["value"], *limit["because"])
    for caution in data["cautions"]:
        yield from (caution["id"], caution["text"])
        yield caution["source"]
    for source in (*data["judged_by"], *data["left_out"]):
        yield from (source["id"], source["title"], source["kind"], source["edition"], source["why"])
    yield from (source["address"] for source in data["judged_by"])
    for use in data["ladder"]:
        yield f"{use['use']}: {use['verdict']}"
        yield f"{use['bad']} against" if use["bad"] else ""
        yield f"{use['without_changes']} without the changes" if use["without_changes"] else ""
    for visit in data["looked"]:
        yield from (visit["on"], visit["by"], str(visit["readings"]), *visit["instruments"])
    yield from (f"{tally['state']} {tally['count']}" for tally in data["counts"])
    yield f"Without these changes: {data['without_changes']}" if data["without_changes"] else ""
    for line in data["changes"]:
        if line["standing"] == "in force":
            yield from change_facts(line)


def change_facts(line: dict[str, Any]) -> Iterator[str]:
    yield from (line["rule"], line["title"], line["change"]["kind"].capitalize(), *line["uses"])
    yield from (line["change"][key] for key in ("where", "because", "by", "since", "until", "source"))
    yield from (line["change"]["limit"], line["change"]["limit_was"])
    for effect in line["effects"]:
        yield effect["place_words"] if effect["place"] != "vehicle" else ""
        yield from (effect["state_without"], effect["weighs"] if effect["weighs"] == "set aside" else "")


def finding_facts(found: dict[str, Any], short: bool) -> Iterator[str]:
    yield from (found["title"], found["source_title"], found["clause"], found["blocks"])
    yield found["place_words"] if found["place"] != "vehicle" else ""
    for evidence in found["evidence"]:
        if evidence["outcome"] == "fails":
            yield from (*evidence["written"], evidence["limit"], evidence["margin"], evidence["note"])
    if not short:
        for change in found["changed"]:
            yield from (change["where"], change["kind"], change["limit_was"], found["state_without"])
        yield from (found["requires"], found["fix"], found["consequence"], found["cite_note"])
        yield from (*found["cautions"], *found["limits"], *found["combined_from"])


def bare(words: str) -> str:
    return "".join(words.split())


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_the_text_says_the_same_facts(answer: Answer, width: int) -> None:
    said = bare(text.render(answer, width))
    missing = [fact for fact in facts(answer) if bare(fact) not in said]
    assert missing == []


def test_the_records_tested_have_every_part_filled() -> None:
    """So that the comparison above compares something."""
    for name in (f.name for f in fields(Answer)):
        assert getattr(NO_GO, name) or name in ("looking_back", "highest_limits"), name
    assert {line.standing for line in NO_GO.changes} == {"in force", "ended"}
    for kind, found in ((Gap, NO_GO.gaps), (Finding, NO_GO.blocking), (Evidence, NO_GO.blocking[2].evidence)):
        for name in (f.name for f in fields(kind)):
            seen = any(getattr(item, name) for item in found)
            assert seen or name in ("step", "limits", "note", "why", "steps", "inputs"), (kind, name)
