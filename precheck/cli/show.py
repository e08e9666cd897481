"""`precheck show`: anything that has an id; without one, lists and coverage."""

from __future__ import annotations

import argparse
import json
import sys
import textwrap
from collections.abc import Sequence
from typing import Any

from precheck.cli.common import add_common, rulebook
from precheck.cli.output import CannotJudge, write
from precheck.read.near import near
from precheck.read.show import visible

_WIDTH = 80


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "show", help="points, facts, rules, sources, uses ... by id", allow_abbrev=False
    )
    parser.add_argument(
        "id",
        metavar="ID",
        nargs="?",
        help="an id, or a list: points, facts, rules, sources, uses, coverage ...",
    )
    add_common(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.coverage import coverage
    from precheck.answer.describe import LISTS, describe, known_ids, listing

    book = rulebook(options)
    name = options.id
    if name is None:
        tables = {what: listing(book, what) for what in ("sources", "uses")}
        counts = {what: len(listing(book, what)[1]) for what in LISTS}
        if options.form == "json":
            text = _json({"counts": counts, **{k: _rows(t) for k, t in tables.items()}})
        else:
            lines = [f"{what:<10}{count:>5}   precheck show {what}" for what, count in counts.items()]
            lines.append("coverage            precheck show coverage")
            text = "\n".join([*lines, "", *(_table(*tables["sources"])), "", *(_table(*tables["uses"])), ""])
    elif name == "coverage":
        found_tables = coverage(book)
        if options.form == "json":
            text = _json({what: _rows(table) for what, table in found_tables.items()})
        else:
            blocks = [f"{what.upper()}\n" + "\n".join(_table(*t)) for what, t in found_tables.items()]
            text = "\n\n".join([*blocks, ""])
    elif name in LISTS:
        table = listing(book, name)
        text = _json(_rows(table)) if options.form == "json" else "\n".join([*_table(*table), ""])
    else:
        found = describe(book, name)
        if not found:
            close = near(name, ["coverage", *LISTS, *known_ids(book)])
            hint = f"; did you mean {' or '.join(close)}?" if close else ""
            raise CannotJudge(f"precheck: nothing has the id '{visible(name)}'{hint}\n")
        lines = [line for label, words in found if words for line in _line(label, words)]
        text = (
            _json([{"label": k, "text": v} for k, v in found if v])
            if options.form == "json"
            else "\n".join([*lines, ""])
        )
    write(text, options.out, sys.stdout)
    return 0


def _rows(table: tuple[tuple[str, ...], Sequence[tuple[str, ...]]]) -> list[dict[str, str]]:
    heads, rows = table
    return [dict(zip(heads, row, strict=True)) for row in rows]


def _json(data: Any) -> str:
    return json.dumps(data, indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def _line(label: str, words: str) -> list[str]:
    head = f"{visible(label)}: " if label else "    "
    body = visible(words)
    return textwrap.wrap(
        head + body if label else body,
        _WIDTH,
        initial_indent="" if label else "    ",
        subsequent_indent="      ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def _table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    """A table no wider than the terminal: the widest column is wrapped."""
    from tabulate import tabulate

    clean = [[visible(cell) for cell in row] for row in rows]
    widths = [max([len(h), *(len(r[i]) for r in clean)]) for i, h in enumerate(heads)]
    spare = _WIDTH - 2 * (len(heads) - 1)
    limits: list[int | None] = [None] * len(heads)
    while sum(widths) > spare:
        widest = widths.index(max(widths))
        others = sum(w for i, w in enumerate(widths) if i != widest)
        second = max([w for i, w in enumerate(widths) if i != widest], default=0)
        widths[widest] = max(spare - others, min(second, widths[widest] - 1), 8)
        limits[widest] = widths[widest]
        if all(w <= 8 for w in widths):
            break
    table = tabulate(clean, headers=heads, tablefmt="plain", disable_numparse=True, maxcolwidths=limits)
    return [line.rstrip() for line in table.splitlines()]
