"""What a failure of a floor rule does, against the blocking table read a second time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from precheck.model.rules import Effects, Rule
from precheck.rulebook.load import load
from precheck.rulebook.rules import close_up
from tests.mutation.convention import effects_of
from tests.mutation.holds import Holds

BOOK = load()
HOLDS = Holds(BOOK)
FLOOR = {r.id: r for r in BOOK.rules.values() if r.floor}


def test_the_floor_does_what_the_table_says_or_stands_in_the_list_of_differences() -> None:
    assert [words for rule in FLOOR.values() for words in HOLDS.differs(rule)] == []


def test_every_step_of_the_floor_was_read_and_nothing_else() -> None:
    assert {name: len(steps) for name, steps in HOLDS.table.items()} == {
        name: len(rule.steps) for name, rule in FLOOR.items()
    }


def test_the_table_itself_decides_about_as_many_steps_as_judgment() -> None:
    """What the design says in so many words must not turn into judgment unnoticed."""
    starred = [w.endswith("*") for steps in HOLDS.table.values() for w in steps]
    assert len(starred) - sum(starred) >= 200


def test_differences_are_differences_and_all_rows_say_why() -> None:
    for name, row in HOLDS.differences.items():
        rule, _, number = name.partition(".")
        said = HOLDS.read_blocks(rule, int(number))
        assert said is not None, name
        stricter = close_up(HOLDS.blocks(rule, int(number)) or (), BOOK.uses) - close_up(said, BOOK.uses)
        milder = close_up(said, BOOK.uses) - close_up(HOLDS.blocks(rule, int(number)) or (), BOOK.uses)
        assert stricter or milder, f"{name}: the rule does what the table says, take it out"
        assert row["why"].startswith("milder: " if milder else "stricter: "), name
    for rows in (HOLDS.differences, HOLDS.asked, HOLDS.figures, HOLDS.free):
        for name, row in rows.items():
            assert len(row["why"]) > 20, name
            assert set(row) <= {"steps", "blocks", "asks", "limits", "why"}, name


def test_no_cell_of_the_table_is_answered_more_mildly() -> None:
    """Milder than judgment may be argued; milder than the table itself would be a rule to mend."""
    for name, row in HOLDS.differences.items():
        rule, _, number = name.partition(".")
        if row["why"].startswith("milder"):
            assert HOLDS.table[rule][int(number) - 1].endswith("*"), name


def test_who_asks_otherwise_does_so() -> None:
    for name in HOLDS.asked:
        rule, _, number = name.partition(".")
        steps = [FLOOR[rule].steps[int(number) - 1]] if number else FLOOR[rule].steps
        assert any(close_up(HOLDS.usual_asks(s), BOOK.uses) != s.effects.asks for s in steps), (
            f"{name}: it asks as all do, take it out"
        )


def test_what_is_free_would_be_told() -> None:
    strict = Holds(BOOK)
    strict.free = {}
    told = {words.partition(":")[0] for rule in FLOOR.values() for words in strict.differs(rule)}
    assert told == {name if "." in name else f"{name}.1" for name in HOLDS.free}


SINK = FLOOR["floor-brake-sink"]
RUST = FLOOR["floor-frame-rust"]


@pytest.mark.parametrize(
    ("rule", "number", "blocks", "asks", "limits"),
    [
        (SINK, 2, ["proving"], ["proving"], {}),  # the table: a pedal that sinks holds the yard
        (SINK, 1, ["proving"], ["occasional"], {}),  # not asked on the first road drive
        (RUST, 2, ["occasional"], ["proving"], {}),  # chosen days blocked, the first drive free
        (RUST, 2, ["proving"], ["proving"], {}),
        (FLOOR["floor-hub-heat"], 1, ["occasional"], ["occasional"], {"proving": {"distance": "2 mi"}}),
        (FLOOR["floor-shock-bushing"], 1, [], ["occasional"], {"occasional": {"speed": "50 mph"}}),
    ],
)
def test_an_effect_that_is_not_the_tables_is_told(
    rule: Rule, number: int, blocks: list[str], asks: list[str], limits: dict[str, dict[str, str]]
) -> None:
    assert HOLDS.differs(changed(rule, number, effects_of(blocks, asks, limits, BOOK)))
    assert not HOLDS.differs(rule)


def test_a_limit_that_vanishes_on_a_higher_rung_is_told() -> None:
    mild = FLOOR["floor-shock-bushing"].steps[0].effects
    gone = replace(mild, limits=tuple(x for x in mild.limits if x[0] != "everyday"))
    assert len(gone.limits) < len(mild.limits)
    assert HOLDS.differs(changed(FLOOR["floor-shock-bushing"], 1, gone))


def changed(rule: Rule, number: int, effects: Effects) -> Rule:
    steps = list(rule.steps)
    steps[number - 1] = replace(steps[number - 1], effects=effects)
    return replace(rule, steps=tuple(steps))
