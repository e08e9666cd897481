"""Steering: play at the rim as an angle and as a share, limits by wheel diameter, toe against its figure.

Base units: mm, degrees. Angles are enclosed: a tape round the rim measures the arc, a ruler across it the
chord, and nobody knows which was used, so the enclosure holds both.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import absolute, asin_degrees, floor_to, less, monotone, pi
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end
from precheck.derive.measures import DEG, INCH, PERCENT, Found, say, state_of, work_out
from precheck.derive.outcome import Outcome, entries
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass, replace
from precheck.model.settled import Cell


def play_angle(play: Enclosure, diameter: Enclosure) -> Enclosure:
    """Degrees of play at the rim: from the arc, 360 x play / (pi x diameter), to 2 asin(play / diameter)."""
    low_pi, high_pi = pi()

    def arc(p: Fraction, d: Fraction) -> tuple[Fraction, Fraction]:
        return floor_to(p * 360 / (high_pi * d)), p * 360 / (low_pi * d)

    def chord(p: Fraction, d: Fraction) -> tuple[Fraction, Fraction]:
        low, high = asin_degrees(p / d)
        return 2 * low, 2 * high

    low = monotone(arc, (play, 1), (diameter, -1)).low
    return Enclosure(low, monotone(chord, (play, 1), (diameter, -1)).high)


def _odd(play: Enclosure, diameter: Enclosure) -> str:
    if diameter.low is None or diameter.low <= 0:
        return "the steering wheel needs a diameter"
    if play.low is None or play.low < 0:
        return "play cannot be below zero"
    if play.high is None or play.high * 10 > diameter.low * 9:
        return "the play is as large as the wheel: measure again"
    return ""


def free_play_angle(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Free play of the steering wheel as an angle. Inputs: play at the rim, diameter of the wheel."""

    def compute(play: Enclosure, diameter: Enclosure) -> Found:
        wrong = _odd(play, diameter)
        if wrong:
            return wrong
        return play_angle(play, diameter), f"{say(play, INCH)} at a wheel of {say(diameter, INCH)}"

    return work_out(cells, DEG, compute)


