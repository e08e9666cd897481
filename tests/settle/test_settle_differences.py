"""Inputs on which settle and its slow reference once differed, at their smallest, with the right answer.

Right by the design's text: later wins; hearsay never replaces what was measured or seen and still counts;
`unknown` always gives `cannot tell`; struck readings do not count; a word for all places, or nothing
found, never clears a finding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from precheck.model.catalogue import VEHICLE
from precheck.model.document import Document, Known
from precheck.model.settled import Status
from tests.settle.test_rules_one_by_one import LF, RF, ago
from tests.settle.test_two_settles import both, differences
from tests.support import minibook as mini
from tests.support.minibook import MILE, claim, clear, document, visit, work

TOLD, PAPERS = Known.TOLD, Known.PAPERS


@dataclass(frozen=True)
class Once:
    """`answer`: the written values, or the status where there is no value."""

    point: str
    place: str
    answer: list[str] | Status
    document: Callable[[], Document]


MISSING, UNCLEAR = Status.MISSING, Status.UNCLEAR

ONCE = {
    "bounds on both sides of each other are no wonder": Once(
        "wall", "hanger", ["at most 4 mm"],
        lambda: document(
            visit(ago(9), claim("wall", "at least 2 mm", "hanger")),
            visit(ago(1), claim("wall", "at most 4 mm", "hanger")),
        ),
    ),
    "unknown for all places takes the earlier word for one": Once(
        "hose", LF, UNCLEAR,
        lambda: document(visit(ago(9), claim("hose", "sound", LF)), visit(ago(1), claim("hose", "unknown"))),
    ),
    "hearsay by name does not open the way for a look": Once(
        "hose", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("hose", "deep cracks", LF)),
            visit(ago(5), claim("hose", "sound", LF, known=TOLD)),
            visit(ago(1), *clear("brakes", "under")),
        ),
    ),
    "a look does not clear what was only told": Once(
        "hose", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("hose", "sound", LF)),
            visit(ago(5), claim("hose", "deep cracks", LF, known=TOLD)),
            visit(ago(1), *clear("brakes", "under")),
        ),
    ),
    "hearsay for all places leaves the finding as it is": Once(
        "hose", LF, ["deep cracks"],
        lambda: document(
            visit(ago(9), claim("hose", "deep cracks", LF)), visit(ago(5), claim("hose", "sound", known=TOLD))
        ),
    ),
    "hearsay by name does not say the finding by name": Once(
        "hose", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("hose", "deep cracks", LF)),
            visit(ago(5), claim("hose", "sound")),
            visit(ago(1), claim("hose", "sound", LF, known=TOLD)),
        ),
    ),
    "a struck finding needs no name": Once(
        "hose", LF, ["sound"],
        lambda: document(
            visit(ago(9), claim("hose", "deep cracks", LF)),
            visit(ago(5), claim("hose", "sound")),
            visit(ago(1), claim("hose", "deep cracks", LF, struck="of another truck")),
        ),
    ),
    "a struck reading of its own leaves the place to the word for all": Once(
        "hose", LF, ["sound"],
        lambda: document(
            visit(ago(1), claim("hose", "deep cracks", LF, struck="typed wrong"), claim("hose", "sound"))
        ),
    ),
    "striking a word for all leaves the later word by name": Once(
        "construction", LF, ["bias"],
        lambda: document(
            visit(ago(9), claim("construction", "radial")),
            visit(ago(5), claim("construction", "bias", LF)),
            visit(
                ago(1),
                claim("construction", "radial", struck="of another truck"),
                claim("construction", "bias", LF),
            ),
        ),
    ),
    "striking takes the reading of the same place first": Once(
        "bulge", LF, ["no"],
        lambda: document(
            visit(ago(9), claim("bulge", "no", LF)),
            visit(ago(5), claim("bulge", "no")),
            visit(ago(1), claim("bulge", "no", LF, struck="did not look")),
        ),
    ),
    "striking at a place takes the word for all away from there": Once(
        "bulge", LF, MISSING,
        lambda: document(
            visit(ago(5), claim("bulge", "no")),
            visit(ago(1), claim("bulge", "no", LF, struck="did not look")),
        ),
    ),
    "a fact first unknown is answered later": Once(
        "brake-actuation", VEHICLE, ["air"],
        lambda: document(
            visit(ago(1), claim("brake-actuation", "air", known=PAPERS)),
            facts={**mini.LIGHT_TRUCK, "brake-actuation": "unknown"},
        ),
    ),
    "as bad a word for all is no clearing": Once(
        "hose", LF, ["deep cracks"],
        lambda: document(
            visit(ago(9), claim("hose", "fine lines", LF)),
            visit(ago(5), claim("hose", "sound")),
            visit(ago(1), claim("hose", "deep cracks")),
        ),
    ),
    "papers after hearsay: the later word is the one that does not count": Once(
        "bulge", LF, MISSING,
        lambda: document(
            visit(ago(5), claim("bulge", "no", LF, known=TOLD)),
            visit(ago(1), claim("bulge", "yes", LF, known=PAPERS)),
        ),
    ),
    "hearsay answers what was unknown": Once(
        "oil", VEHICLE, ["clear"],
        lambda: document(
            visit(ago(5), claim("oil", "unknown")), visit(ago(1), claim("oil", "clear", known=TOLD))
        ),
    ),
    "hearsay does not get round a finding by way of unknown": Once(
        "oil", VEHICLE, UNCLEAR,
        lambda: document(
            visit(ago(9), claim("oil", "milky")),
            visit(ago(5), claim("oil", "unknown")),
            visit(ago(1), claim("oil", "clear", known=TOLD)),
        ),
    ),
    "nor does a permanent mark": Once(
        "date-code", LF, UNCLEAR,
        lambda: document(
            visit(ago(9), claim("date-code", "1417", LF)),
            visit(ago(5), claim("date-code", "unknown", LF)),
            visit(ago(1), claim("date-code", "2024", LF, known=PAPERS)),
        ),
    ),
    "the odometer first looked at after the reading": Once(
        "nut-torque", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("nut-torque", "90 count", LF)),
            visit(ago(5), claim("odometer-reading", "41000 mi")),
            visit(ago(1), claim("odometer-reading", "41101 mi")),
        ),
    ),
    "drives after the last look at the odometer count with it": Once(
        "nut-torque", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("nut-torque", "90 count", LF), claim("odometer-reading", "41000 mi")),
            visit(ago(5), claim("odometer-reading", "41090 mi"), drove=11 * MILE),
        ),
    ),
    "an odometer reading struck later": Once(
        "nut-torque", LF, ["90 count"],
        lambda: document(
            visit(ago(9), claim("nut-torque", "90 count", LF), claim("odometer-reading", "41000 mi")),
            visit(ago(5), claim("odometer-reading", "44000 mi")),
            visit(ago(1), claim("odometer-reading", "44000 mi", struck="typed wrong")),
        ),
    ),
    "between two looks at the odometer the larger counts": Once(
        "nut-torque", LF, MISSING,
        lambda: document(
            visit(
                ago(9),
                claim("nut-torque", "90 count", LF),
                claim("odometer-reading", "41000 mi"),
                drove=50 * MILE,
            ),
            visit(ago(5), claim("odometer-reading", "41010 mi")),
            visit(ago(1), claim("odometer-reading", "41061 mi")),
        ),
    ),
    "an odometer reading that is asked back": Once(
        "nut-torque", LF, ["90 count"],
        lambda: document(
            visit(ago(9), claim("nut-torque", "90 count", LF), claim("odometer-reading", "41000 mi")),
            visit(ago(5), claim("odometer-reading", "410000 mi", why_unknown="more than likely")),
        ),
    ),
    "what work ended is not there to be struck": Once(
        "bulge", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("bulge", "no", LF), done=[work("tire-changed", LF)]),
            visit(ago(5), claim("bulge", "no")),
            visit(ago(1), claim("bulge", "no", LF, struck="did not look")),
        ),
    ),
    "striking takes a word for all before a look": Once(
        "hose", LF, MISSING,
        lambda: document(
            visit(ago(9), claim("hose", "sound")),
            visit(ago(5), *clear("brakes", "under")),
            visit(ago(2), claim("hose", "sound", LF, struck="did not look")),
            visit(ago(1), claim("hose", "sound", LF, struck="did not look there either")),
        ),
    ),
    "a struck word for all leaves the look": Once(
        "hose", LF, ["sound"],
        lambda: document(
            visit(ago(9), claim("hose", "sound")),
            visit(ago(5), *clear("brakes", "under")),
            visit(ago(2), claim("hose", "sound", struck="written twice")),
        ),
    ),
    "a fact of two answers": Once(
        "rear-wheels", VEHICLE, UNCLEAR,
        lambda: document(visit(ago(1), claim("rear-wheels", ["single", "dual"]))),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ONCE)
def test_right_by_the_design(name: str) -> None:
    once = ONCE[name]
    paper = once.document()
    names = [once.point]
    assert not differences(paper, mini.YARD, names)
    assert not differences(paper, mini.PROVING, names)
    cells, _ = both(paper, mini.YARD, names)
    found = cells[once.point, once.place]
    if isinstance(once.answer, Status):
        assert found.status is once.answer
    else:
        assert [v.written for v in found.values] == once.answer


def test_striking_takes_the_same_place_first_and_the_rest_stays() -> None:
    cells, _ = both(
        ONCE["striking takes the reading of the same place first"].document(), mini.YARD, ["bulge"]
    )
    assert cells["bulge", LF].claim == cells["bulge", RF].claim


def test_a_spot_whose_only_reading_was_struck_is_no_spot() -> None:
    paper = document(visit(ago(1), claim("wall", "1 mm", "hanger", struck="of another truck")))
    cells, answers = both(paper, mini.YARD, ["wall"])
    assert ("wall", "hanger") not in cells
    assert ("wall", "hanger") not in answers


def test_two_answers_leave_no_places_out_silently() -> None:
    """Without one answer for the rear wheels the question stays open; it is not taken as single."""
    paper = ONCE["a fact of two answers"].document()
    cells, _ = both(paper, mini.YARD, ["tread"])
    assert cells["rear-wheels", VEHICLE].status is UNCLEAR
    assert ("tread", "left-rear") not in cells
    assert ("tread", "left-rear-outer") not in cells
