"""Documents of a few visits, written as text, and the questions that they raise."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from precheck.derive.crosscheck import questions
from precheck.model.document import Claim, Document, Done, Known, Visit
from precheck.model.problem import Mark
from precheck.model.settled import Watch
from tests.derive.making import DAY, base, book, cell

HERE = Mark(1, 1)
WHEELS = ("left-front", "right-front", "left-rear", "right-rear")
Readings = Mapping[str, Mapping[str, str]]


def visits(*told: tuple[str, Readings] | tuple[str, Readings, tuple[str, ...]]) -> Document:
    """Visits as (day, readings by point and place, work done; `drove 5 mi` among it is a drive)."""
    made = []
    for index, (on, readings, *done) in enumerate(told):
        day = date.fromisoformat(on)
        claims = tuple(
            Claim(point, place, cell(point, text).values, Known.MEASURED, day, index, "a test", HERE)
            for point, here in readings.items()
            for place, text in here.items()
        )
        words = [w for group in done for w in group]
        works = tuple(Done(w, (), HERE) for w in words if not w.startswith("drove "))
        drives = [base(w.removeprefix("drove ")) for w in words if w.startswith("drove ")]
        drove = sum(drives, Fraction(0)) if drives else None
        made.append(Visit(index, day, "a test", claims, (), works, drove, HERE))
    return Document("test", "", (), (), tuple(made))


def ask(*told: tuple[str, Readings] | tuple[str, Readings, tuple[str, ...]]) -> tuple[Watch, ...]:
    return questions(visits(*told), book(), DAY)


def four(*texts: str) -> dict[str, str]:
    return dict(zip(WHEELS, texts, strict=True))
