"""A command to type again, as a shell takes it."""

from __future__ import annotations

import shlex

from precheck.read.show import visible

_ROOM = 78  # what a line may take, with room for a backslash


def command(verb: str, *words: str) -> str:
    r"""`precheck VERB WORD...`, indented, broken between words where it is long.

    >>> print(command("jot", "my car.yaml", "lr flat"))
      precheck jot 'my car.yaml' 'lr flat'
    """
    out, line = [], f"  precheck {verb}"
    for word in words:
        shown = shlex.quote(visible(word))
        if len(line) + 1 + len(shown) > _ROOM:
            out.append(f"{line} \\")
            line = f"    {shown}"
        else:
            line += f" {shown}"
    return "\n".join([*out, line])
