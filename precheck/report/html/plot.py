"""Where points, line and limits of a wear trend stand in a small plot; lengths in the plot's own units."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from precheck.answer.trend_record import Trend, TrendEnd, TrendPoint
from precheck.model.record import dataclass
from precheck.report.html.plan_view import Words

WIDTH, HEIGHT = 420, 200
_LEFT, _RIGHT, _TOP, _BOTTOM = 20, 400, 24, 160
_LETTER = 7  # width of a letter, so that words near the right edge stay inside


@dataclass(frozen=True, slots=True)
class Spot:
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Plot:
    """`line` is that through the readings, from its first to its last end; `limits` are heights."""

    id: str
    title: str
    about: str
    width: int
    height: int
    bottom: int
    left: int
    right: int
    spots: tuple[Spot, ...]
    line: tuple[Spot, ...]
    limits: tuple[int, ...]
    words: tuple[Words, ...]


def plot(trend: Trend, number: int) -> Plot:
    """The readings, the line through them, and the limits it runs toward. `number` makes ids unique."""
    drawn: list[TrendPoint | TrendEnd] = [*trend.points, *trend.line]
    xs = _Scale((p.x_number for p in drawn), _LEFT, _RIGHT)
    ys = _Scale((*(p.number for p in drawn), *(limit.number for limit in trend.limits)), _BOTTOM, _TOP)
    spots = tuple(Spot(xs.at(p.x_number), ys.at(p.number)) for p in trend.points)
    limits = tuple(ys.at(limit.number) for limit in trend.limits)
    falling = spots[-1].y > spots[0].y  # the free side of the line is above it where it falls
    words = [_beside(spot, p.written, falling) for spot, p in zip(spots, trend.points, strict=True)]
    words += [
        Words(_LEFT, y + 12, f"limit: {limit.limit}", True, "start")
        for y, limit in zip(limits, trend.limits, strict=True)
    ]
    ends = {xs.at(p.x_number): p.x for p in (trend.points[0], *drawn[len(trend.points) - 1 :])}
    words += [_under(x, text) for x, text in _apart(ends)]
    place = "" if trend.place == "vehicle" else f", {trend.place_words}"
    return Plot(
        id=f"wear-{number}",
        title=f"{trend.point}{place}",
        about="Readings as circles, the line through them broken, limits as full lines. The words above say "
        "all of it.",
        width=WIDTH,
        height=HEIGHT,
        bottom=_BOTTOM,
        left=_LEFT,
        right=_RIGHT,
        spots=spots,
        line=tuple(Spot(xs.at(end.x_number), ys.at(end.number)) for end in trend.line),
        limits=limits,
        words=tuple(words),
    )


class _Scale:
    """From exact numbers to whole units of the plot; where all numbers are one, its middle."""

    def __init__(self, numbers: Iterable[str], start: int, end: int) -> None:
        found = [Fraction(n) for n in numbers]
        self._low, self._high = min(found), max(found)
        self._start, self._end = start, end

    def at(self, number: str) -> int:
        wide = self._high - self._low
        share = (Fraction(number) - self._low) / wide if wide else Fraction(1, 2)
        return self._start + round(share * (self._end - self._start))


def _beside(spot: Spot, text: str, above: bool) -> Words:
    """A word right of a spot, moved so that it ends inside the plot."""
    x = min(spot.x + 5, WIDTH - len(text) * _LETTER)
    return Words(x, spot.y + (-6 if above else 14), text, False, "start")


def _under(x: int, text: str) -> Words:
    """A word in the middle under the plot, moved so that it stands inside it."""
    half = len(text) * _LETTER // 2
    return Words(max(half, min(x, WIDTH - half)), HEIGHT - 12, text, False, "middle")


def _apart(ends: dict[int, str]) -> list[tuple[int, str]]:
    """Words under the plot that do not run into each other; the first and the last before those between."""
    order = sorted(ends.items())
    kept = [order[0], order[-1]] if len(order) > 1 else order
    for x, text in order[1:-1]:
        if all(abs(x - other) > _LETTER * (len(text) + len(said)) // 2 + _LETTER for other, said in kept):
            kept.append((x, text))
    return sorted(kept)
