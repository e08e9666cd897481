"""Judgements across places, and limits that another value or a table sets, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from precheck.derive.across import across
from precheck.derive.margin import margin
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Bound, Over, Row
from precheck.model.settled import Cell, Status
from tests.support.minibook import amount, value

PLACES = ("left-front", "right-front", "left-rear", "right-rear")


def numbers(*written: str | list[str], point: str = "tread") -> list[Cell]:
    return [
        Cell(
            point,
            place,
            Status.VALUE,
            tuple(value(point, w) for w in ([one] if isinstance(one, str) else one)),
        )
        for place, one in zip(PLACES, written, strict=False)
    ]


def words(*written: str | list[str], point: str = "lamp") -> list[Cell]:
    return numbers(*written, point=point)


def taken(take: str, cells: list[Cell], *states: str) -> list[Enclosure | None]:
    return [v.number for v in across(Over("tires", take, states), cells).values]


def mm(low: object, high: object) -> Enclosure:
    return Enclosure(*(None if e is None else Fraction(e) for e in (low, high)))  # type: ignore[arg-type]


# -- across -----------------------------------------------------------------------------------


def test_count_and_share() -> None:
    cells = words("works", "dim", "dead", "works")
    assert taken("count", cells, "dim", "dead") == [Enclosure.of(2)]
    assert taken("share", cells, "works") == [Enclosure.of(Fraction(1, 2))]
    assert taken("count", words("works", "works"), "dead") == [Enclosure.of(0)]


def test_a_place_with_several_values_counts_both_ways() -> None:
    """A list is all that was taken: a limit from below takes the lower count, one from above the higher."""
    cells = words("works", ["works", "dead"])
    assert taken("count", cells, "works") == [Enclosure.of(1), Enclosure.of(2)]
    assert taken("count", cells, "dead") == [Enclosure.of(0), Enclosure.of(1)]
    assert taken("share", cells, "works") == [Enclosure.of(Fraction(1, 2)), Enclosure.of(1)]


def test_distinct() -> None:
    assert taken("distinct", words("radial", "radial", "bias", point="construction")) == [Enclosure.of(2)]
    assert taken("distinct", words("radial", "radial", point="construction")) == [Enclosure.of(1)]
    assert taken("distinct", words("7.00-16", "7.00 - 16", "7.00-16 ", point="size")) == [Enclosure.of(1)]
    assert taken("distinct", words("lt215/85r16", "LT215/85R16", point="size")) == [Enclosure.of(1)]
    assert taken("distinct", numbers("1 in", "25.4 mm")) == [Enclosure.of(1)]


def test_lowest_highest_spread() -> None:
    cells = numbers("5 mm", ["6 mm", "2 mm"], "3 mm")
    assert taken("lowest", cells) == [mm(2, 2)]
    assert taken("highest", cells) == [mm(6, 6)]
    assert taken("spread", cells) == [mm(4, 4)]
    assert taken("spread", numbers("1 in", "25 mm")) == [mm("2/5", "2/5")]
    assert taken("spread", numbers("5 mm")) == [mm(0, 0)]


def test_across_enclosures() -> None:
    cells = numbers("2 to 4 mm", "3 to 7 mm")
    assert taken("lowest", cells) == [mm(2, 4)]
    assert taken("highest", cells) == [mm(3, 7)]
    assert taken("spread", cells) == [mm(0, 5)]
    assert taken("spread", numbers("1 to 2 mm", "6 to 9 mm")) == [mm(4, 8)]
    assert taken("lowest", numbers("at least 5 mm", "6 mm")) == [mm(5, 6)]
    assert taken("lowest", numbers("at most 5 mm", "6 mm")) == [mm(None, 5)]
    assert taken("highest", numbers("at least 5 mm", "6 mm")) == [mm(6, None)]
    assert taken("spread", numbers("at least 5 mm", "2 mm")) == [mm(3, None)]
    assert taken("spread", numbers("at most 5 mm", "6 mm")) == [mm(1, None)]


def test_lowest_of_states_cannot_tell() -> None:
    assert across(Over("lamps", "lowest"), words("works")).values == ()


# -- another value as the limit ---------------------------------------------------------------


def one(written: str | list[str], point: str = "pressure") -> Cell:
    return numbers(written, point=point)[0]


def test_24_psi_is_53_percent_of_45_psi() -> None:
    """Common practice (no source): 24 of 45 is rounded to 53 percent; exactly 8/15."""
    assert round(Fraction(24, 45) * 100) == 53
    below, above = Fraction(53, 100), Fraction(54, 100)
    [v] = margin(one("24 psi"), one("45 psi", "pressure-wanted"), Bound("pressure-wanted", below)).values
    assert v.number is not None
    assert v.number.low == amount("24 psi") - amount("45 psi") * below
    assert v.number.low > 0
    [v] = margin(one("24 psi"), one("45 psi", "pressure-wanted"), Bound("pressure-wanted", above)).values
    assert v.number is not None
    assert v.number.high is not None
    assert v.number.high < 0
    exact = Bound("pressure-wanted", Fraction(8, 15))
    assert margin(one("24 psi"), one("45 psi", "pressure-wanted"), exact).values[0].number == Enclosure.of(0)


def test_share_and_plus() -> None:
    bound = Bound("pressure-wanted", Fraction(1, 2), amount("3 psi"))
    [v] = margin(one("20 psi"), one("30 psi", "pressure-wanted"), bound).values
    assert v.number == Enclosure.of(amount("2 psi"))


def test_enclosures_on_both_sides() -> None:
    """30 to 32 less 28 to 29: from 1 to 4."""
    [v] = margin(one("30 to 32 psi"), one("28 to 29 psi"), Bound("pressure")).values
    assert v.number == Enclosure(amount("1 psi"), amount("4 psi"))
    [v] = margin(one("at least 30 psi"), one("28 psi"), Bound("pressure")).values
    assert v.number == Enclosure(amount("2 psi"), None)
    [v] = margin(one("30 psi"), one("at least 28 psi"), Bound("pressure")).values
    assert v.number == Enclosure(None, amount("2 psi"))


def test_each_value_against_each_limit() -> None:
    """Of several limits the worst counts, whichever way the test points."""
    found = margin(one(["30 psi", "33 psi"]), one(["28 psi", "35 psi"]), Bound("pressure")).values
    assert sorted(v.number.low / amount("1 psi") for v in found if v.number and v.number.low is not None) == [
        -5, -2, 2, 5,
    ]  # fmt: skip


def test_a_limit_that_has_no_number_cannot_tell() -> None:
    words = Cell("size", "left-front", Status.VALUE, (Value("7.00-16"),))
    assert margin(one("30 psi"), words, Bound("size")).values == ()


# -- tables -----------------------------------------------------------------------------------


def row(low: str, high: str, limit: str, low_out: bool = False, high_out: bool = False) -> Row:
    ends = [amount(e) if e else None for e in (low, high)]
    return Row(ends[0], low_out, ends[1], high_out, None, amount(limit), f"{low}..{high}")


# An invented table with a shared end and a gap.
ROWS = (
    row("", "16 in", "2 in"),
    row("16 in", "18 in", "9/4 in", low_out=True),
    row("20 in", "22 in", "3 in", high_out=True),
)


def by_table(key: str | list[str], measured: str = "2 in") -> list[Enclosure | None]:
    bound = Bound("tread", table="invented", rows=ROWS)
    return [v.number for v in margin(one(measured, "tread"), one(key, "tread"), bound).values]


@pytest.mark.parametrize(
    ("key", "limit"),
    [("1 in", "2 in"), ("16 in", "2 in"), ("161/10 in", "9/4 in"), ("18 in", "9/4 in"), ("20 in", "3 in"),
     ("219/10 in", "3 in")],
)  # fmt: skip
def test_rows_and_their_ends(key: str, limit: str) -> None:
    assert by_table(key) == [Enclosure.of(amount("2 in") - amount(limit))]


@pytest.mark.parametrize(
    "key", ["19 in", "22 in", "30 in", "17 to 21 in", "at least 1 in", "at most 1 in", "21 to 22 in"]
)
def test_a_key_outside_every_row_cannot_tell(key: str) -> None:
    assert by_table(key) == []


def test_a_key_over_two_rows_has_both_limits() -> None:
    assert by_table("15 to 17 in") == [Enclosure(-amount("1/4 in"), Fraction(0))]


def test_two_keys_are_judged_by_both_rows() -> None:
    assert by_table(["15 in", "17 in"]) == [Enclosure.of(0), Enclosure.of(-amount("1/4 in"))]
    assert by_table(["15 in", "19 in"]) == []


def test_rows_by_state() -> None:
    rows = tuple(
        Row(None, False, None, False, w, amount(q), w) for w, q in (("radial", "2 mm"), ("bias", "1 mm"))
    )
    bound = Bound("construction", table="invented", rows=rows)

    def by(state: str) -> list[Enclosure | None]:
        kind = Cell("construction", "left-front", Status.VALUE, (Value(state, state=state),))
        return [v.number for v in margin(one("3 mm", "tread"), kind, bound).values]

    assert by("radial") == [mm(1, 1)]
    assert by("bias") == [mm(2, 2)]
    assert by("belted bias") == []
