"""The table of DEVELOPERS.md that says what became of each source.

`python -m tests.docs.sources_table` writes it anew.

The entries are those of the notes that the rules were transcribed from; clauses, rules and cases are counted
in rules/.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from precheck.rulebook.load import load

DEVELOPERS = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
HEAD = "| source | entries read | clauses listed | with rules | waiting | rules | cases |"
# What was read together, how many entries the notes on it have, and the sources made of it.
READ: tuple[tuple[str, int, tuple[str, ...]], ...] = (
    ("49 CFR 570", 130, ("us-49cfr570",)),
    ("49 CFR 571 and 574", 85, ("us-49cfr571", "us-49cfr574")),
    ("49 CFR 393", 173, ("us-49cfr393",)),
    ("49 CFR 396 appendix A", 106, ("us-49cfr396",)),
    ("Washington", 58, ("us-wa-rcw", "us-wa-wac")),
    ("Maryland", 43, ("us-md-comar",)),
    ("Missouri", 30, ("us-mo-inspection", "us-mo-equipment")),
    ("Virginia", 25, ("us-va-inspection", "us-va-antique")),
    ("Utah", 17, ("us-ut-r714",)),
    ("Ohio", 13, ("us-oh-oac", "us-oh-orc")),
    ("Pennsylvania", 7, ("us-pa",)),
    ("New Hampshire", 7, ("us-nh",)),
    ("Army manuals", 51, ("us-army-manuals",)),
    ("tire handbooks and advice", 34, ("tire-tables", "tire-trade")),
    ("workshop practice, mechanical", 68, ("trade-mechanical",)),
    ("workshop practice, electrical", 27, ("trade-electrical",)),
    ("Great Britain, construction and use", 52, ("gb-cu",)),
    ("Great Britain, lighting", 32, ("gb-lighting",)),
    ("Great Britain, periodic test", 80, ("gb-periodic-test",)),
    ("European Union 2014/45", 110, ("eu-2014-45",)),
    ("Germany, StVZO", 32, ("de-stvzo",)),
    ("other countries", 30, ("au-", "ca-", "ie-", "nz-", "gb-ni-")),
)


def rows() -> Iterator[str]:
    book = load()
    left = {name for name, source in book.sources.items() if not source.floor}
    for words, entries, names in READ:
        mine = {s for s in left if s.startswith(names)}
        left -= mine
        clauses = [c for c in book.clauses if c.source in mine]
        rules = [r for r in book.rules.values() if r.source in mine]
        numbers = (
            entries,
            len(clauses),
            sum(bool(c.rules) for c in clauses),
            sum(c.status == "pending" for c in clauses),
            len(rules),
            sum(len(r.cases) for r in rules),
        )
        yield f"| {words} | {' | '.join(map(str, numbers))} |"
    assert not left, left


def table() -> str:
    return "\n".join([HEAD, "|---|---|---|---|---|---|---|", *rows()]) + "\n"


def shown(text: str) -> str:
    """The table as it stands in a text."""
    found = re.search(rf"^{re.escape(HEAD)}\n(?:\|.*\n)+", text, re.M)
    assert found is not None, "DEVELOPERS.md has no table of sources"
    return found[0]


if __name__ == "__main__":
    text = DEVELOPERS.read_text(encoding="utf-8")
    DEVELOPERS.write_text(text.replace(shown(text), table()), encoding="utf-8")
