"""Puts lines of a new rule into the text of a local rule file, and changes nothing else in it."""

from __future__ import annotations

from collections.abc import Callable

from precheck.model.node import Items, Map, Source


def with_rule(source: Source, lines_for: Callable[[str], list[str]]) -> str | None:
    """The file's text with one more rule at the end of `add:`.

    `lines_for` gives the rule's lines at an indent. None where `add:` is written on one line.
    """
    text, root = list(source.lines), source.root
    assert isinstance(root, Map)
    added = root.get("add")
    if added is None:
        return "\n".join([*_trimmed(text), "add:", *lines_for("  "), ""])
    if not isinstance(added, Items) or not added.items:
        return None
    first = text[added.items[0].mark.line - 1]
    dash = first.find("-")
    if first.strip()[:1] != "-":
        return None
    start = next(e.key.mark.line for e in root.entries if e.key.text == "add")
    after = [e.key.mark.line for e in root.entries if e.key.mark.line > start]
    end = min(after) - 1 if after else len(text)
    while end > start and (not text[end - 1].strip() or text[end - 1].startswith("#")):
        end -= 1
    return "\n".join([*text[:end], "", *lines_for(" " * dash), *text[end:]]).rstrip("\n") + "\n"


def _trimmed(lines: list[str]) -> list[str]:
    while lines and not lines[-1].strip():
        lines = lines[:-1]
    return lines
