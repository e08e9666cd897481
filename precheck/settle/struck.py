"""Readings that were struck by their writer, and the earlier ones that such an entry strikes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.model.document import Claim


def written(claim: Claim) -> str:
    """The values of a reading as they stand in the file."""
    return ", ".join(v.written for v in claim.values) or "unknown"


def struck(groups: Iterable[tuple[Sequence[Claim], bool]]) -> dict[int, str]:
    """The claims that do not count, by identity, each with the reason its writer gave.

    `groups` are the readings of one point at one place and for all places, visit by visit, each with
    whether work or driving ended them after it. A struck entry does not count itself, and it strikes
    the latest earlier reading of the same written value that is still live there: of the same place as
    written, else one for all places, else a nothing-found line, which then does not count at this place.
    """
    out: dict[int, str] = {}
    alive: list[Claim] = []
    for claims, ended in groups:
        for claim in claims:
            if not claim.struck:
                alive.append(claim)
                continue
            out[id(claim)] = claim.struck
            same = [c for c in alive if id(c) not in out and written(c) == written(claim)]
            there = [c for c in same if c.place == claim.place and not c.clear_of]
            wider = [c for c in same if c.place is None and not c.clear_of]
            for found in (there or wider or [c for c in same if c.clear_of])[-1:]:
                out[id(found)] = claim.struck
        if ended:
            alive.clear()
    return out
