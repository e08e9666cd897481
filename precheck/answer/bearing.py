"""What a failure holds up, in words."""

from __future__ import annotations

from collections.abc import Collection

from precheck.rulebook.book import Rulebook


def bears(blocks: Collection[str], book: Rulebook) -> str:
    """The uses that it blocks: side uses by name, then the lowest rung, which takes all above it.

    Side uses that the rung takes with it anyway are not named. `blocks` is closed upward.
    """
    rungs = [use for use in book.uses.values() if not use.side and use.id in blocks]
    lowest = min(rungs, key=lambda use: use.rank, default=None)
    highest = max(use.rank for use in book.uses.values())
    names = [
        use.id
        for use in book.uses.values()
        if use.side and use.id in blocks and (lowest is None or use.rank < lowest.rank)
    ]
    if lowest is not None:
        names.append(lowest.id if lowest.rank == highest else f"{lowest.id} and all above it")
    return ", ".join(names) or "no use; watch it"
