"""The tire identification number of 49 CFR 574.5: its parts, and the age it gives.

New tires: plant (3 symbols), maker (6), date (4), thirteen in all; or the older form that was allowed until
April 13, 2025: plant (2), size (up to 2), the maker's own (up to 4), date (4). Retreads: plant (3), date
(4). Before July 2000 the date had three digits. Gaps between the groups mean nothing: the date is last.
"""

from __future__ import annotations

from datetime import date

from precheck.derive.dates import age_of_codes
from precheck.derive.outcome import Outcome
from precheck.model.record import dataclass
from precheck.model.settled import Cell

SYMBOLS = frozenset("ABCDEFHJKLMNPRTUVWXY0123456789")  # 49 CFR 574.5(f): no G, I, O, Q, S, Z
_MISREAD = {"O": "0", "I": "1", "S": "5", "Z": "2", "G": "6", "Q": "0"}


@dataclass(frozen=True, slots=True)
class TireNumber:
    """`form`: new, older, retread, or three-digit date. `maker` holds all between plant and date."""

    form: str
    plant: str
    maker: str
    date_code: str


def read_number(text: str) -> TireNumber | str:
    """The parts of a number, without DOT and a retread's R, or why it cannot be read."""
    plain = "".join(text.upper().split()).replace("-", "")
    plain = plain.removeprefix("DOT")
    wrong = sorted({c for c in plain if c not in SYMBOLS})
    if wrong:
        hints = ", ".join(f"{c} ({_MISREAD[c]}?)" if c in _MISREAD else c for c in wrong)
        return f"'{text}': {hints} cannot stand in a tire number; read it again"
    digits = len(plain) - len(plain.rstrip("0123456789"))
    count = len(plain)
    if digits >= 4 and count == 13:
        return TireNumber("new", plain[:3], plain[3:9], plain[9:])
    if digits >= 4 and count == 7:
        return TireNumber("retread or older", plain[:3], "", plain[3:])
    if digits >= 4 and 6 <= count <= 12:
        return TireNumber("older", plain[:2], plain[2:-4], plain[-4:])
    if digits == 3 and 5 <= count <= 11:
        return TireNumber("three-digit date", plain[:2], plain[2:-3], plain[-3:])
    return f"'{text}': {count} symbols ending in {digits} digits make no tire number"


def number_age(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Age of a tire in months from the last digits of its whole number (49 CFR 574.5(b)(3), (g)(4)).

    A number whose middle ends in digits could be an old one with a date of three: the four are taken, as
    on every tire since July 2000, and the step shows them.
    """
    codes, steps = [], []
    for written in cells[0].values:
        found = read_number(written.written)
        if isinstance(found, str):
            return Outcome(unclear=found)
        codes.append(found.date_code)
        steps.append(f"{written.written}: {found.form} form, plant {found.plant}, date {found.date_code}")
    outcome = age_of_codes(codes, day)
    return Outcome(outcome.values, (*steps, *outcome.steps), outcome.unclear)
