"""The strict YAML reader: any bytes give a Source of text as written, or positioned problems.

A subset of YAML 1.1 (and 1.2): one UTF-8 document of mappings, lists and text. Anchors, aliases, tags, merge
keys, directives, duplicate keys and further documents are refused. Nothing is converted: 0512, NO, 2/32 and
2024-02-30 stay the letters that were written.

Works on PyYAML's events in one loop without recursion; size, depth, nodes and text length are capped, so the
time is bounded.
"""

from __future__ import annotations

import contextlib
import re
from typing import Any

import yaml

from precheck.model.node import Entry, Items, Map, Node, Source, Text
from precheck.model.problem import Mark, Problem
from precheck.model.record import dataclass, field
from precheck.read.chars import decode, mark_at
from precheck.read.yaml_checks import Checks
from precheck.read.yaml_checks import quoted as _quoted
from precheck.read.yaml_errors import Finding, bad_escape, explain

MAX_DEPTH = 40
MAX_NODES = 200_000
MAX_TEXT = 64_000  # characters in one text
MAX_PROBLEMS = 50

_DEFAULT_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NO_SPACE = re.compile(r"[^\s:]+:[^\s/]")
_LOST = re.compile(r"\s*(#[^\s#].*)")  # a comment that looks like a part of the text: `rim #3`