def free_play_share(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Free play over the wheel's diameter (Directive 2014/45/EU Annex I item 2.3 names one fifth). Exact."""

    def compute(play: Enclosure, diameter: Enclosure) -> Found:
        wrong = _odd(play, diameter)
        if wrong:
            return wrong
        share = monotone(lambda p, d: p / d, (play, 1), (diameter, -1))
        return share, f"{say(play, INCH)} / {say(diameter, INCH)}"

    return work_out(cells, PERCENT, compute)


@dataclass(frozen=True, slots=True)
class Lash:
    """One row: wheels of exactly this diameter (the first: this or less), limit in inches."""

    diameter: Fraction
    manual: Fraction
    power: Fraction


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _rows(*rows: tuple[str, str, str]) -> tuple[Lash, ...]:
    return tuple(Lash(_inches(d), _inches(m), _inches(p)) for d, m, p in rows)


# 49 CFR 393.209(b)(1)
COMMERCIAL = _rows(
    ("16", "2", "4 1/4"),
    ("18", "2 1/4", "4 3/4"),
    ("19", "2 3/8", "5"),
    ("20", "2 1/2", "5 1/4"),
    ("21", "2 5/8", "5 1/2"),
    ("22", "2 3/4", "5 3/4"),
)
MANUAL_DEGREES, POWER_DEGREES = Fraction(14), Fraction(30)  # 393.209(b)(2)
# 49 CFR 570.7(a) and 570.60(a): no difference for power steering
IN_USE = _rows(("16", "2", "2"), ("18", "2 1/4", "2 1/4"), ("20", "2 1/2", "2 1/2"), ("22", "2 3/4", "2 3/4"))
# 49 CFR 396 appendix A 7.a, as restated: as 393.209(b)(1), but for 16 in with power steering
PERIODIC = _rows(
    ("16", "2", "4 1/2"), ("18", "2 1/4", "4 3/4"), ("20", "2 1/2", "5 1/4"), ("22", "2 3/4", "5 3/4")
)


def lash_spare_commercial(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Limit less free play, 49 CFR 393.209(b): the row of the diameter, else 14 (power 30) degrees as play.

    Inputs: play, diameter, power steering (fitted or not). A wheel whose diameter is known only as a range
    is held against every limit that may apply.
    """
    power = state_of(cells[2]) == "fitted"

    def compute(play: Enclosure, diameter: Enclosure) -> Found:
        wrong = _odd(play, diameter)
        if wrong:
            return wrong
        if not diameter.exact or diameter.low is None:
            return "the table goes by the exact diameter: state one"
        inches = diameter.low / INCH.factor
        row = next((r for r in COMMERCIAL if inches == r.diameter or inches < 16 == r.diameter), None)
        if row:
            limit = Enclosure.of((row.power if power else row.manual) * INCH.factor)
            words = f"table row {say(Enclosure.of(row.diameter * INCH.factor), INCH)}"
        else:
            degrees = POWER_DEGREES if power else MANUAL_DEGREES
            limit = _play_of(degrees, diameter.low)
            words = f"no table row: {degrees} degrees"
        kind = "power" if power else "manual"
        return less(limit, play), f"{words}, {kind}: {say(limit, INCH)} - {say(play, INCH)}"

    return work_out(cells[:2], INCH, compute)


def _play_of(degrees: Fraction, diameter: Fraction) -> Enclosure:
    """The play at the rim that an angle makes: chord (lower, shortened by its series) to arc (upper)."""
    low_pi, high_pi = pi()
    low_arc, high_arc = degrees * low_pi / 360, degrees * high_pi / 360  # half angle x 2, per diameter
    # chord = diameter x sin(x), x = half the angle in radians; sin x lies above this sum of its series.
    sine = low_arc - high_arc**3 / 6 + low_arc**5 / 120 - high_arc**7 / 5040
    return Enclosure(diameter * sine, diameter * high_arc)


def lash_spare_in_use(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Limit less free play, 49 CFR 570.7(a) Table 1 (570.60(a) the same). Inputs: play, diameter.

    The table has no rows between 16, 18, 20 and 22 in and no rule for them: the limit is then enclosed by
    the rows below and above. Over 22 in there is none.
    """
    return _spare_by_rows(IN_USE, cells, power=False)


def lash_spare_periodic(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Limit less free play, 49 CFR 396 appendix A 7.a. Inputs: play, diameter, power steering.

    Read second-hand; its rows for 19 and 21 in, if it has any, were not seen, so that the limit is enclosed
    by the rows below and above there. Over 22 in there is none.
    """
    return _spare_by_rows(PERIODIC, cells[:2], power=state_of(cells[2]) == "fitted")


def _spare_by_rows(rows: tuple[Lash, ...], cells: tuple[Cell, ...], *, power: bool) -> Outcome:
    def compute(play: Enclosure, diameter: Enclosure) -> Found:
        wrong = _odd(play, diameter)
        if wrong:
            return wrong
        if diameter.low is None or diameter.high is None or diameter.high > rows[-1].diameter * INCH.factor:
            return f"the table ends at 22 in, the wheel measures {say(diameter, INCH)}"
        limits = [(r.diameter * INCH.factor, r.power if power else r.manual) for r in rows]
        low = max((most for size, most in limits if size <= diameter.low), default=limits[0][1])
        high = min(most for size, most in limits if size >= diameter.high)
        limit = Enclosure(low * INCH.factor, high * INCH.factor)
        words = "table row" if limit.exact else "no table row, between"
        return less(limit, play), f"{words} {say(limit, INCH)} - {say(play, INCH)}"

    return work_out(cells, INCH, compute)


def toe_share(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Size of the toe over the size of the figure the maker gives (49 CFR 570.7(d): at most 1.5 times).

    Inputs: toe, figure. A figure of zero gives no share. Toe that may run the other way than the figure is
    "at least" its size: the clause does not say what it makes of that.
    """

    def compute(toe: Enclosure, figure: Enclosure) -> Found:
        ends = (toe.low, toe.high, figure.low, figure.high)
        if any(e is None for e in ends):
            return "toe and figure must be known from both sides"
        if figure.low is not None and figure.high is not None and figure.low <= 0 <= figure.high:
            return "the figure is zero: a share of it says nothing"
        share = monotone(lambda t, f: t / f, (absolute(toe), 1), (absolute(figure), -1))
        signs = {e > 0 for e in ends if e}
        words = f"{say(toe, INCH)} / {say(figure, INCH)}, sizes only"
        if len(signs) > 1:
            return Enclosure(share.low, None), f"{words}, not the same way"
        return share, words

    return work_out(cells, PERCENT, compute)


TIGHT, JOINTS, MOUNTING, INSIDE = "no play", "joints or pins", "box mounting or arm", "inside the box"
PLAY_STATES = (TIGHT, JOINTS, MOUNTING, INSIDE)


def play_source(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Where free play of the steering wheel comes from, by what was found tight (common practice).

    Inputs: free play, box mounting, arm on the box, play of the tie rod ends (gathered); then, as fitted, of
    drag link ends, kingpins and ball joints (gathered, optional). A loose mounting or arm is named before
    loose joints. The box itself is named only when all of these were measured tight, and one of kingpins
    and ball joints was.
    """
    play, box, arm, *joints = entries(cells)
    if all(v.number == Enclosure.of(0) for v in play[0].values):
        return _source(TIGHT, "no free play")
    loose = [c.id for c, tight in ((box[0], "no movement"), (arm[0], "tight and marked")) if _moves(c, tight)]
    if loose:
        return _source(MOUNTING, f"moves: {', '.join(loose)}")
    measured = [c for group in joints for c in group if c.values]
    slack = [c for c in measured if any(v.number and v.number.high != 0 for v in c.values)]
    if slack:
        sure = [c for c in slack if any(v.number and v.number.low for v in c.values)]
        if not sure:
            return Outcome(unclear="a joint whose play may be nothing or something does not say where it is")
        shown = ", ".join(f"{c.id} at {c.place} {c.values[-1].written}" for c in sure)
        return _source(JOINTS, f"play in {shown}")
    places = {c.id for c in measured}
    if "drag-link-play" not in places or not places & {"kingpin-play", "ball-joint-play"}:
        return Outcome(unclear="all joints measured are tight; measure drag link and kingpins or ball joints")
    if any(not c.values for group in joints for c in group if c.id in places):
        return Outcome(unclear="all joints measured are tight; some are not measured")
    return _source(INSIDE, "mounting, arm, joints and pins are tight")


def _moves(cell: Cell, tight: str) -> bool:
    return any(v.state != tight for v in cell.values)


def _source(word: str, step: str) -> Outcome:
    return Outcome((Value(word, state=word),), (step,))


# -- inverses


def _play_for_share(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    diameter = end(cells[1], not goal.at_least)
    if diameter is None or goal.limit < 0:
        return None
    return at_least(diameter * goal.limit) if goal.at_least else at_most(diameter * goal.limit)


_LAST_DIGIT = Fraction(1, 10**9)  # mm


def _play_for_angle(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Chord of the angle at the smallest wheel (at most) or arc at the largest (at least): both safe."""
    diameter = end(cells[1], not goal.at_least)
    if diameter is None or diameter <= 0 or not 0 <= goal.limit <= 90:
        return None
    play = _play_of(goal.limit, diameter)
    assert play.low is not None
    assert play.high is not None
    # The angle itself is only known to its last digit: so much is kept away from the limit.
    if goal.at_least:
        return at_least(play.high + _LAST_DIGIT)
    return at_most(play.low - _LAST_DIGIT) if play.low >= _LAST_DIGIT else None


def _play_for(spare: Callable[[tuple[Cell, ...], date], Outcome]) -> Inverse:
    """Play that leaves the wanted margin under the limit the table (or the angle) sets for this wheel."""

    def solve(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
        if not goal.at_least or end(cells[1], True) is None:
            return None
        # With no play the margin is the limit itself.
        found = spare(tuple(replace(c, values=(_NONE,)) if c is cells[0] else c for c in cells), day)
        lows = [v.number.low for v in found.values if v.number is not None and v.number.low is not None]
        return at_most(min(lows) - goal.limit) if lows and min(lows) >= goal.limit else None

    return Inverse(0, solve)


_NONE = Value("no play", number=Enclosure.of(0))


def _toe(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Toe of at most that share of the figure, the same way as the figure."""
    low, high = end(cells[1], True), end(cells[1], False)
    if goal.at_least or low is None or high is None or goal.limit < 0 or low <= 0 <= high:
        return None
    if low > 0:
        return Enclosure(Fraction(0), low * goal.limit)
    return Enclosure(high * goal.limit, Fraction(0))


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "free-play-share": (Inverse(0, _play_for_share),),
    "free-play-angle": (Inverse(0, _play_for_angle),),
    "lash-spare-commercial": (_play_for(lash_spare_commercial),),
    "lash-spare-in-use": (_play_for(lash_spare_in_use),),
    "lash-spare-periodic": (_play_for(lash_spare_periodic),),
    "toe-share": (Inverse(0, _toe),),
}
