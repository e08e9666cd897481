"""Measurements as written, against hand-worked exact values and the texts that a units library misreads."""

from __future__ import annotations

import ast
from fractions import Fraction as F
from pathlib import Path

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import precheck.read
from precheck.read.quantity import Fault, Quantity, format_quantity, read_quantity

IN = F(127, 5)  # 1 in = 25.4 mm exactly (NIST SP 811 B.8)
PSI = F("4.4482216152605") / F("0.0254") ** 2 / 1000  # lbf and in are exact (NIST SP 811 B.8), in kPa

READ = [  # text, exact base value, exact step, unit; worked by hand
    ("12 mm", 12, 1, "mm"),
    ("1.60 mm", F(8, 5), F(1, 100), "mm"),
    ("1.6 mm", F(8, 5), F(1, 10), "mm"),
    ("2/32 in", F(127, 80), F(127, 160), "in"),
    ("1/16 in", F(127, 80), F(127, 80), "in"),
    ("2/32in", F(127, 80), F(127, 160), "in"),
    ("1 1/16 in", F(17, 16) * IN, IN / 16, "in"),
    ("1-1/16 in", F(17, 16) * IN, IN / 16, "in"),
    ("7 32nds", F(7, 32) * IN, IN / 32, "32nds in"),
    ("7 32nds in", F(7, 32) * IN, IN / 32, "32nds in"),
    ("0.060 in", F("1.524"), F("0.0254"), "in"),
    ("4 ft 3 in", 51 * IN, IN, "in"),
    ("4 ft 3 1/2 in", F("51.5") * IN, IN / 2, "in"),
    ("4ft 3in", 51 * IN, IN, "in"),
    ("-4 ft 3 in", -51 * IN, IN, "in"),
    ("1 min 20 s", 80, 1, "s"),
    ("2 years 3 months", 27, 1, "month"),
    ("45 psi", 45 * PSI, PSI, "psi"),
    ("33psi", 33 * PSI, PSI, "psi"),
    ("20 in Hg", 20 * F("3.386388640341"), F("3.386388640341"), "inHg"),  # 25.4 mm x 13595.1 kg/m3 x gn
    ("50%", F(1, 2), F(1, 100), "percent"),
    ("50 percent", F(1, 2), F(1, 100), "percent"),
    ("-5 degC", F("268.15"), 1, "degC"),
    ("-5 C", F("268.15"), 1, "degC"),
    ("72 degF", F("273.15") + F(200, 9), F(5, 9), "degF"),  # 72 degF = 200/9 degC
    ("+5 V", 5, 1, "V"),
    ("35 ft-lb", 35 * F("4.4482216152605") * F("0.3048"), F("4.4482216152605") * F("0.3048"), "lb-ft"),
    ("  5   mm  ", 5, 1, "mm"),
    ("999999999999 mm", 999999999999, 1, "mm"),
    ("3 wheels", 3, 1, "count"),
    ("21 years", 252, 12, "year"),
    ("3 psi in 1 minute", 3 * PSI, PSI, "psi per minute"),
]


@pytest.mark.parametrize(("text", "value", "step", "unit"), READ)
def test_reads_exactly(text, value, step, unit, units):
    got = read_quantity(text, units)
    assert isinstance(got, Quantity)
    assert (got.written, got.value.low, got.value.high) == (text, value, value)
    assert (got.step, got.unit.name) == (step, unit)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("at least 40 mm", 40, None),
        ("at most 2 mm", None, 2),
        ("5 to 6 mm", 5, 6),
        ("5 mm to 6 mm", 5, 6),
        ("5 mm to 1 cm", 5, 10),
        ("5 to 5 1/2 in", 127, F("139.7")),
        ("1 ft to 1 ft 3 in", 12 * IN, 15 * IN),
        ("-1 to 1 mm", -1, 1),
        ("2 to 2 mm", 2, 2),
        ("at least 21 years", 252, None),
    ],
)
def test_bounds_and_ranges(text, low, high, units):
    got = read_quantity(text, units)
    assert (got.value.low, got.value.high, got.step) == (low, high, 0)


