"""Near misses: which known word may have been meant."""

from __future__ import annotations

from collections.abc import Iterable

_LONGEST = 60  # the comparison takes time with the square of the length


def near(word: str, choices: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """At most `limit` choices that look like `word`, the likeliest first; the same answer every time.

    >>> near("tire-preasure", ["tire-pressure", "tire-tread-depth", "brake-pedal-travel"])
    ('tire-pressure',)
    >>> near("front-left", ["left-front", "left-rear"])
    ('left-front',)
    """
    import difflib

    known = sorted(set(choices))
    folded = word.casefold()
    if len(word) > _LONGEST:
        return ()
    parts = sorted(folded.split("-"))
    same = [choice for choice in known if choice.casefold() == folded]
    same += [choice for choice in known if sorted(choice.casefold().split("-")) == parts]
    by_folded: dict[str, list[str]] = {}
    for choice in known:
        by_folded.setdefault(choice.casefold(), []).append(choice)
    close = difflib.get_close_matches(folded, list(by_folded), n=limit, cutoff=0.6)
    ordered = dict.fromkeys(same + [choice for key in close for choice in by_folded[key]])
    return tuple(ordered)[:limit]
