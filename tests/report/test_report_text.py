"""The text report: stored pages, width, safe signs, and nothing left out."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

import pytest
from answers import ALL, BACK, GAPS, GO, MANY, NEXT, NO_GO, WIDTHS, stored, tread
from hypothesis import example, given, settings
from hypothesis import strategies as st
from spoil import ALPHABET, NASTY, spoiled

from precheck.answer.record import Answer
from precheck.model.rules import Verdict
from precheck.report.lines import plain
from precheck.report.text import render


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ALL)
def test_stored_page(name: str, width: int) -> None:
    assert render(ALL[name], width) == stored(name, width).read_text(encoding="ascii")


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_same_answer_same_bytes(answer: Answer) -> None:
    assert render(answer) == render(replace(answer))


# -- order and honesty --------------------------------------------------------------------------


def in_order(text: str, *parts: str) -> bool:
    at = [text.find(part) for part in parts]
    return -1 not in at and at == sorted(at)


def test_the_day_comes_first_and_the_verdict_before_everything_found() -> None:
    text = render(NO_GO)
    assert text.startswith("Day: 2026-10-03 (given with --on)\n")
    assert in_order(
        text,
        "Vehicle: Juniper",
        "Use: proving",
        "\nNO-GO for proving on 2026-10-03\n",
        "WHAT STANDS AGAINST IT",
        "NOT MEASURED YET",
        "QUESTIONS TO ANSWER",
        "IF IT BECOMES A GO",
        "FOUND, BUT BEARS ON OTHER USES ONLY",
        "WHAT IT RESTS ON",
        "WHO LOOKED, WHEN, WITH WHAT",
        "CAUTIONS",
        "WHAT THIS IS NOT",
        "WHICH RULES JUDGED",
    )


def test_the_last_line_is_the_verdict_again() -> None:
    assert render(NO_GO).splitlines()[-1] == NO_GO.headline


def test_a_day_not_named_is_today() -> None:
    assert render(GO).startswith("Day: 2026-10-03 (today)\n")


def test_limits_and_turning_back_follow_a_go() -> None:
    assert in_order(
        render(GO), GO.headline, "LIMITS OF THIS GO (2)", "TURN BACK OR STOP WHEN", "WHAT IT RESTS ON"
    )


@pytest.mark.parametrize("answer", [NO_GO, MANY, BACK], ids=["no-go", "undecided", "looking back"])
def test_no_turning_back_and_no_limits_of_a_go_without_one(answer: Answer) -> None:
    text = render(answer)
    assert "TURN BACK" not in text
    assert "LIMITS OF THIS GO" not in text


def test_undecided_says_that_it_is_no_go() -> None:
    assert "UNDECIDED is no GO" in render(MANY)


def test_looking_back_is_said_above_the_verdict() -> None:
    assert in_order(render(BACK), "LOOKING BACK", BACK.headline)


def test_without_uses_the_ladder_and_the_next_use() -> None:
    text = render(NEXT)
    assert in_order(
        text,
        "none named",
        NEXT.headline,
        "The GO is for yard",
        "THE LADDER",
        "night: NO-GO",
        "WHAT STANDS BEFORE proving",
    )


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_every_page_says_what_it_is_not(answer: Answer) -> None:
    said = "".join(render(answer).split())
    for words in (
        "owner's own pre-check",
        "no inspection",
        "Local inspection law and licensed inspectors decide",
        "Not asked: registration, insurance, and whether an inspection is due",
        "open recalls",
        "precheck 0.1.0, rules c4fac1150c6ab346",
    ):
        assert "".join(words.split()) in said


def test_without_a_region_no_law_is_claimed() -> None:
    assert "region is not answered" in " ".join(render(MANY).split())


def test_memory_and_practice_are_called_that() -> None:
    text = " ".join(render(NO_GO).split())
    assert "tire-pressure-pair; common practice, from memory" in text
    assert "570.9(a); read in its own text" in text
    assert "an own rule, no published one" in text
    law_from_memory = replace(NO_GO.blocking[2], checked="memory")
    assert "570.9(a); from memory, not looked up" in " ".join(
        render(replace(NO_GO, blocking=(law_from_memory,))).split()
    )


# -- findings -------------------------------------------------------------------------------------


def test_one_rule_at_several_places_is_one_block() -> None:
    text = render(NO_GO)
    assert text.count("3. Tread depth") == 1
    assert text.count("Every tire keeps at least 2/32 inch") == 1
    assert "left front, right front: 1.5 mm (= about 0.0591 in; about 0.00344 in short)" in text


def test_each_reading_is_asked_once_under_its_position_in_working_order() -> None:
    text = render(NO_GO)
    for gap in GAPS:
        assert text.count(f"- {gap.point}:") == 1
    assert in_order(text, "Round the vehicle", "From the driver's seat", "Axle on stands")


def test_a_caution_is_told_once_and_before_the_readings_of_its_position() -> None:
    text = render(NO_GO)
    assert text.count("Stands under axle or frame") == 1
    assert in_order(text, "Round the vehicle", "Take care (jacking-stands)", "- tire-date-code:")
    assert in_order(text, "Axle on stands", "Take care, as above: jacking-stands", "- wheel-bearing-play:")


def test_a_reading_simply_missing_gives_no_reason() -> None:
    text = render(NO_GO)
    assert "no reading" not in text
    assert "why: right rear: told only by RO" in text


@pytest.mark.parametrize(
    ("written", "converted", "value"),
    [
        ("1.5 mm", "about 0.0591 in", "1.5 mm (= about 0.0591 in; about"),
        ("1/32 in", "", "1/32 in (about"),
    ],
    ids=["another unit", "the limit's unit"],
)
def test_as_written_with_the_converted_value_beside_it(written: str, converted: str, value: str) -> None:
    """Converted where the limit is in another unit; 1.5 mm is 0.0591 in (1 in is 25.4 mm exactly)."""
    found = tread("left-front", written=(written,), converted=(converted,))
    text = render(replace(NO_GO, blocking=(found,)))
    assert f"1. Tread depth - left front: {value}" in text
    assert "Needs: at least 2/32 in" in text


# -- any words --------------------------------------------------------------------------------------


def widest(text: str) -> int:
    return max(
        sum(
            0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
            for c in line
        )
        for line in text.splitlines()
    )


@settings(deadline=None)
@given(st.lists(st.text(ALPHABET, max_size=120), min_size=1, max_size=6), st.sampled_from(sorted(ALL)))
@example([NASTY, "1/0 mm", "x" * 200], "no-go")
def test_any_words_stay_within_80_columns_of_ascii(words: list[str], name: str) -> None:
    text = render(spoiled(ALL[name], words))
    assert text.isascii()
    assert all(len(line) <= 80 for line in text.split("\n"))
    assert all(char == "\n" or " " <= char <= "~" for char in text)
    assert not any(line != line.rstrip() for line in text.split("\n"))
    assert "\n\n\n" not in text
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


@settings(deadline=None)
@given(st.lists(st.text(ALPHABET, max_size=120), min_size=1, max_size=6), st.integers(40, 130))
@example([NASTY, "\u4e2d" * 100], 80)
def test_letters_may_stay_but_nothing_hidden(words: list[str], width: int) -> None:
    text = render(spoiled(NO_GO, words), width, letters=True)
    hidden = {c for c in text if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")}
    assert hidden <= {"\n"}
    assert widest(text) <= width


def test_letters_beyond_ascii_are_escaped_or_kept() -> None:
    name = "J\u00f6rg's \u0416uk"
    assert plain(name) == "J\\xf6rg's \\u0416uk"
    assert f"Vehicle: {name}\n" in render(replace(GO, called=name), letters=True)


def test_no_terminal_codes_get_through() -> None:
    text = render(replace(GO, called="\x1b[31mred\x9b0m\u202e"))
    assert "Vehicle: \\x1b[31mred\\x9b0m\\u202e\n" in text


def test_words_are_cut_only_where_no_line_holds_them() -> None:
    text = render(replace(GO, called="word " * 40, file="/".join(["directory"] * 20)))
    lines = text.splitlines()
    assert all(set(line.split()) <= {"Vehicle:", "word"} for line in lines[1:4])
    cut = [line for line in lines if "directory" in line]
    assert all(line.endswith("directory/") for line in cut[:-1])
    assert "".join(line.strip().removeprefix("File:").strip() for line in cut) == "/".join(["directory"] * 20)


def test_a_narrow_width_is_taken_as_40() -> None:
    assert render(NO_GO, 3) == render(NO_GO, 40)
    assert max(map(len, render(NO_GO, 3).splitlines())) <= 40


def test_every_verdict_word_is_one_of_three() -> None:
    assert {line.verdict for line in NO_GO.ladder} <= set(Verdict)