REFUSED = [  # text, code, a part of the way to write it
    ("6,000 lb", "comma", "6000 lb"),
    ("1,000,000 lb", "comma", "1000000 lb"),
    ("1,5 mm", "comma", "1.5 mm"),
    ("3,5", "comma", "3.5"),
    ("1½ in", "fraction-sign", "1 1/2 in"),
    ("½ in", "fraction-sign", "1/2 in"),
    ("2 ⅜ in", "fraction-sign", "2 3/8 in"),
    ('5"', "quote-mark", "5 in"),
    ("5'", "quote-mark", "5 ft"),
    ("5''", "quote-mark", "5 in"),
    ("5”", "quote-mark", "5 in"),
    ("4' 3\"", "quote-mark", "4 ft 3 in"),
    ('3/32"', "quote-mark", "3/32 in"),
    ("0° 30'", "quote-mark", ""),
    ("1e3 mm", "exponent", "1000"),
    ("1.0e+3 mm", "exponent", ""),
    ("1E10", "exponent", ""),
    ("1e400000000 mm", "exponent", ""),
    ("nan", "not-a-number", ""),
    ("nan in", "not-a-number", ""),
    (".nan", "not-a-number", ""),
    ("-.inf", "not-a-number", ""),
    ("Infinity mm", "not-a-number", ""),
    ("1_000 mm", "underscore", ""),
    ("0x1F mm", "not-decimal", ""),
    ("0b101 mm", "not-decimal", ""),
    ("0o17 mm", "not-decimal", ""),
    ("", "empty", "5 mm"),
    ("in", "no-number", "5 in"),
    ("5", "no-unit", "5 mm"),
    ("2319", "no-unit", ""),
    ("5 furlong", "unknown-unit", ""),
    ("5 psii", "unknown-unit", "5 psi"),
    ("9**9**9 m", "unknown-unit", ""),
    ("1/0 in", "zero-denominator", ""),
    ("1 1/0 in", "zero-denominator", ""),
    ("1 5/4 in", "not-mixed", "9/4"),
    ("4 ft 12 in", "two-units", ""),
    ("4 ft 13 in", "two-units", ""),
    ("3 in 4 ft", "two-units", ""),
    ("5 ft 3 psi", "two-units", ""),
    ("5 degC 3 degF", "two-units", ""),
    ("5 ft 3 inn", "unknown-unit", ""),
    ("5 mm thick", "trailing-text", "5 mm"),
    ("5 mm 3", "trailing-text", ""),
    ("1 2 mm", "not-a-number", ""),
    ("1/2/3 in", "not-a-number", ""),
    ("1234567890123 mm", "too-many-digits", ""),
    ("0.1234567890123 mm", "too-many-digits", ""),
    ("1/1234567890123 in", "too-many-digits", ""),
    ("9" * 5000, "too-long", ""),
    ("٣ mm", "odd-character", "2/32"),  # an Arabic-Indic three: int() would read it
    ("5\u00a0mm", "odd-character", ""),
    ("−5 V", "odd-character", "-5 V"),
    ("5–6 mm", "odd-character", ""),
    ("5 µm", "odd-character", ""),
    ("5-6 mm", "range", "5 to 6 mm"),
    ("between 5 and 6 mm", "range", "5 to 6 mm"),
    ("5 to 6 to 7 mm", "range", ""),
    ("at least 5 to 6 mm", "range", ""),
    ("4 to 4 ft 3 in", "range", ""),
    ("6 to 5 mm", "upside-down", "5 mm to 6 mm"),
    ("5 mm to 6 psi", "wrong-dimension", ""),
    (".5 mm", "leading-point", "0.5"),
    ("5. mm", "trailing-point", "5.0"),
    ("5 ± 1 mm", "tolerance", "4 to 6 mm"),
    ("5 +/- 1 mm", "tolerance", ""),
    ("< 5 mm", "comparison", "at least"),
    ("≥ 5 mm", "comparison", "at least"),
    ("more than 5 mm", "comparison", "at least"),
    ("less than 5 mm", "comparison", "at most"),
    ("about 5 mm", "vague", "4 to 6 mm"),
    ("- 5 degC", "sign", "-5 degC"),
    ("unknown", "not-a-number", ""),
    ("NO", "not-a-number", ""),
    ("2.5 wheels", "not-whole", ""),
]


@pytest.mark.parametrize(("text", "code", "write"), REFUSED)
def test_refuses_and_says_how_to_write_it(text, code, write, units):
    got = read_quantity(text, units)
    assert isinstance(got, Fault)
    assert got.code == code
    assert got.found
    assert got.expected
    assert write in got.write


# What pint 0.25.3 makes of these texts; none of it is what the person meant.
@pytest.mark.parametrize(
    ("text", "misread"),
    [("4 ft 3 in", "12 foot * inch"), ("1 1/16 in", "1/16 inch"), ("1,5 mm", "15 millimeter")],
)
def test_why_a_units_library_does_not_read_for_people(text, misread, units):
    wrong = pint.UnitRegistry(non_int_type=F).parse_expression(text)
    assert f"{wrong.magnitude} {wrong.units}" == misread
    got = read_quantity(text, units)
    assert isinstance(got, Fault) or got.value.low != wrong.magnitude


