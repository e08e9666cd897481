"""rules/units.yaml against referees: pint with exact Fractions, scipy.constants, NIST SP 811 appendix B."""

from __future__ import annotations

from fractions import Fraction as F

import pint
import pytest
import scipy.constants as sc

from precheck.model.problem import Problems
from precheck.read.quantity import Quantity, Units, read_quantity
from precheck.read.strict_yaml import read_yaml

REGISTRY = pint.UnitRegistry(non_int_type=F)


def test_every_factor_is_what_pint_derives(units):
    for unit in units.units:
        if not unit.pint:
            continue
        target = REGISTRY.parse_units(units.base(unit.dimension).pint)
        if unit.offset:  # pint does not multiply units that have an offset
            kind = REGISTRY.parse_units(unit.pint)
            none, one = (REGISTRY.Quantity(F(number), kind).to(target).magnitude for number in (0, 1))
        else:
            none, one = 0, REGISTRY.Quantity(REGISTRY.parse_expression(unit.pint)).to(target).magnitude
        assert (one - none, none) == (unit.factor, unit.offset), unit.name
        assert not isinstance(one, float), unit.name


def test_which_units_have_no_referee(units):
    assert [unit.name for unit in units.units if not unit.pint] == ["dB(A)"]


def test_factors_against_scipy_constants(units):
    # scipy.constants is in SI base units and in floating point: closeness only
    for name, si in {
        "in": sc.inch / sc.milli,
        "ft": sc.foot / sc.milli,
        "yd": sc.yard / sc.milli,
        "mi": sc.mile / sc.milli,
        "thou": sc.mil / sc.milli,
        "psi": sc.psi / sc.kilo,
        "bar": sc.bar / sc.kilo,
        "lb": sc.pound,
        "oz": sc.ounce,
        "ton": sc.short_ton,
        "long ton": sc.long_ton,
        "tonne": sc.metric_ton,
        "lbf": sc.lbf,
        "kgf": sc.kgf,
        "lb-ft": sc.lbf * sc.foot,
        "lb-in": sc.lbf * sc.inch,
        "kgm": sc.kgf,
        "mph": sc.mph,
        "km/h": sc.kmh,
        "g": sc.g,
        "gal": sc.gallon / sc.liter,
        "imperial gallon": sc.gallon_imp / sc.liter,
        "fl oz": sc.fluid_ounce / sc.liter,
        "min": sc.minute,
        "h": sc.hour,
        "week": sc.week / sc.day,
    }.items():
        assert float(units.get(name).factor) == pytest.approx(si, rel=1e-12), name
    assert float(units.get("degC").offset) == pytest.approx(sc.zero_Celsius, rel=1e-15)
    assert float(units.get("degF difference").factor) == pytest.approx(sc.degree_Fahrenheit, rel=1e-12)


NIST = [  # NIST SP 811 (2008) appendix B.8: exact factors in full, others to the seven figures printed there
    ("1 in", "25.4 mm"),
    ("1 ft", "304.8 mm"),
    ("1 yd", "0.9144 m"),
    ("1 mi", "1.609344 km"),
    ("1 lb", "0.45359237 kg"),
    ("1 oz", "28.34952 gram"),
    ("1 ton", "907.1847 kg"),
    ("1 long ton", "1016.047 kg"),
    ("1 lbf", "4.448222 N"),
    ("1 kgf", "9.80665 N"),
    ("1 psi", "6.894757 kPa"),
    ("1 inHg", "3.386389 kPa"),
    ("1 bar", "100 kPa"),
    ("1 kgf/cm2", "98.0665 kPa"),
    ("1 lb-ft", "1.355818 Nm"),
    ("1 lb-in", "0.1129848 Nm"),
    ("1 mph", "1.609344 km/h"),
    ("1 mph", "0.44704 m/s"),
    ("1 ft/s2", "0.3048 m/s2"),
    ("1 g", "9.80665 m/s2"),
    ("1 gal", "3.785412 L"),
    ("1 qt", "0.9463529 L"),
    ("1 fl oz", "29.57353 mL"),
    ("1 imperial gallon", "4.54609 L"),
    ("1 sq in", "6.4516 cm2"),
    ("1 cu in", "16.38706 mL"),
    ("32 degF", "273.15 K"),
    ("0 degC", "273.15 K"),
    ("212 degF", "100 degC"),
    ("-40 degF", "-40 degC"),
    ("9 degF difference", "5 degC difference"),
]


@pytest.mark.parametrize(("one", "other"), NIST)
def test_conversions_printed_in_nist_sp_811(one, other, units):
    a, b = (read_quantity(text, units) for text in (one, other))
    assert isinstance(a, Quantity)
    assert isinstance(b, Quantity)
    assert abs(a.value.low - b.value.low) <= b.step / 2


def test_words_are_unique_and_dimensions_have_a_base(units):
    words = [word for unit in units.units for word in (unit.name, *unit.aliases)]
    assert len(words) == len(set(words))
    for dimension in units.dimensions:
        base = units.base(dimension)
        assert (base.factor, base.offset) == (1, 0)
    assert units.get("lb").dimension == "mass"
    assert units.get("g").dimension == "acceleration"
    assert units.get("furlong") is None


def test_every_unit_of_the_sources_is_known(units):
    # units that measurements in the cited sources are written in
    for (
        word
    ) in """in|ft|mm|cm|m|mi|miles|km|psi|bar|inHg|in Hg|lb|kg|tonne|tonnes|percent|%|per cent|years|months
        week|s|minutes|per minute|mph|km/h|m/s2|ft/s2|V|mA|lx|dB(A)|ppm|lb-ft|deg|degrees|degF|C|count|wheels
        sq in|sg|revolution|ounce per minute|psi in 1 minute|psi in 5 minutes|cycles|missing count|reflectors
        leaves|blades|symbols|digits|applications|brake applications|fraction|32nds in|each""".replace(
        "\n", "|"
    ).split("|"):
        assert units.get(word.strip()), word


BROKEN = {
    "no list": ("units: mm\n", [(1, 1, "no-units")]),
    "empty list": ("units: []\n", [(1, 8, "no-units")]),
    "no mapping": ("units: [mm]\n", [(1, 9, "not-a-unit")]),
    "unknown key": ("units:\n- {name: a, dimension: d, factor: 1, alias: [b]}\n", [(2, 38, "unknown-key")]),
    "missing key": ("units:\n- {name: a, dimension: d}\n", [(2, 3, "missing-key")]),
    "decimal factor": ("units:\n- {name: a, dimension: d, factor: 25.4}\n", [(2, 35, "bad-factor")]),
    "zero factor": ("units:\n- {name: a, dimension: d, factor: 0}\n", [(2, 35, "bad-factor")]),
    "base not one": ("units:\n- {name: a, dimension: d, factor: 2}\n", [(2, 35, "bad-factor")]),
    "twice": (
        "units:\n- {name: a, dimension: d, factor: 1}\n- {name: b, dimension: d, factor: 2, aliases: [a]}\n",
        [(3, 48, "duplicate-unit")],
    ),
    "aliases no list": ("units:\n- {name: a, dimension: d, factor: 1, aliases: b}\n", [(2, 47, "not-text")]),
}


@pytest.mark.parametrize(("text", "expected"), BROKEN.values(), ids=BROKEN)
def test_a_broken_unit_list_is_refused_with_places(text, expected):
    source, _ = read_yaml(text.encode(), "u.yaml")
    with pytest.raises(Problems) as caught:
        Units.load(source)
    assert [(p.mark.line, p.mark.column, p.code) for p in caught.value.problems] == expected
