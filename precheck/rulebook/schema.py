"""Holds files against their published schema in schemas/, with the line and column of every error.

The loader decides what a rule file means; the schemas tell its shape to editors and to other programs.
This check finds the two drifting apart, and says in our own words what does not fit. Nothing is ever fetched.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from precheck.model.node import Items, Map, Node, Source
from precheck.model.problem import Mark, Problem
from precheck.read.files import read_file
from precheck.read.near import near
from precheck.rulebook.load import rules_folder

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError

Plain = dict[str, Any] | list[Any] | str | None
Path_ = tuple[str | int, ...]

TOP_FILES = ("cautions", "derived", "facts", "parts", "places", "regions", "sources", "units", "uses", "work")
NONE_OPENED: Mapping[str, Source] = MappingProxyType({})
_MOST = 50  # problems of one file


def schemas_folder() -> Path:
    """The schemas that came with precheck: beside the package in a checkout, inside it in a wheel."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "data" / "schemas", package.parent / "schemas"):
        if (folder / "condition.schema.json").is_file():
            return folder
    raise FileNotFoundError("the schemas/ that belong to precheck are missing; install it again")


def plain(node: Node) -> Plain:
    """The node as dictionaries, lists and texts; None for `key:` with nothing after it."""
    if isinstance(node, Map):
        return {entry.key.text: plain(entry.value) for entry in node.entries}
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    return None if node.empty else node.text


def kind_of_file(path: Path, folder: Path) -> str | None:
    """Which schema a file of the rules folder has; None where the loader reads no such file."""
    parts = path.relative_to(folder).parts
    if len(parts) == 1:
        return path.stem if path.stem in TOP_FILES else None
    if len(parts) != 2:
        return None
    if parts[0] == "points":
        return "points"
    return "clauses" if path.stem == "clauses" else "rules"


def against_schema(
    added: Sequence[Path], folder: Path | None = None, opened: Mapping[str, Source] = NONE_OPENED
) -> tuple[Problem, ...]:
    """Every file of the library and every added file that does not fit its schema, ordered by place.

    `opened` are files by name that were read already; the others are read here.
    """
    library = folder or rules_folder()
    found: list[Problem] = []
    for path in sorted(library.rglob("*.yaml")):
        name = f"rules/{path.relative_to(library).as_posix()}"
        kind = kind_of_file(path, library)
        if kind is None:
            expected = f"rules/SOURCE/SYSTEM.yaml, rules/points/SYSTEM.yaml, or one of {', '.join(TOP_FILES)}"
            found.append(Problem(name, Mark(1, 1), "stray-file", "nothing reads this file", expected))
            continue
        found += against(opened[name], kind) if name in opened else _file(path, name, kind)
    for path in added:
        found += _file(path, str(path), "local-rules")
    return tuple(sorted(found, key=lambda problem: problem.order))


def _file(path: Path, name: str, kind: str) -> tuple[Problem, ...]:
    source, problems = read_file(path, name)
    return problems if source is None else against(source, kind)


def against(source: Source, kind: str) -> tuple[Problem, ...]:
    """What does not fit the schema `kind`, ordered by place, the most telling first at each place."""
    from jsonschema.exceptions import best_match, relevance

    spots = _Spots(source)
    got: dict[tuple[Mark, str, str], Problem] = {}
    errors = sorted(_validator(kind).iter_errors(plain(source.root)), key=relevance, reverse=True)
    for error in errors:
        for problem in spots.problems(best_match([error]) or error):
            got.setdefault((problem.mark, problem.code, problem.found), problem)
    return tuple(sorted(got.values(), key=lambda p: p.mark))[:_MOST]


@cache
def _validator(kind: str) -> Any:
    from jsonschema import Draft202012Validator
    from referencing import Registry

    schema = json.loads((schemas_folder() / f"{kind}.schema.json").read_text(encoding="utf-8"))
    empty: Registry[Any] = Registry()  # retrieves nothing
    return Draft202012Validator(_spelled_out(schema), registry=empty)


def _spelled_out(schema: dict[str, Any]) -> dict[str, Any]:
    """The schema with each `$ref` (to `#/$defs/NAME`) replaced by what it names: looking them up took a third
    of the time of a check. A definition that holds itself becomes a circle."""
    definitions: dict[str, Any] = schema.get("$defs", {})
    done: dict[int, Any] = {}

    def spelled(node: Any) -> Any:
        if isinstance(node, list):
            return [spelled(item) for item in node]
        if not isinstance(node, dict):
            return node
        if "$ref" in node:
            return spelled(definitions[node["$ref"].rpartition("/")[2]])
        if id(node) not in done:
            done[id(node)] = {}
            done[id(node)].update({key: spelled(value) for key, value in node.items() if key != "$defs"})
        return done[id(node)]

    out: dict[str, Any] = spelled(schema)
    return out


