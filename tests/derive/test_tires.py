"""Sizes as molded, against the worked sizes of the tire arithmetic and the tables of marks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from precheck.derive.measures import INCH
from precheck.derive.sizes import PLY_RATING, Size, read_size
from precheck.derive.tires import SPEED_SYMBOLS, revolutions_per_mile
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work


def _read(text: str) -> Size:
    size = read_size(text)
    assert isinstance(size, Size), size
    return size


# Tire size arithmetic (secondary; 245/55-18 printed as 726.7 mm): overall diameter in inches.
@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("P225/75R16", "29.2874"),
        ("LT235/85R16", "31.7283"),
        ("P235/75R15", "28.8780"),
        ("P215/65R15", "26.0039"),
        ("245/55-18", "28.6102"),
        ("225/75R16C 121/120R", "29.2874"),
        ("31x10.50R15LT", "31"),
    ],
)
def test_overall_diameters(text: str, inches: str) -> None:
    size = _read(text)
    assert size.diameter is not None
    assert abs(size.diameter / INCH.factor - Fraction(inches)) <= Fraction(1, 20000)


@pytest.mark.parametrize(
    ("text", "inches"), [("P225/75R16", "6.6437"), ("LT235/85R16", "7.8642"), ("31x10.50R15LT", "8")]
)
def test_section_heights(text: str, inches: str) -> None:
    """The same worked sizes."""
    found = number("tire-size-section-height", {"tire-size-marking": text})
    assert abs(found.low / INCH.factor - Fraction(inches)) <= Fraction(1, 20000)


# The forms and what each says (tire size arithmetic, common practice; those without a slash from memory).
FORMS = [
    ("P225/75R16", "metric", "passenger", "radial", "16", ""),
    ("LT235/85R16", "metric", "light truck", "radial", "16", ""),
    ("LT235/85R16C", "metric", "light truck", "radial", "16", "C"),
    ("31x10.50R15LT", "flotation", "light truck", "radial", "15", ""),
    ("225/75R16C 121/120R", "metric", "commercial", "radial", "16", ""),
    ("7.00-16", "numeric", "", "bias ply", "16", ""),
    ("7.50R16LT", "numeric", "light truck", "radial", "16", ""),
    ("8.00-16.5", "numeric", "", "bias ply", "16.5", ""),
    ("8.75R16.5LT E", "numeric", "light truck", "radial", "16.5", "E"),
    ("11R22.5", "numeric", "", "radial", "22.5", ""),
    ("8-19.5", "numeric", "", "bias ply", "19.5", ""),
    ("10.00-20 14PR", "numeric", "", "bias ply", "20", ""),
    ("G78-15", "lettered", "", "", "15", ""),
    ("GR78-15", "lettered", "", "radial", "15", ""),
    ("FB78-14", "lettered", "", "bias-belted", "14", ""),
    ("h78-15lt d", "lettered", "light truck", "", "15", "D"),
    ("165R13", "old metric", "", "radial", "13", ""),
    ("155SR15", "old metric", "", "radial", "15", ""),
    ("165-15", "old metric", "", "", "15", ""),
    ("185R14C", "old metric", "commercial", "radial", "14", ""),
]


@pytest.mark.parametrize(("text", "form", "standard", "layers", "rim", "letter"), FORMS)
def test_forms(text: str, form: str, standard: str, layers: str, rim: str, letter: str) -> None:
    size = _read(text)
    assert (size.form, size.standard, size.construction) == (form, standard, layers)
    assert size.rim == Fraction(rim) * INCH.factor
    assert size.load_range == letter


def test_c_is_commercial_without_lt_and_a_load_range_with_it() -> None:
    """The C that a public size parser reads as load range C, 6 ply."""
    assert _read("225/75R16C").ply_rating is None
    assert _read("LT225/75R16C").ply_rating == 6


def test_marks_after_the_size() -> None:
    size = _read("7.00-16 6PR NDT")
    assert (size.ply_rating, size.marks) == (6, ("NDT",))
    size = _read("LT235/85R16 120/116Q LRE M+S")
    assert (size.load_index, size.speed, size.ply_rating, size.marks) == ((120, 116), "Q", 10, ("M+S",))
    assert _read("31X10.50R15LT 109Q").load_index == (109, None)
    assert _read("7.50-16 8 ply rating").ply_rating == 8
    assert _read("lt 235/85 r16").diameter == _read("LT235/85R16").diameter


@pytest.mark.parametrize(
    "text",
    [
        "700/16", "7,00-16", "7.00x16", "P225/75R", "225/75R16 foo", "195R390", "31x10.50R31LT",
        "LT235/85R16 E 8PR", "225/75R16C 120/121R", "225/75R16C 321/120R", "LT235/85R16K", "", "R16",
        "7.00-160", "750-16", "825-20", "G79-15", "I78-15", "G78R15", "21-16", "166R13", "335R13", "0-16",
    ],
)  # fmt: skip
def test_what_cannot_be_read_says_so(text: str) -> None:
    assert isinstance(read_size(text), str)
    assert work("tire-size-diameter", {"tire-size-marking": text}).unclear


@given(st.text(max_size=30))
def test_no_text_breaks_the_reader(text: str) -> None:
    assert isinstance(read_size(text), Size | str)


@pytest.mark.parametrize(
    ("text", "meant"), [("700/16", "7.00-16"), ("750-16", "7.50-16"), ("825R20", "8.25R20")]
)
def test_a_size_written_short_is_asked_back(text: str, meant: str) -> None:
    """Two decimals make inches of it (size-numeric-bias, from memory)."""
    assert read_size(text).endswith(f"written for {meant}?")  # type: ignore[union-attr]


@pytest.mark.parametrize("text", ["G78-15", "GR78-15 LRB", "165R13", "11R22.5"])
def test_old_sizes_say_what_to_measure_instead(text: str) -> None:
    """No published table of these was readable: no diameter is guessed; the rim is in every one."""
    assert "measure it" in work("tire-size-diameter", {"tire-size-marking": text}).unclear
    assert "measure the tire" in work("tire-size-section-height", {"tire-size-marking": text}).unclear
    assert number("tire-size-rim", {"tire-size-marking": text}).exact


def test_the_dash_of_a_lettered_size_leaves_the_construction_open() -> None:
    """Bias-belted tires were molded so too (from memory)."""
    for text in ("G78-15", "165-15"):
        assert "sidewall's words" in work("tire-size-construction", {"tire-size-marking": text}).unclear
    (found,) = work("tire-size-construction", {"tire-size-marking": "GR78-15"}).values
    assert found.state == "radial"


def test_letters_are_sizes_of_their_own() -> None:
    told = {"tire-size-marking": {"left-front": "G78-15", "right-front": "H78-15"}}
    (found,) = work("tire-sizes", told).values
    assert found.state == "differ"


def _apart(size: str, wheel: str) -> Enclosure:
    return number("tire-rim-apart", {"tire-size-marking": size, "wheel-rim-diameter": wheel})


def test_how_far_the_wheel_is_from_the_rim_of_the_size() -> None:
    """16 and 16.5 in rims never take each other's tires (size-numeric-wide-rim, from memory)."""
    for size, wheel in (("8.00-16.5", "16.5 in"), ("7.50-16", "406.4 mm"), ("G78-15", "15 in")):
        assert _apart(size, wheel) == Enclosure.of(0)
    for size, wheel in (("8.00-16.5", "16 in"), ("7.50-16", "16.5 in")):
        assert _apart(size, wheel) == Enclosure.of(base("1/2 in"))
    assert _apart("7.50-16", "16 in to 16.5 in") == Enclosure(Fraction(0), base("1/2 in"))
    told = {"tire-size-marking": "big", "wheel-rim-diameter": "16 in"}
    assert "no size" in work("tire-rim-apart", told).unclear


