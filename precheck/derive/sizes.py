"""The size molded on a tire, read into its parts: dimensions, construction, load, strength and speed marks.

Forms that are read: metric (P, LT, commercial C), metric without a series (165R13), flotation, numeric
(7.00-16, 11R22.5) and lettered (G78-15). Anything else, and any mark that is not known, is said to be
unreadable. Nothing is guessed: numeric, lettered and old metric sizes give no diameter, a letter no width.
"""

from __future__ import annotations

import re
from fractions import Fraction

from precheck.derive.measures import INCH
from precheck.model.record import dataclass, replace

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
    rf"(?P<width>[0-9]{{1,2}}(?:\.[0-9]{{1,2}})?) ?(?P<layers>[RDB-]) ?"
    rf"(?P<rim>{_NUMBER})(?P<after>LT)?(?P<rest>[ /].*)?"
)
# A letter, A the least, stands for the load that the tire carries, not for a width.
_LETTERED = re.compile(
    rf"(?P<letter>[A-HJ-N])(?P<layers>[RB])?(?P<aspect>[5-9][05]|78) ?- ?"
    rf"(?P<rim>{_NUMBER})(?P<after>LT)?(?P<rest>[ /].*)?"
)
_OLD_METRIC = re.compile(
    rf"(?P<width>[0-9]{{2}}5) ?(?P<early>[SHV])?(?P<layers>[R-]) ?"
    rf"(?P<rim>{_NUMBER})(?P<after>C|LT)?(?P<rest>[ /].*)?"
)
_SHORT = re.compile(r"([4-9])([0-9]{2}) ?([R/-]) ?([0-9.]+)")  # 750-16, written for 7.50-16
_WIDEST = {"old metric": 325, "numeric": 20}  # mm, in: beyond it is another way of writing
SERVICE = re.compile(r"([0-9]{1,3})(?:/([0-9]{1,3}))? ?([A-HJ-NP-WY])\b")
_PLY = re.compile(r"([0-9]{1,2}) ?(?:PR|PLY RATING|PLY)\b")
_RANGE = re.compile(r"(?:LOAD RANGE|LR) ?([A-N])\b|/? ?([A-N])(?= |$)")
_MARKS = ("M+S", "M&S", "M/S", "NDT", "NDMS", "NDCC", "TUBELESS", "TUBE TYPE", "TL", "TT", "XL", "REINFORCED")


@dataclass(frozen=True, slots=True)
class Size:
    """A size as molded. Lengths in mm; None where the size does not say it, and `why` then says so."""

    written: str
    form: str  # metric, old metric, flotation, numeric or lettered
    standard: str  # passenger, light truck, commercial, or empty
    construction: str  # empty where the size does not say it
    width: Fraction | None
    rim: Fraction
    aspect: Fraction | None = None
    diameter: Fraction | None = None
    load_range: str = ""
    ply_rating: int | None = None
    load_index: tuple[int, int | None] | None = None  # single, dual
    speed: str = ""
    marks: tuple[str, ...] = ()
    letter: str = ""  # of a lettered size

    @property
    def section_height(self) -> Fraction | None:
        return None if self.diameter is None else (self.diameter - self.rim) / 2


def read_size(text: str) -> Size | str:
    """The size, or why it cannot be read.

    Overall diameter of a metric size: rim + 2 x width x aspect / 100 (tire size arithmetic). A flotation
    size prints its diameter. Numeric (7.00-16), lettered (G78-15) and metric sizes without a series
    (165R13) have none: published diameters differ by make.
    """
    plain = re.sub(r"\s+", " ", text.strip().upper())
    for pattern, form in _FORMS:
        match = pattern.fullmatch(plain)
        if match:
            return _of_form(text, form, match.groupdict())
    return (
        f"'{text}' is no size of a form that is known (P225/75R16, LT235/85R16, 31x10.50R15LT, 7.00-16, "
        f"G78-15, 165R13){_hint(plain)}"
    )


def _hint(plain: str) -> str:
    short = _SHORT.fullmatch(plain)
    return f"; written for {short[1]}.{short[2]}{'R' if short[3] == 'R' else '-'}{short[4]}?" if short else ""


_FORMS = (
    (_METRIC, "metric"),
    (_FLOTATION, "flotation"),
    (_OLD_METRIC, "old metric"),
    (_NUMERIC, "numeric"),
    (_LETTERED, "lettered"),
)


def _of_form(text: str, form: str, found: dict[str, str | None]) -> Size | str:
    if not 8 <= Fraction(found["rim"] or 0) <= 30:
        return f"'{text}': {found['rim']} is no rim diameter in inches"
    rim = Fraction(found["rim"] or 0) * INCH.factor
    layers = _LAYERS[found["layers"] or "-"]
    rest = (found["rest"] or "").strip()
    standard = "light truck" if found["after"] == "LT" else ""
    if form == "metric":
        size = _metric(text, found, layers, rim)
    elif form == "lettered":
        # Bias-belted tires were molded with a dash too (from memory): without a letter it stays open.
        layers = _LAYERS[found["layers"]] if found["layers"] else ""
        size = Size(text, form, standard, layers, None, rim, Fraction(found["aspect"] or 0))
        size = replace(size, letter=found["letter"] or "")
    else:
        width = Fraction(found["width"] or 0)
        if width > _WIDEST.get(form, width) or width <= 0:
            hint = _hint("".join(text.upper().split()))
            return f"'{text}': a width of {found['width']} is not written so; read the sidewall again{hint}"
        if form == "old metric":
            standard = "commercial" if found["after"] == "C" else standard
            # The dash of an old metric size says nothing: radials were molded with it too (from memory).
            layers = layers if found["layers"] == "R" else ""
            size = Size(text, form, standard, layers, width, rim)
        elif form == "flotation":
            across = Fraction(found["across"] or 0) * INCH.factor
            if across <= rim:
                return f"'{text}': the tire is no larger than its rim"
            size = Size(text, form, standard, layers, width * INCH.factor, rim, None, across)
        else:
            size = Size(text, form, standard, layers, width * INCH.factor, rim)
    if found.get("early"):
        size = replace(size, speed=found["early"] or "")
    return _rest(size, rest)


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
        ply, service = _PLY.match(rest), SERVICE.match(rest)
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