class _Stop(Exception):
    """Reading further would only repeat or mislead."""


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not been read yet."""

    mark: Mark
    is_map: bool
    flow: bool  # in brackets
    items: list[Node] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    seen: dict[str, Mark] = field(default_factory=dict)
    key: Text | None = None
    at_key: bool = True

    def close(self) -> Node:
        return Map(tuple(self.entries), self.mark) if self.is_map else Items(tuple(self.items), self.mark)


def read_yaml(data: bytes, name: str, *, loader: Any = None) -> tuple[Source | None, tuple[Problem, ...]]:
    """Read one document. Exactly one of the two results is there: a Source, or at least one problem.

    `name` is how the person called the file. `loader` is a PyYAML loader class, for tests only.
    """
    text, problems, go_on = decode(data, name)
    if not go_on:
        return None, _ordered(problems)
    reader = _Reader(name, text, list(problems))
    with contextlib.suppress(_Stop):
        reader.run(loader or _DEFAULT_LOADER)
    if reader.problems or reader.root is None:
        return None, _ordered(tuple(reader.problems))
    return Source(name, reader.lines, reader.root), ()


def _ordered(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    return tuple(sorted(set(problems), key=lambda p: p.order))


class _Reader(Checks):
    def __init__(self, name: str, text: str, problems: list[Problem]) -> None:
        self.name = name
        self.text = text
        self.lines = tuple(text.split("\n"))
        self.problems = problems
        self.root: Node | None = None
        self.open: list[_Open] = []
        self.nodes = 0
        self.documents = 0

    # -- problems

    def report(self, finding: Finding) -> None:
        line = self.lines[finding.mark.line - 1] if finding.mark.line <= len(self.lines) else ""
        self.problems.append(
            Problem(
                self.name,
                finding.mark,
                finding.code,
                finding.found,
                finding.expected,
                finding.write,
                text=line,
            )
        )
        if len(self.problems) >= MAX_PROBLEMS:
            raise _Stop

    # -- the loop

    def run(self, loader: Any) -> None:
        self.check_directive()
        last = 0
        try:
            for event in yaml.parse(self.text, Loader=loader):
                self.take(event)
                last = event.end_mark.index if event.end_mark else last
        except yaml.MarkedYAMLError as error:
            if "nesting" in str(error.problem) and loader is not yaml.SafeLoader:
                # the C scanner looks far ahead and stops by itself; the pure one reaches our own limit
                self.open, self.nodes, self.documents = [], 0, 0
                self.run(yaml.SafeLoader)
                return
            self.report(explain(error, self.text, self.lines))
            raise _Stop from None
        except (ValueError, OverflowError):  # the pure scanner on "\U00110000"
            self.report(bad_escape(self.text, last))
            raise _Stop from None
        except yaml.YAMLError as error:  # never seen; so that no input can end in a traceback
            self.refuse("not-yaml", Mark(1, 1), f"this is not YAML ({type(error).__name__})", "key: value")
            raise _Stop from None
        self.check_root()

    def take(self, event: Any) -> None:
        mark = Mark(event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.refuse(
                    "second-document",
                    mark,
                    "a second document begins here",
                    "one document per file",
                    "put the second document into a file of its own",
                )
                raise _Stop
        elif isinstance(event, yaml.AliasEvent):
            self.count(mark)
            self.refuse(
                "alias",
                mark,
                f"a reference to another place (*{event.anchor})",
                "every value written out",
                f"write the value out, or quote text that starts with *: {_quoted('*' + str(event.anchor))}",
            )
            self.place(None)
        elif isinstance(event, yaml.ScalarEvent):
            self.count(mark)
            self.check_properties(event, mark)
            self.place(self.scalar(event, mark))
        elif isinstance(event, yaml.CollectionStartEvent):
            self.count(mark)
            self.check_properties(event, mark)
            self.enter(mark, isinstance(event, yaml.MappingStartEvent), bool(event.flow_style))
        elif isinstance(event, yaml.CollectionEndEvent):
            if self.open[-1].flow and event.end_mark:
                self.check_behind(event.end_mark.index)
                self.check_margin(self.open[-1].mark.line, event.end_mark.line)
            self.place(self.open.pop().close())

    def count(self, mark: Mark) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.refuse("too-many", mark, f"more than {MAX_NODES} values", f"at most {MAX_NODES} in one file")
            raise _Stop

    def enter(self, mark: Mark, is_map: bool, flow: bool) -> None:
        if len(self.open) >= MAX_DEPTH:
            how = "fewer brackets inside brackets, or less indentation"
            self.refuse("too-deep", mark, f"more than {MAX_DEPTH} levels", f"at most {MAX_DEPTH} levels", how)
            raise _Stop
        parent = self.open[-1] if self.open else None
        if parent and parent.is_map and parent.at_key:
            self.refuse(
                "key-not-text",
                mark,
                "a list or mapping used as a key",
                "a key must be plain text",
                "key: value; text that starts with { or [ must be quoted",
            )
        self.open.append(_Open(mark, is_map, flow))

    # -- building

    def place(self, node: Node | None) -> None:
        """Put a finished value where it belongs; None stands for a value that was refused."""
        if not self.open:
            self.root = node
            return
        parent = self.open[-1]
        if not parent.is_map:
            if node is not None:
                parent.items.append(node)
        elif parent.at_key:
            parent.key = self.key(parent, node) if isinstance(node, Text) else None
            parent.at_key = False
        else:
            if parent.key is not None and node is not None:
                self.check_glued(parent, parent.key, node)
                parent.entries.append(Entry(parent.key, node))
            parent.at_key = True

    def key(self, parent: _Open, key: Text) -> Text | None:
        if not key.text:
            self.refuse("key-not-text", key.mark, "an empty key", "a key must be plain text", "key: value")
            return None
        if key.plain and key.text == "<<":
            how = "delete the line, and write out the entries it stands for"
            self.refuse("merge-key", key.mark, "a merge key (<<)", "every entry written out", how)
            return None
        first = parent.seen.get(key.text)
        if first is not None:
            self.refuse(
                "duplicate-key",
                key.mark,
                f"the key {_quoted(key.text)} is here twice: "
                f"first on line {first.line}, again on line {key.mark.line}",
                "each key once",
                "delete one of the two, or give it the name it should have",
            )
            return None
        parent.seen[key.text] = key.mark
        return key

    def scalar(self, event: Any, mark: Mark) -> Text | None:
        value: str = event.value
        plain = event.style in (None, "")  # the pure parser says None, the C one ''
        if len(value) > MAX_TEXT:
            found = f"a text of {len(value)} characters"
            self.refuse("too-long", mark, found, f"at most {MAX_TEXT} characters")
            return None
        if any("\ud800" <= char <= "\udfff" for char in value):
            self.report(bad_escape(self.text, event.start_mark.index))
            return None
        if plain:
            if not value and event.tag is None and event.anchor is None:
                # the two parsers put an empty value at different blanks: say "right after the colon or dash"
                mark = mark_at(self.text, len(self.text[: event.start_mark.index].rstrip()))
            self.check_plain(event, value)
        self.check_as_both(event, plain)
        self.check_not_yaml(event, plain)
        return Text(value, plain, mark)

    # -- checks

    def check_directive(self) -> None:
        for number, line in enumerate(self.lines, 1):
            if line.startswith("%"):
                found = f"a directive ({line[:20]})"
                self.refuse("directive", Mark(number, 1), found, "no directives", "delete the line")
                raise _Stop
            if line.strip() and not line.lstrip().startswith("#"):
                return

    def check_properties(self, event: Any, mark: Mark) -> None:
        if event.anchor is not None:
            self.refuse(
                "anchor",
                mark,
                f"an anchor (&{event.anchor})",
                "no anchors",
                f"delete it, or quote text that starts with &: {_quoted('&' + str(event.anchor))}",
            )
        if event.tag is not None:
            self.refuse(
                "tag",
                mark,
                f"a tag ({event.tag[:40]})",
                "no tags; everything is read as it is written",
                "delete the tag, or quote text that starts with !",
            )

    def check_plain(self, event: Any, value: str) -> None:
        """Two ways in which plain text silently becomes other text than was meant."""
        end = event.end_mark
        lost = _LOST.match(self.lines[end.line], end.column) if end.line < len(self.lines) else None
        if lost:
            self.refuse(
                "lost-comment",
                Mark(end.line + 1, lost.start(1) + 1),
                f"{_quoted(lost.group(1))} would be dropped as a comment",
                "a space after # for a comment, or quotes around text that contains #",
                f"{_quoted((value + ' ' + lost.group(1)).strip())}, or # {lost.group(1)[1:]}"[:200],
            )
        for number in range(event.start_mark.line + 1, min(end.line + 1, len(self.lines))):
            line = self.lines[number]
            if line.lstrip().startswith("- "):
                self.refuse(
                    "indentation",
                    Mark(number + 1, len(line) - len(line.lstrip()) + 1),
                    "a list item that would be joined to the text of the line above",
                    "list items one below the other, with the same indentation",
                    "put the dash under the dash above, or leave nothing after the key above",
                )

    def check_glued(self, parent: _Open, key: Text, value: Node) -> None:
        """{miles:0} is a key called miles:0 with nothing behind it."""
        glued = _NO_SPACE.match(key.text) if parent.flow and key.plain else None
        if glued and isinstance(value, Text) and value.plain and not value.text:
            name, _, rest = key.text.partition(":")
            mark = Mark(key.mark.line, key.mark.column + len(name) + 1)
            write = f"{{{name}: {rest}}}"[:80]
            found = f"no space after the colon of {_quoted(name)}"
            self.refuse("missing-space", mark, found, "key: value", write)

    def check_root(self) -> None:
        if isinstance(self.root, Text) and not self.problems:
            self.refuse_text(self.root)
        elif self.documents == 0:
            only = "the file holds only comments" if self.text.strip() else "the file is empty"
            self.refuse("empty", Mark(1, 1), only, "key: value", "key: value lines, or name another file")

    def refuse_text(self, root: Text) -> None:
        if root.plain and not root.text:
            how = "key: value lines, or name another file"
            self.refuse("empty", Mark(1, 1), "the file is empty", "key: value", how)
        elif root.plain and _NO_SPACE.match(root.text):
            key, _, rest = root.text.partition(":")
            self.refuse(
                "missing-space",
                root.mark,
                "the whole file is one text",
                "key: value; is a space missing after the colon?",
                f"{key[:40]}: {rest.split()[0][:40]}",
            )
        else:
            self.refuse("not-key-value", root.mark, "the whole file is one text", "key: value", "key: value")