class _Spots:
    """Where the values of one file stand, and its schema errors in a person's words."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.values: dict[Path_, Mark] = {}
        self.keys: dict[Path_, Mark] = {}
        self._collect(source.root, ())

    def _collect(self, node: Node, path: Path_) -> None:
        self.values[path] = node.mark
        if isinstance(node, Map):
            for entry in node.entries:
                here = (*path, entry.key.text)
                self.keys[here] = entry.key.mark
                self._collect(entry.value, here)
        elif isinstance(node, Items):
            for index, item in enumerate(node.items):
                self._collect(item, (*path, index))

    def _problem(
        self, mark: Mark, code: str, found: str, expected: str, close: tuple[str, ...] = ()
    ) -> Problem:
        return Problem(self.source.name, mark, code, found, expected, "", close, self.source.line(mark))

    def problems(self, error: ValidationError) -> Iterator[Problem]:
        path: Path_ = tuple(error.absolute_path)
        here = self.values[path]
        schema: Mapping[str, Any] = error.schema if isinstance(error.schema, Mapping) else {}
        value: Any = error.instance
        if "propertyNames" in error.absolute_schema_path:
            key = str(value)
            expected = f"{schema.get('description', 'another key')}{_example(schema)}"
            yield self._problem(
                self.keys.get((*path, key), here), "not-a-name", f"the key {_shown(key)}", expected
            )
        elif error.validator == "additionalProperties":
            known = list(schema.get("properties", ()))
            for key in value:
                if key not in known:
                    found = f"'{key}' is not a key of {_what(schema)}"
                    mark = self.keys[(*path, key)]
                    yield self._problem(
                        mark, "unknown-key", found, f"one of: {', '.join(known)}", near(key, known)
                    )
        elif error.validator == "required":
            required: Any = error.validator_value
            for key in (key for key in required if key not in value):
                yield self._problem(here, "missing-key", f"{_name(path)} has no '{key}'", f"'{key}: ...'")
        elif error.validator == "not" and path:
            mark = self.keys.get(path, here)
            yield self._problem(mark, "key-not-here", f"'{path[-1]}' here", _line(schema, "another key"))
        else:
            code, found, expected, close = _value_error(error, _name(path), schema)
            yield self._problem(here, code, found, expected, close)


def _value_error(
    error: ValidationError, name: str, schema: Mapping[str, Any]
) -> tuple[str, str, str, tuple[str, ...]]:
    """Code, finding, what was expected and near misses, for an error of one value."""
    value: Any = error.instance
    limit: Any = error.validator_value
    if error.validator == "type":
        wanted = [limit] if isinstance(limit, str) else list(limit)
        kinds = dict.fromkeys(_KINDS[word] for word in wanted if word in _KINDS)
        return "wrong-kind", f"{name} is {_shown(value)}", " or ".join(kinds), ()
    if error.validator in ("enum", "const"):
        words = [word for word in (limit if error.validator == "enum" else [limit]) if isinstance(word, str)]
        close = near(value, words) if isinstance(value, str) else ()
        return "unknown-word", f"{name} is {_shown(value)}", f"one of: {', '.join(words)}", close
    if error.validator == "pattern":
        expected = f"{_line(schema, 'another text')}{_example(schema)}"
        return "not-in-form", f"{name} is {_shown(value)}", expected, ()
    if error.validator == "uniqueItems":
        twice = next(item for item in value if value.count(item) > 1)
        return "twice", f"{name} holds {_shown(twice)} twice", "each once", ()
    words_of_limit = _LIMITS.get(str(error.validator))
    if words_of_limit:
        found = f"{name} is {_shown(value)}"
        if isinstance(value, list | dict):
            found = f"{name} has {len(value)} entr{'y' if len(value) == 1 else 'ies'}"
        return "wrong-number", found, words_of_limit.format(limit), ()
    return "schema", f"{name} does not fit", _line(schema, str(error.validator)), ()


_KINDS = {
    "object": "a mapping (key: value lines)",
    "array": "a list",
    "string": "a text",
    "null": "nothing",
}
_LIMITS = {
    "minItems": "at least {} in the list",
    "maxItems": "at most {} in the list",
    "minProperties": "at least {} of its keys",
    "maxProperties": "at most {} of its keys",
    "minLength": "a text of at least {} character",
    "maxLength": "a text of at most {} characters",
}


def _name(path: Path_) -> str:
    """What a value is called: its key, or which item of which list it is."""
    if not path:
        return "this file"
    keys = [part for part in path if isinstance(part, str)]
    if isinstance(path[-1], int):
        return f"item {path[-1] + 1} of '{keys[-1]}'" if keys else f"item {path[-1] + 1}"
    return f"'{path[-1]}'"


def _what(schema: Mapping[str, Any]) -> str:
    title = str(schema.get("title", "this mapping"))
    return title[:1].lower() + title[1:]


def _line(schema: Mapping[str, Any], otherwise: str) -> str:
    return str(schema.get("description", otherwise))


def _example(schema: Mapping[str, Any]) -> str:
    examples = schema.get("examples")
    return f" Such as: {examples[0]}" if examples else ""


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return _KINDS["object"]
    if isinstance(value, list):
        return _KINDS["array"]
    if value is None:
        return _KINDS["null"]
    text = str(value)
    return f"'{text if len(text) <= 60 else text[:57] + '...'}'"
