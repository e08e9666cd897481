"""The record of a wear trend: the readings, the line through them, and when it reaches each limit.

A trend is an estimate and never part of a verdict. `x` of a point is a day or what the odometer showed.
Numbers are exact texts ("127/80") in the base unit of their dimension; the x of a day is its ordinal number,
that of an odometer is in mm. So a plot needs nothing but this record.
"""

from __future__ import annotations

from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class TrendPoint:
    """One reading: when (or at what distance), the value that counted as it was written, both exactly."""

    x: str
    x_number: str
    written: str
    number: str
    on: str
    by: str


@dataclass(frozen=True, slots=True)
class TrendEnd:
    """One end of the drawn line: the first reading, or the farthest x that anything is said of."""

    x: str
    x_number: str
    number: str


@dataclass(frozen=True, slots=True)
class TrendLimit:
    """A limit in force that the line runs toward, with the rules that hold it.

    `earliest`, `likely` and `latest` bound where a reading reaches it (95 percent prediction interval); each
    is empty where it lies beyond what the readings can tell. `reached`: the last reading is there already.
    """

    limit: str
    number: str
    rules: tuple[str, ...]
    sources: tuple[str, ...]
    reached: bool
    earliest: str
    likely: str
    latest: str
    says: str


@dataclass(frozen=True, slots=True)
class Trend:
    """Wear of one point at one place. `over`: date or odometer.

    `rate` is the slope in words, `scatter` the standard deviation of a reading about the line, and no less
    than writing to `step` brings, the coarsest of the readings. `reaches_to` is the end of what is said.
    """

    point: str
    words: str
    place: str
    place_words: str
    over: str
    unit: str
    points: tuple[TrendPoint, ...]
    line: tuple[TrendEnd, ...]
    rate: str
    scatter: str
    step: str
    reaches_to: str
    limits: tuple[TrendLimit, ...]
    method: str