def test_the_expected_dimension(units):
    got = read_quantity("5 psi", units, dimension="length")
    assert got.code == "wrong-dimension"
    assert "mm" in got.expected
    assert "in" in got.expected
    assert read_quantity("5", units, dimension="pressure").code == "no-unit"
    assert "psi" in read_quantity("5", units, dimension="pressure").expected
    assert read_quantity("5 PSi", units, dimension="pressure").near == ("psi",)
    assert read_quantity("5 degC", units, dimension="temperature-difference").code == "wrong-dimension"
    assert read_quantity("4 ft 3 in", units, dimension="pressure").code == "wrong-dimension"
    assert read_quantity("3", units, dimension="count").value.low == 3
    assert read_quantity("3.5", units, dimension="count").code == "not-whole"


@pytest.mark.parametrize(
    ("text", "unit", "of", "shown"),
    [
        ("2/32 in", "in", 32, "2/32 in"),
        ("2/32 in", "mm", None, "1.5875 mm"),
        ("1/16 in", "in", None, "0.0625 in"),
        ("3/64 in", "in", None, "3/64 in"),
        ("-1 3/64 in", "in", None, "-1 3/64 in"),
        ("1/3 in", "in", None, "about 0.333 in"),
        ("1.5 mm", "in", 32, "about 0.0591 in"),  # 1.5 / 25.4 = 0.059055
        ("100 kPa", "psi", None, "about 14.5 psi"),  # NIST SP 811: 1 psi = 6.894757 kPa
        ("3000 kg", "lb", None, "about 6614 lb"),  # 3000 / 0.45359237 = 6613.87
        ("72 degF", "degC", None, "about 22.2 degC"),
        ("-40 degC", "degF", None, "-40 degF"),
        ("21 years", "year", None, "21 years"),
        ("1 year", "year", None, "1 year"),
        ("50 %", "percent", None, "50 percent"),
        ("3 wheels", "count", None, "3"),
        ("0 mm", "in", 32, "0/32 in"),
        ("100 mm", "mm", None, "100 mm"),
    ],
)
def test_shows_values_for_people(text, unit, of, shown, units):
    value = read_quantity(text, units).value.low
    assert format_quantity(value, units.get(unit), as_fraction_of=of) == shown


@settings(max_examples=200, deadline=None)
@given(number=st.fractions(-10_000, 10_000, max_denominator=64), pick=st.integers(0, 500))
def test_what_is_shown_exactly_is_read_back_exactly(number, pick, units):
    unit = units.units[pick % len(units.units)]
    value = number * unit.factor + unit.offset
    shown = format_quantity(value, unit)
    if shown.startswith("about ") or (unit.dimension == "count" and number.denominator > 1):
        return
    got = read_quantity(shown, units, dimension=unit.dimension)
    assert isinstance(got, Quantity)
    assert got.value.low == value


@settings(max_examples=300, deadline=None)
@given(
    text=st.one_of(
        st.text(max_size=90),
        st.lists(
            st.sampled_from(
                [*"0123456789./-+,' ", "in", "ft", " mm", "at least ", " to ", "½", "e3", "%", "degC"]
            ),
            max_size=10,
        ).map("".join),
    )
)
def test_any_text_gives_a_quantity_or_a_fault(text, units):
    for dimension in (None, "length", "count"):
        got = read_quantity(text, units, dimension=dimension)
        if isinstance(got, Fault):
            assert got.code
            assert got.found
            assert got.expected
        else:
            assert got.written == text
            assert dimension in (None, got.unit.dimension)


@settings(max_examples=200, deadline=None)
@given(whole=st.integers(-999, 999), top=st.integers(0, 999), bottom=st.integers(1, 999))
def test_mixed_numbers_against_fractions(whole, top, bottom, units):
    # referee: the standard library's Fraction arithmetic
    top %= bottom
    got = read_quantity(f"{whole} {top}/{bottom} in", units)
    part = F(top, bottom)
    assert got.value.low == (whole - part if whole < 0 else whole + part) * IN


def test_no_floating_point_in_the_reader():
    folder = Path(precheck.read.__file__).parent
    for name in ("quantity", "units", "traps", "dates", "strict_yaml"):
        tree = ast.parse((folder / f"{name}.py").read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            assert not (isinstance(node, ast.Name) and node.id == "float")
            assert not (isinstance(node, ast.Constant) and isinstance(node.value, float))
