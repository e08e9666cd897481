"""The record of several vehicles judged for one day: a line each."""

from __future__ import annotations

from precheck.model.problem import Problem
from precheck.model.record import dataclass

NOT_JUDGED = "could not judge"


@dataclass(frozen=True, slots=True)
class VehicleLine:
    """One vehicle. `verdicts` are those of the uses asked, in their order; `together` that of all of them.

    `highest` is the highest rung that is GO, `next_use` what the rest of the line is about: `first` is the
    first thing that holds it up, in words; `against`, `missing`, `questions` count rules, readings, facts.
    Where the file could not be judged the verdicts say so, and `problems` and `fault` say why.
    """

    file: str
    called: str
    verdicts: tuple[str, ...]
    together: str
    headline: str
    highest: str
    next_use: str
    first: str
    against: int
    missing: int
    questions: int
    exit_code: int
    problems: tuple[Problem, ...] = ()
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder that was named: the files taken from it, and how many others were left where they are."""

    name: str
    took: tuple[str, ...]
    left: int


@dataclass(frozen=True, slots=True)
class Many:
    """Several vehicles in the order given. `exit_code` is the worst of theirs."""

    day: str
    day_given: bool
    uses: tuple[str, ...]
    folders: tuple[Folder, ...]
    vehicles: tuple[VehicleLine, ...]
    version: str
    rules_digest: str
    exit_code: int