def test_a_numeric_size_does_not_give_a_diameter() -> None:
    assert "measure it" in work("tire-size-diameter", {"tire-size-marking": "7.00-16"}).unclear
    assert work("tire-size-section-height", {"tire-size-marking": "7.50R16LT"}).unclear


def test_16_and_16_5_are_different_rims() -> None:
    assert number("tire-size-rim", {"tire-size-marking": "8.00-16.5"}) == Enclosure.of(base("16.5 in"))
    assert number("tire-size-rim", {"tire-size-marking": "7.50-16"}) == Enclosure.of(base("16 in"))


def test_construction_is_a_state_of_the_value() -> None:
    for text, word in (("7.00-16", "bias ply"), ("P225/75R16", "radial"), ("P225/75B15", "bias-belted")):
        (found,) = work("tire-size-construction", {"tire-size-marking": text}).values
        assert found.state == word


def test_speed_symbols_of_the_order_and_their_traps() -> None:
    """French order of 24 October 1994, Annexe I: H lies between U and V, not between G and J."""
    assert SPEED_SYMBOLS["U"] < SPEED_SYMBOLS["H"] < SPEED_SYMBOLS["V"]
    printed = {"F": 80, "G": 90, "J": 100, "K": 110, "L": 120, "M": 130, "N": 140, "P": 150, "Q": 160}
    printed |= {"R": 170, "S": 180, "T": 190, "U": 200, "H": 210, "V": 240}
    assert {k: SPEED_SYMBOLS[k] for k in printed} == printed
    for text, speed in (("R", "170 km/h"), ("121/120R", "170 km/h"), ("MAX SPEED 35 MPH", "35 mph")):
        assert number("tire-speed-allowed", {"tire-speed-limit": text}) == Enclosure.of(base(speed))
    for text in ("O", "fast", "35", "I"):
        assert work("tire-speed-allowed", {"tire-speed-limit": text}).unclear


def test_ply_ratings_of_the_chart() -> None:
    """Tire dealer chart (secondary); no I and no K."""
    printed = dict(zip("ABCDEFGHJLMN", range(2, 26, 2), strict=True))
    assert printed == PLY_RATING
    assert number("tire-ply-rating", {"tire-size-marking": "LT235/85R16E"}) == Enclosure.of(10)


@pytest.mark.parametrize(
    ("inches", "turns"),
    [("26.0039", "775.6"), ("29.2874", "688.6"), ("31.7283", "635.6"), ("31", "650.6"), ("36.8", "548.0")],
)
def test_revolutions_per_mile(inches: str, turns: str) -> None:
    """Shop formulas (secondary): 20168 / diameter in inches for a free tire."""
    found = revolutions_per_mile(Enclosure.of(base(f"{inches} in")))
    assert abs(found.low - Fraction(turns)) <= Fraction(1, 10)
    assert found.high - found.low < Fraction(1, 10**9)
