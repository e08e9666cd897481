"""What the size molded on a tire says: form, dimensions, construction, load, strength and speed marks.

Five forms are read (metric with P or LT, metric commercial, flotation, numeric); anything else, and any
mark that is not known, is said to be unreadable. Nothing is guessed: a numeric size gives no diameter.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import pi
from precheck.derive.measures import COUNT, INCH, KMH, MM, MPH, value
from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure, Unit
from precheck.model.record import dataclass, replace
from precheck.model.settled import Cell

# French ministerial order of 24 October 1994 on tyres, Annexe I (F to V); B to E, W and Y from a public code
# table (secondary). km/h.
_SPEEDS = "B50 C60 D65 E70 F80 G90 J100 K110 L120 M130 N140 P150 Q160 R170 S180 T190 U200 H210 V240 W270 Y300"
SPEED_SYMBOLS = {word[0]: int(word[1:]) for word in _SPEEDS.split()}
# Tire dealer charts (secondary). K stands for 20 in one chart and is left out; I is not used.
PLY_RATING = {letter: 2 * place for place, letter in enumerate("ABCDEFGHJLMN", 1)}

_LAYERS = {"R": "radial", "ZR": "radial", "D": "bias ply", "-": "bias ply", "B": "bias-belted"}
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_METRIC = re.compile(
    rf"(?P<standard>P|LT)? ?(?P<width>[0-9]{{3}}) ?/ ?(?P<aspect>[0-9]{{2}}) ?"
    rf"(?P<early>[SHV])?(?P<layers>ZR|[RDB-]) ?(?P<rim>{_NUMBER})(?P<after>LT|[A-N])?(?P<rest>[ /].*)?"
)
_FLOTATION = re.compile(
    rf"(?P<across>[2-5][0-9](?:\.[0-9]+)?) ?X ?(?P<width>{_NUMBER}) ?(?P<layers>[RDB-]) ?"
    rf"(?P<rim>{_NUMBER})(?P<after>LT)?(?P<rest>[ /].*)?"
)
_NUMERIC = re.compile(
    rf"(?P<width>[0-9]{{1,2}}\.[0-9]{{2}}) ?(?P<layers>[RDB-]) ?"
    rf"(?P<rim>{_NUMBER})(?P<after>LT)?(?P<rest>[ /].*)?"
)
_SERVICE = re.compile(r"([0-9]{1,3})(?:/([0-9]{1,3}))? ?([A-HJ-NP-WY])\b")
_PLY = re.compile(r"([0-9]{1,2}) ?(?:PR|PLY RATING|PLY)\b")
_RANGE = re.compile(r"(?:LOAD RANGE|LR) ?([A-N])\b|/? ?([A-N])(?= |$)")
_MARKS = ("M+S", "M&S", "M/S", "NDT", "NDMS", "NDCC", "TUBELESS", "TUBE TYPE", "TL", "TT", "XL", "REINFORCED")


@dataclass(frozen=True, slots=True)
class Size:
    """A size as molded. Lengths in mm; None where the size does not say it, and `why` then says so."""

    written: str
    form: str  # metric, flotation or numeric
    standard: str  # passenger, light truck, commercial, or empty
    construction: str
    width: Fraction
    rim: Fraction
    aspect: Fraction | None = None
    diameter: Fraction | None = None
    load_range: str = ""
    ply_rating: int | None = None
    load_index: tuple[int, int | None] | None = None  # single, dual
    speed: str = ""
    marks: tuple[str, ...] = ()

    @property
    def section_height(self) -> Fraction | None:
        return None if self.diameter is None else (self.diameter - self.rim) / 2


def read_size(text: str) -> Size | str:
    """The size, or why it cannot be read.

    Overall diameter of a metric size: rim + 2 x width x aspect / 100 (tire size arithmetic). A flotation
    size prints its diameter. A numeric size (7.00-16) has neither: published diameters differ by make.
    """
    plain = re.sub(r"\s+", " ", text.strip().upper())
    match = _METRIC.fullmatch(plain) or _FLOTATION.fullmatch(plain) or _NUMERIC.fullmatch(plain)
    if match is None:
        return (
            f"'{text}' is no size of a form that is known (P225/75R16, LT235/85R16, 31x10.50R15LT, 7.00-16)"
        )
    found = match.groupdict()
    if not 8 <= Fraction(found["rim"]) <= 30:
        return f"'{text}': {found['rim']} is no rim diameter in inches"
    rim = Fraction(found["rim"]) * INCH.factor
    layers = _LAYERS[found["layers"]]
    if found.get("aspect"):
        size = _metric(text, found, layers, rim)
    elif found.get("across"):
        across = Fraction(found["across"]) * INCH.factor
        width = Fraction(found["width"]) * INCH.factor
        if across <= rim:
            return f"'{text}': the tire is no larger than its rim"
        standard = "light truck" if found["after"] else ""
        size = Size(text, "flotation", standard, layers, width, rim, None, across)
    else:
        width = Fraction(found["width"]) * INCH.factor
        standard = "light truck" if found["after"] else ""
        size = Size(text, "numeric", standard, layers, width, rim)
    if found.get("early"):
        size = replace(size, speed=found["early"])
    return _rest(size, (found["rest"] or "").strip())


def _metric(text: str, found: dict[str, str | None], layers: str, rim: Fraction) -> Size:
    width, aspect = Fraction(found["width"] or 0), Fraction(found["aspect"] or 0)
    standard = {"P": "passenger", "LT": "light truck", None: ""}[found["standard"]]
    after = found["after"] or ""
    load_range = ""
    if after == "LT":
        standard = "light truck"
    elif after and standard:  # LT235/85R16C: load range C
        load_range = after
    elif after == "C":  # 225/75R16C: commercial
        standard = "commercial"
    elif after:
        load_range = after
    diameter = rim + 2 * width * aspect / 100
    return Size(text, "metric", standard, layers, width, rim, aspect, diameter, load_range)


def _rest(size: Size, rest: str) -> Size | str:
    """What stands after the size: service description, load range, ply rating, marks; all of it known."""
    marks: list[str] = []
    while rest:
        mark = next((m for m in _MARKS if re.match(rf"{re.escape(m)}(?= |$)", rest)), None)
        if mark:
            marks.append(mark)
            rest = rest[len(mark) :].strip()
            continue
        ply, service = _PLY.match(rest), _SERVICE.match(rest)
        letter = _RANGE.match(rest)
        match = ply or service or letter
        if match is None:
            return f"'{size.written}': '{rest}' after the size is not known"
        if ply:
            size = replace(size, ply_rating=int(ply[1]))
        elif service:
            single, dual = int(service[1]), int(service[2]) if service[2] else None
            if single > 200 or (dual is not None and dual > single):
                return f"'{size.written}': load index {service[0]} cannot be right"
            size = replace(size, load_index=(single, dual), speed=service[3])
        elif letter:
            size = replace(size, load_range=letter[1] or letter[2])
        rest = rest[match.end() :].strip()
    by_range = PLY_RATING.get(size.load_range)
    if size.load_range and by_range is None:
        return f"'{size.written}': load range {size.load_range} has no ply rating that charts agree on"
    if by_range and size.ply_rating and by_range != size.ply_rating:
        return (
            f"'{size.written}': load range {size.load_range} is {by_range} ply rating, not {size.ply_rating}"
        )
    return replace(size, ply_rating=size.ply_rating or by_range, marks=tuple(marks))


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


def size_diameter(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Overall diameter by the size: rim + 2 x width x aspect; a flotation size prints it. Exact, in mm."""

    def get(size: Size) -> Fraction | str:
        return size.diameter or f"{size.written}: a numeric size does not say the diameter; measure it"

    return _of_size(cells, INCH, get)


def size_section_height(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Height of the section by the size: (diameter - rim) / 2. Exact, in mm."""

    def get(size: Size) -> Fraction | str:
        return size.section_height or f"{size.written}: a numeric size does not say the section height"

    return _of_size(cells, INCH, get)


def size_rim(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Rim diameter the size asks for. 16 and 16.5 in are different rims."""
    return _of_size(cells, INCH, lambda size: size.rim)


def size_width(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Section width by the size."""
    return _of_size(cells, MM, lambda size: size.width)


def size_ply_rating(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Ply rating by the mark or the load range letter (a strength class, not a number of layers)."""

    def get(size: Size) -> Fraction | str:
        if size.ply_rating is None:
            return f"{size.written}: neither ply rating nor load range in the marking"
        return Fraction(size.ply_rating)

    return _of_size(cells, COUNT, get)


def size_construction(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Construction by the letter before the rim: R radial, B bias-belted, D or a dash bias ply.

    French ministerial order of 24 October 1994, article 2.1; the dash from memory.
    """
    values, steps = [], []
    for written in cells[0].values:
        size = read_size(written.written)
        if isinstance(size, str):
            return Outcome(unclear=size)
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
        service = _SERVICE.fullmatch(text)
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
