"""The uses a person asks about, and all that are judged with them."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.model.catalogue import Use
from precheck.model.rules import Verdict
from precheck.rulebook.book import Rulebook

EXIT = {Verdict.GO: 0, Verdict.NO_GO: 1, Verdict.UNDECIDED: 3}


def with_their_own(names: Sequence[str], book: Rulebook) -> tuple[Use, ...]:
    """The uses named, the side uses that a rung includes, and the rung a side use stands on."""
    wanted: dict[str, Use] = {}
    rungs = {use.rank: use for use in book.rungs()}
    for name in names:
        use = book.uses[name]
        wanted[use.id] = use
        for included in use.includes:
            wanted[included] = book.uses[included]
        if use.side and not any(u.rank >= use.rank and not u.side for u in wanted.values()):
            under = rungs[use.rank]
            wanted[under.id] = under
    return tuple(use for use in book.uses.values() if use.id in wanted)


def worst(verdicts: Sequence[Verdict]) -> Verdict:
    """NO-GO beats UNDECIDED beats GO; of nothing, UNDECIDED."""
    if Verdict.NO_GO in verdicts:
        return Verdict.NO_GO
    if Verdict.UNDECIDED in verdicts or not verdicts:
        return Verdict.UNDECIDED
    return Verdict.GO
