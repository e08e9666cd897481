"""Questions about parts that belong together: sides of an axle, a shock and its room, a tire and its rim.

Common practice (no source) unless a line says otherwise. Nothing here judges or changes a reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from precheck.derive.dates import age, production_week
from precheck.derive.latest import Latest, mate
from precheck.derive.measures import INCH, say
from precheck.derive.sizes import read_size
from precheck.derive.tires import ONE_RIM
from precheck.model.catalogue import VEHICLE
from precheck.model.quantity import Enclosure
from precheck.model.settled import Watch
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

SHOCKS_APART = INCH.factor / 4
DRUMS_APART = INCH.factor / 100
SQUARE_APART = INCH.factor / 4
CODES_APART = 60  # months


def _sides(latest: Latest, point: str) -> Iterator[tuple[str, str]]:
    """Pairs of left and right places at which a point was read."""
    for place in latest.places(point):
        other = mate(place)
        if other and latest.read(point, place) and latest.read(point, other):
            yield place, other


def _apart(latest: Latest, point: str, most: Fraction) -> Iterator[tuple[str, str]]:
    """Left places with how the two sides read, where they lie further apart than `most`."""
    for left, right in _sides(latest, point):
        one, two = latest.number(point, left), latest.number(point, right)
        if one is not None and two is not None and abs(one - two) > most:
            yield left, f"left {latest.shown(point, left)}, right {latest.shown(point, right)}"


def shock_pairs(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """The shocks of one axle differ in a length by more than 1/4 in."""
    for point in ("shock-extended-length", "shock-collapsed-length"):
        for place, shown in _apart(latest, point, SHOCKS_APART):
            yield Watch(point, place, f"{shown}: a mixed pair? fit two of the same part to an axle")


def shock_room(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A shock is shorter than its mounts with the axle hanging, or longer than they with it on its stop.

    Shock sizing practice (secondary): fully out at least the one distance, fully in at most the other.
    """
    out, shut = "shock-extended-length", "shock-collapsed-length"
    drop, bump = "shock-mount-distance-drop", "shock-mount-distance-bump"
    for place in sorted({*latest.places(out), *latest.places(shut)}):
        long, far = latest.number(out, place), latest.number(drop, place)
        if long is not None and far is not None and long < far:
            words = (
                f"fully out {latest.shown(out, place)}, the mounts {latest.shown(drop, place)} apart with "
                f"the axle hanging: buy one of at least {say(Enclosure.of(far), INCH)} fully out"
            )
            yield Watch(out, place, words)
        short, near = latest.number(shut, place), latest.number(bump, place)
        if short is not None and near is not None and short > near:
            words = (
                f"fully in {latest.shown(shut, place)}, the mounts {latest.shown(bump, place)} apart with "
                f"the axle on its stop: buy one of at most {say(Enclosure.of(near), INCH)} fully in"
            )
            yield Watch(shut, place, words)


def spring_pair(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """The springs of one axle have different numbers of leaves."""
    for place, shown in _apart(latest, "spring-leaves", Fraction(0)):
        words = (
            f"{shown} leaves: two kinds of spring on one axle, or a leaf is gone; compare the ride heights"
        )
        yield Watch("spring-leaves", place, words)


def square_track(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """The axles stand more than 1/4 in out of square and a center bolt is in doubt."""
    point, bolt = "axle-squareness", "spring-center-bolt"
    loose = [p for p in latest.places(bolt) if latest.state(bolt, p) not in ("", "seated")]
    if not loose:
        return
    for place, shown in _apart(latest, point, SQUARE_APART):
        words = f"{shown}, and the center bolt at {', '.join(loose)} is {latest.state(bolt, loose[0])}"
        yield Watch(point, place, f"{words}: the axle may have walked on its spring")


def brake_pair(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """The brakes of one axle differ: linings held in two ways, or drums more than 0.010 in apart."""
    held = "brake-lining-attachment"
    for left, right in _sides(latest, held):
        one, two = latest.state(held, left), latest.state(held, right)
        if one != two:
            words = f"left {one}, right {two}: two kinds of lining on one axle pull; renew both"
            yield Watch(held, left, words)
    for place, shown in _apart(latest, "brake-drum-diameter", DRUMS_APART):
        words = f"{shown}: drums of one axle are kept within 0.010 in; turn or renew both"
        yield Watch("brake-drum-diameter", place, words)


def spare_and_rim(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """The spare's rim is not the one that its size asks for; a rule of the floor judges the other wheels."""
    point, place = "tire-size-marking", "spare"
    claim, rim = latest.read(point, place), latest.number("wheel-rim-diameter", place)
    size = read_size(claim.values[-1].written) if claim else ""
    if rim is None or isinstance(size, str) or abs(size.rim - rim) <= ONE_RIM:
        return
    words = (
        f"{size.written} asks for a rim of {say(Enclosure.of(size.rim), INCH)}, the wheel is "
        f"{latest.shown('wheel-rim-diameter', place)}: read both again before any air goes in"
    )
    yield Watch(point, place, words)


def codes_of_a_set(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Tires made more than five years apart, and a tire made after the day its code was read."""
    point = "tire-date-code"
    made = {}
    for place in latest.places(point):
        claim = latest.read(point, place)
        code = claim.values[-1].written if claim else ""
        # Three digits leave the decade open: nothing is said of how far apart they are.
        if claim is None or len(code) != 4 or not code.isdigit():
            continue
        year = 1999 if code[2:] == "99" else 2000 + int(code[2:])
        week = production_week(int(code[:2]), year)
        if week is None:
            continue
        if claim.on and week.first > claim.on:
            words = f"'{code}' was read on {claim.on}, before that week: read it again"
            yield Watch(point, place, words)
            continue
        made[place] = week
    if len(made) < 2:
        return
    oldest = min(made, key=lambda p: (made[p].first, p))
    newest = max(made, key=lambda p: (made[p].first, p))
    if age(made[oldest].last, made[newest].first) > CODES_APART:
        old, new = words_of_place(book, oldest), words_of_place(book, newest)
        words = f"{old} was made more than five years before {new}; put the newest where it matters most"
        yield Watch(point, VEHICLE, words)


CHECKS = (
    shock_pairs,
    shock_room,
    spring_pair,
    square_track,
    brake_pair,
    spare_and_rim,
    codes_of_a_set,
)
