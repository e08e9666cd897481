"""What the marks molded on a tire come to: diameter, section, rim, construction, strength and speed."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import absolute, less, pi
from precheck.derive.inverse import Goal, Inverse
from precheck.derive.measures import COUNT, INCH, KMH, MPH, say, value
from precheck.derive.outcome import Outcome
from precheck.derive.sizes import SERVICE, Size, read_size
from precheck.model.document import Value
from precheck.model.quantity import Enclosure, Unit
from precheck.model.settled import Cell

# French ministerial order of 24 October 1994 on tyres, Annexe I (F to V); B to E, W and Y from a public code
# table (secondary). km/h.
_SPEEDS = "B50 C60 D65 E70 F80 G90 J100 K110 L120 M130 N140 P150 Q160 R170 S180 T190 U200 H210 V240 W270 Y300"
SPEED_SYMBOLS = {word[0]: int(word[1:]) for word in _SPEEDS.split()}
_NAMES = {"old metric": "metric size without a series"}


def revolutions_per_mile(diameter: Enclosure) -> Enclosure:
    """Turns in a mile of a free tire of this diameter (mm): mile / (pi x diameter), enclosed.

    A loaded tire rolls on a smaller radius and turns about 3 percent more often (shop formulas,
    secondary). Rises as the diameter falls.
    """
    low_pi, high_pi = pi()
    mile = Fraction(1609344)
    low = None if diameter.high is None else mile / (high_pi * diameter.high)
    high = None if not diameter.low or diameter.low < 0 else mile / (low_pi * diameter.low)
    return Enclosure(low, high)


# -- derived values


def _of_size(cells: tuple[Cell, ...], unit: Unit, get: Callable[[Size], Fraction | str]) -> Outcome:
    values, steps = [], []
    for written in cells[0].values:
        size = read_size(written.written)
        if isinstance(size, str):
            return Outcome(unclear=size)
        found = get(size)
        if isinstance(found, str):
            return Outcome(unclear=found)
        values.append(value(Enclosure.of(found), unit))
        steps.append(f"{written.written}: {values[-1].written}")
    return Outcome(tuple(values), tuple(steps))


def _kind(size: Size) -> str:
    name = _NAMES.get(size.form, f"{size.form} size")
    return f"{size.written}: a {name}"


def size_diameter(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Overall diameter by the size: rim + 2 x width x aspect; a flotation size prints it. Exact, in mm."""

    def get(size: Size) -> Fraction | str:
        return size.diameter or f"{_kind(size)} does not say the diameter; measure it"

    return _of_size(cells, INCH, get)


def size_section_height(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Height of the section by the size: (diameter - rim) / 2. Exact, in mm."""

    def get(size: Size) -> Fraction | str:
        return size.section_height or f"{_kind(size)} does not say the section height; measure the tire"

    return _of_size(cells, INCH, get)


def size_rim(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Rim diameter the size asks for. 16 and 16.5 in are different rims."""
    return _of_size(cells, INCH, lambda size: size.rim)


ONE_RIM = INCH.factor / 8  # rims differ by half an inch, so within this they are one (16 in written 406 mm)


def rim_apart(cells: tuple[Cell, ...], day: date) -> Outcome:
    """How far the wheel's rim is from the one that the size asks for (mm), without its sign; 0 where it fits.

    16 and 16.5 in never mate. Inputs: size marking, rim diameter of the wheel (mm). Common practice.
    """
    values, steps = [], []
    for size in (read_size(v.written) for v in cells[0].values):
        if isinstance(size, str):
            return Outcome(unclear=size)
        for rim in (v.number for v in cells[1].values if v.number is not None):
            asked = say(Enclosure.of(size.rim), INCH)
            values.append(value(absolute(less(rim, Enclosure.of(size.rim))), INCH))
            steps.append(f"{size.written} asks for a rim of {asked}, the wheel is {say(rim, INCH)}")
    if not values:
        return Outcome(unclear="the wheel's rim has no number")
    return Outcome(tuple(dict.fromkeys(values)), tuple(dict.fromkeys(steps)))


def _rim(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """The rims that are no further than the limit from that of the one size read."""
    sizes = [read_size(v.written) for v in cells[0].values]
    if goal.at_least or goal.limit < 0 or len(sizes) != 1 or isinstance(sizes[0], str):
        return None
    return Enclosure(sizes[0].rim - goal.limit, sizes[0].rim + goal.limit)


def size_ply_rating(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Ply rating by the mark or the load range letter (a strength class, not a number of layers)."""

    def get(size: Size) -> Fraction | str:
        if size.ply_rating is None:
            return f"{size.written}: neither ply rating nor load range in the marking"
        return Fraction(size.ply_rating)

    return _of_size(cells, COUNT, get)


def size_construction(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Construction by the letter before the rim: R radial, B bias-belted, D or a dash bias ply.

    French ministerial order of 24 October 1994, article 2.1; the dash from memory. The dash of a lettered
    size (G78-15) and of an old metric one (165-13) says nothing.
    """
    values, steps = [], []
    for written in cells[0].values:
        size = read_size(written.written)
        if isinstance(size, str):
            return Outcome(unclear=size)
        if not size.construction:
            return Outcome(unclear=f"{_kind(size)} does not say the construction; the sidewall's words do")
        values.append(Value(size.construction, state=size.construction))
        steps.append(f"{written.written}: {size.construction}")
    return Outcome(tuple(values), tuple(steps))


_WORDS = re.compile(r"(?:.*?[^0-9])??([0-9]{1,3}) ?(MPH|KM/H|KMH|KPH)(?:[^0-9]*)", re.DOTALL)


def marked_speed(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Highest speed a tire is marked for: a speed symbol (P, 104S, 121/120R) or molded words with a speed.

    French ministerial order of 24 October 1994, Annexe I; symbols outside it secondary.
    """
    values, steps = [], []
    for written in cells[0].values:
        text = written.written.strip().upper()
        words = _WORDS.fullmatch(text)
        symbol = text if text in SPEED_SYMBOLS else ""
        service = SERVICE.fullmatch(text)
        if words:
            unit = MPH if words[2] == "MPH" else KMH
            found = Fraction(words[1]) * unit.factor
        elif symbol or service:
            letter = symbol or (service[3] if service else "")
            if letter not in SPEED_SYMBOLS:
                return Outcome(unclear=f"'{written.written}': the symbol {letter} is not known")
            unit, found = KMH, SPEED_SYMBOLS[letter] * KMH.factor
        else:
            return Outcome(unclear=f"'{written.written}' is neither a speed symbol nor words with a speed")
        values.append(value(Enclosure.of(found), MPH))
        steps.append(f"{written.written}: {values[-1].written}")
    return Outcome(tuple(values), tuple(steps))


INVERSES: dict[str, tuple[Inverse, ...]] = {"rim-apart": (Inverse(1, _rim),)}
