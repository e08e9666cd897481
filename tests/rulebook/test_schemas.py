"""The published schemas: valid themselves, true of every shipped file, and of one mind with the loader."""

from __future__ import annotations

import copy
import json
import re
import shutil
import socket
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from precheck.model.catalogue import Day, Kind
from precheck.model.document import Known
from precheck.model.problem import Problem, Problems
from precheck.model.rules import State
from precheck.read.files import read_file
from precheck.rulebook import limits, points, words
from precheck.rulebook.load import load
from precheck.rulebook.schema import (
    TOP_FILES,
    against,
    against_schema,
    kind_of_file,
    plain,
    schemas_folder,
)
from precheck.settle.check import check

ROOT = Path(__file__).resolve().parent.parent.parent
KINDS = (*TOP_FILES, "clauses", "condition", "local-rules", "points", "rules")
FIXTURES = sorted((ROOT / "fixtures").glob("*.yaml"))
DAY = Day(date(2024, 12, 1), False)

SMALL = Path(__file__).resolve().parent / "small"  # a library with every key of every kind of file
SMALL_FILES = sorted(
    path.relative_to(SMALL / "library").as_posix() for path in SMALL.rglob("library/**/*.yaml")
)


def data_of(path: Path) -> Any:
    source, problems = read_file(path)
    assert source is not None, problems
    return plain(source.root)


def save(path: Path, data: Any) -> Path:
    path.write_text(json.dumps(data), encoding="utf-8")  # JSON is YAML too
    return path


def schema(kind: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((schemas_folder() / f"{kind}.schema.json").read_text(encoding="utf-8"))
    return data


def parts(node: Any) -> Iterator[dict[str, Any]]:
    """Every mapping inside a schema, the schema itself first."""
    if isinstance(node, dict):
        yield node
        for value in node.values():
            yield from parts(value)
    elif isinstance(node, list):
        for value in node:
            yield from parts(value)


def resolved(kind: str, part: dict[str, Any]) -> dict[str, Any]:
    """The part with what it refers to underneath it."""
    while "$ref" in part:
        target = schema(kind)["$defs"][part["$ref"].removeprefix("#/$defs/")]
        part = {**target, **{key: value for key, value in part.items() if key != "$ref"}}
    return part


# -- the schemas themselves -------------------------------------------------------------------


def test_there_is_a_schema_for_every_kind_of_file() -> None:
    names = {path.name.removesuffix(".schema.json") for path in schemas_folder().iterdir()}
    assert names >= set(KINDS)


@pytest.mark.parametrize("path", sorted(schemas_folder().iterdir()), ids=lambda path: path.name)
def test_every_schema_is_valid_and_stands_alone(path: Path) -> None:
    data = json.loads(path.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(data)
    assert data["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert data["$id"]
    for part in parts(data):
        reference = part.get("$ref")
        assert reference is None or reference.startswith("#/$defs/"), reference
        assert "$dynamicRef" not in part


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_can_be_completed_and_explained(kind: str) -> None:
    """An editor shows title and description; a key without them is a key nobody understands."""
    data = schema(kind)
    for part in parts(data):
        for name, inner in part.get("properties", {}).items():
            if set(inner) == {"not"}:
                continue  # says that a key is absent
            got = resolved(kind, inner)
            condition = set(inner) <= {"const", "enum"}  # the `if` of a dispatch
            assert condition or (got.get("title") and got.get("description")), f"{kind}: {name}"
        for key in ("additionalProperties", "items"):
            if isinstance(part.get(key), dict):
                got = resolved(kind, part[key])
                assert got.get("title") and got.get("description"), f"{kind}: {key} of {part.get('title')}"  # noqa: PT018
    assert data["title"]
    assert data["description"]


@pytest.mark.parametrize("kind", KINDS)
def test_mappings_are_closed_and_patterns_hold_both_ends(kind: str) -> None:
    for part in parts(schema(kind)):
        if "title" in part and "object" in (part.get("type") or ()):
            assert "additionalProperties" in part or "then" in part, part["title"]
        if "pattern" in part and isinstance(part["pattern"], str):
            assert part["pattern"].startswith("^")
            assert part["pattern"].endswith(r"$(?!\n)"), "$ alone also fits before a last line end"
            assert "\\d" not in part["pattern"], "\\d takes the digits of every script"
        assert "anyOf" not in part
        assert "oneOf" not in part


def enums(kind: str, key: str) -> set[tuple[str, ...]]:
    """What the key of this name may be, wherever it is a closed list."""
    found = [p["properties"][key] for p in parts(schema(kind)) if key in p.get("properties", {})]
    found = [inner for inner in found if "title" in inner]  # not the `if` of a dispatch
    got = [resolved(kind, inner).get("enum") for inner in found]
    got += [resolved(kind, inner["items"]).get("enum") for inner in found if "items" in inner]
    return {tuple(words) for words in got if words}


@pytest.mark.parametrize(
    ("kind", "key", "words"),
    [
        ("points", "kind", [k.value for k in Kind]),
        ("facts", "kind", [k.value for k in Kind]),
        ("points", "chain", points.CHAINS),
        ("rules", "chain", points.CHAINS),
        ("uses", "chains", points.CHAINS),
        ("uses", "yard", [k.value for k in Known]),
        ("sources", "kind", words.SOURCE_KINDS),
        ("clauses", "status", words.CLAUSE_STATUS),
        ("cautions", "checked", words.CHECKED),
        ("rules", "checked", words.CHECKED),
        ("rules", "take", limits._TAKES),
        ("rules", "expect", [s.value for s in State if s is not State.SET_ASIDE]),
        ("condition", "known", [k.value for k in Known if k is not Known.SAME_AS]),
    ],
)
def test_closed_lists_are_those_of_the_loader(kind: str, key: str, words: list[str]) -> None:
    assert enums(kind, key) == {tuple(words)}


def test_a_local_file_uses_the_same_rules_and_sources() -> None:
    local, rules, sources = schema("local-rules"), schema("rules"), schema("sources")
    assert {k: v for k, v in local["$defs"].items() if k in rules["$defs"]} == rules["$defs"]
    assert local["$defs"]["source"] == sources["$defs"]["source"]


# -- shipped files ----------------------------------------------------------------------------


def test_every_file_of_the_library_fits_its_schema(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a schema wanted the network")

    monkeypatch.setattr(socket, "socket", refuse)
    assert against_schema([]) == ()


@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.name)
def test_every_good_fixture_fits_its_schema(path: Path) -> None:
    source, problems = read_file(path, path.name)
    assert source is not None, problems
    root = plain(source.root)
    assert isinstance(root, dict)
    kind = "condition" if "condition" in root else "local-rules"
    assert against(source, kind) == ()


# -- loader and schema, changed a little each time -------------------------------------------

NEW = "zzz-no-such-key"
# Mappings whose keys are names from elsewhere: only the loader knows them.
OPEN = {"typical", "applies", "given", "limits", "when", "default", "gather", "vehicle", "places", "readings",
        "nothing-found", "not-reached"}  # fmt: skip
BY_RULE = "drop ('accepted', 0, 'at')"  # wanted or not, as the rule is judged at places or once
SHAPE = {"unknown-key", "missing-key", "not-a-mapping", "not-a-list", "not-text"}

Path_ = tuple[str | int, ...]


def spots(node: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    yield path, node
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in inner:
        yield from spots(value, (*path, key))


def is_open(path: Path_) -> bool:
    """The keys of this mapping are names: a mapping under an open key, or inside one of limits, readings."""
    names = [part for part in path if isinstance(part, str)]
    near = names[-1:] if names[-1:] == ["places"] else names[-2:]
    return any(name in OPEN for name in near) and not (len(names) > 1 and names[-2] == "applies")


def changed(data: Any, path: Path_, value: Any) -> Any:
    """A copy with another value at the path; `...` drops it."""
    out = copy.deepcopy(data)
    node = out
    for part in path[:-1]:
        node = node[part]
    if not path:
        return value
    if value is ...:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return out


def once_each(data: Any, path: Path_) -> str:
    """Like spots have one name: the keys on the way, and for steps and parts their own keys."""
    node = data
    for part in path[:-1]:
        node = node[part]
    keys = ",".join(sorted(node)) if isinstance(node, dict) else ""
    return f"{[p for p in path if isinstance(p, str)]} {keys}"


def mutations(data: Any) -> Iterator[tuple[str, Any]]:
    seen: set[str] = set()
    for path, node in spots(data):
        name = once_each(data, path)
        if name in seen:
            continue
        seen.add(name)
        if isinstance(node, dict) and not is_open(path):
            yield f"add to {path}", changed(data, (*path, NEW), "x")
        if path and isinstance(path[-1], str) and not is_open(path[:-1]):
            yield f"drop {path}", changed(data, path, ...)
        others: list[Any] = [{NEW: "x"}] if isinstance(node, list | str) else []
        if isinstance(node, dict) or (isinstance(node, str) and "limits" not in path):
            others.append(["x"])  # what a limit takes, its kind says in uses.yaml
        if path and (
            isinstance(node, dict) or (isinstance(node, list) and node and isinstance(node[0], dict))
        ):
            others.append("x")
        if "given" in path or "typical" in path:
            others = []  # read when the cases are proven
        for other in others:
            yield f"{other!r} at {path}", changed(data, path, other)


def keys_offered(problems: tuple[Problem, ...]) -> set[frozenset[str]]:
    """The lists of keys that problems about the new key offer instead."""
    lists = [p.expected for p in problems if p.code == "unknown-key" and NEW in p.found]
    return {frozenset(re.sub("^one of:? ", "", text).split(", ")) for text in lists}


def compare(name: str, by_schema: tuple[Problem, ...], by_loader: tuple[Problem, ...]) -> None:
    if by_schema:
        assert by_loader, f"{name}: the schema refuses ({by_schema[0].found}), the loader takes it"
    shape = [p for p in by_loader if p.code in SHAPE]
    if shape and name != BY_RULE:
        assert by_schema, f"{name}: the loader refuses ({shape[0].found}), the schema takes it"
    offered = keys_offered(by_loader)
    if name.startswith("add") and offered:
        assert keys_offered(by_schema) == offered, name


def loader_problems(folder: Path, added: tuple[Path, ...] = ()) -> tuple[Problem, ...]:
    try:
        load(folder, added)
    except Problems as problems:
        return problems.problems
    return ()


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the small library; what did not change is parsed once."""
    read: dict[tuple[str, bytes], Any] = {}

    def read_once(path: Path, name: str) -> Any:
        key = (name, path.read_bytes())
        if key not in read:
            read[key] = read_file(path, name)
        return read[key]

    monkeypatch.setattr("precheck.rulebook.load.read_file", read_once)
    return Path(shutil.copytree(SMALL / "library", tmp_path / "rules"))


def test_the_small_library_is_good(library: Path) -> None:
    local = SMALL / "local-rules.yaml"
    assert loader_problems(library, (local,)) == ()
    assert against_schema([local], library) == ()


@pytest.mark.parametrize("name", SMALL_FILES)
def test_loader_and_schema_agree_on_library_files(name: str, library: Path) -> None:
    path = library / name
    kind = kind_of_file(path, library)
    assert kind is not None
    for what, other in mutations(data_of(path)):
        source, _ = read_file(save(path, other))
        assert source is not None
        compare(what, against(source, kind), loader_problems(library))


def test_loader_and_schema_agree_on_local_files(library: Path, tmp_path: Path) -> None:
    for what, other in mutations(data_of(SMALL / "local-rules.yaml")):
        path = save(tmp_path / "local.yaml", other)
        source, _ = read_file(path)
        assert source is not None
        compare(what, against(source, "local-rules"), loader_problems(library, (path,)))


def test_check_and_schema_agree_on_condition_documents(library: Path, tmp_path: Path) -> None:
    book = load(library)
    source, _ = read_file(SMALL / "condition.yaml")
    assert source is not None
    assert check(source, book, DAY)[1] == against(source, "condition") == ()
    for what, other in mutations(plain(source.root)):
        source, _ = read_file(save(tmp_path / "condition.yaml", other))
        assert source is not None
        compare(what, against(source, "condition"), check(source, book, DAY)[1])


@pytest.mark.parametrize("kind", KINDS)
def test_the_small_files_have_every_key(kind: str) -> None:
    """So that no key escapes the comparison."""
    folder = SMALL / "library"
    files = [folder / name for name in SMALL_FILES if kind_of_file(folder / name, folder) == kind]
    if kind == "condition":
        files = [SMALL / "condition.yaml"]
    if kind == "local-rules":
        files = [SMALL / "local-rules.yaml", *(folder / "floor").glob("[!c]*.yaml"), folder / "sources.yaml"]
    written = {
        key for path in files for spot, _ in spots(data_of(path)) for key in spot if isinstance(key, str)
    }
    known = {key for part in parts(schema(kind)) for key in part.get("properties", {})}
    assert known <= written


BESIDE = [
    ("floor/steps.yaml", ("rules", 0, "steps", 0, "over"), {"take": "count", "of": ["no"], "at": "wheels"}),
    ("floor/steps.yaml", ("rules", 0, "steps", 0, "limit"), {"is": "no"}),
    ("floor/steps.yaml", ("rules", 0, "steps", 0, "any-of"), [{"measure": "bulge", "limit": {"is": "no"}}]),
    ("floor/steps.yaml", ("rules", 0, "steps", 0, "no-worse-than"), ["no", "yes"]),
    ("floor/steps.yaml", ("rules", 0, "limit"), {"is": "no"}),
    ("floor/steps.yaml", ("rules", 0, "blocks"), ["proving"]),
    ("floor/tires.yaml", ("rules", 0, "any-of"), [{"measure": "bulge", "limit": {"is": "no"}}]),
    ("floor/parts.yaml", ("rules", 0, "any-of"), [{"measure": "bulge", "limit": {"is": "no"}}]),
    ("floor/parts.yaml", ("rules", 3, "over", "of"), ["x"]),
    ("points/tires.yaml", ("points", 0, "states"), ["a", "b"]),
    ("points/tires.yaml", ("points", 1, "dimension"), "length"),
    ("points/tires.yaml", ("points", 1, "states"), ["no", "no"]),
    ("points/tires.yaml", ("points", 2, "unit"), "mm"),
    ("points/tires.yaml", ("points", 2, "lasts"), {}),
    ("uses.yaml", ("limit-kinds", 1, "dimension"), "speed"),
    ("floor/clauses.yaml", ("clauses", 0, "rules"), []),
]


@pytest.mark.parametrize(("name", "path", "value"), BESIDE)
def test_both_refuse_what_would_be_passed_over(name: str, path: Path_, value: Any, library: Path) -> None:
    kind = kind_of_file(library / name, library)
    assert kind is not None
    source, _ = read_file(save(library / name, changed(data_of(library / name), path, value)))
    assert source is not None
    assert against(source, kind)
    assert loader_problems(library)


# -- what the check says ----------------------------------------------------------------------


def said(text: str, kind: str, tmp_path: Path) -> list[str]:
    path = tmp_path / "file.yaml"
    path.write_text(text, encoding="utf-8")
    source, problems = read_file(path, "file.yaml")
    assert source is not None, problems
    return [f"{p.mark.line}:{p.mark.column} {p.code}: {p.found}; {p.expected}" for p in against(source, kind)]


def test_problems_have_places_and_plain_words(tmp_path: Path) -> None:
    text = """\
system: Tires
points:
  - id: tread
    observe: depth
    kind: numbr
    at: wheels
    access: ground
    lasts: {days: many, weeks: 2}
    ordred: yes
  - {id: bulge, observe: bulge, kind: states, at: w, access: g, lasts: permanent, states: [no, no]}
  - id: size
    kind: text
    at: wheels
    access: ground
    lasts: forever
    observe:
      - one
"""
    got = said(text, "points", tmp_path)
    assert [":".join(line.split(":")[:2]) for line in got] == [
        "1:9 not-in-form",
        "5:11 unknown-word",
        "8:19 not-in-form",
        "8:25 unknown-key",
        "9:5 unknown-key",
        "10:91 twice",
        "15:12 unknown-word",
        "17:7 wrong-kind",
    ]
    assert "'numbr'" in got[1]
    assert "number, states, date, date-code, text" in got[1]
    assert "A whole number" in got[2]
    assert got[3].startswith(
        "8:25 unknown-key: 'weeks' is not a key of how long a reading counts; one of: days"
    )
    assert got[5].endswith("'states' holds 'no' twice; each once")
    assert got[7].endswith("'observe' is a list; a text")


def test_all_that_is_missing_is_named(tmp_path: Path) -> None:
    assert said("{}", "sources", tmp_path) == ["1:1 missing-key: this file has no 'sources'; 'sources: ...'"]
    got = said("sources:\n  - {id: a, title: b}\n", "sources", tmp_path)
    assert got == [
        f"2:5 missing-key: item 1 of 'sources' has no '{key}'; '{key}: ...'"
        for key in ("kind", "publisher", "edition", "address", "binds")
    ]


def test_a_key_that_does_not_go_with_another_says_why(tmp_path: Path) -> None:
    text = """\
rules:
  - id: a
    title: b
    cite: {source: floor, clause: c, checked: memory}
    requires: D.
    measure: tread
    limit: {at-least: 1 mm}
    steps: [{at-least: 1 mm}]
"""
    assert said(text, "rules", tmp_path) == ["7:5 key-not-here: 'limit' here; 'limit' inside each step"]


def test_operators_beside_a_limit_in_one_step_are_refused(tmp_path: Path) -> None:
    head = "rules:\n  - {id: a, title: b, cite: {source: c, clause: d, checked: memory}, requires: e, "
    head += "measure: f,\n"
    tail = "     steps: [{at-least: 1 mm, over: {take: lowest, at: wheels}}]}\n"
    (line,) = said(head + tail, "rules", tmp_path)
    assert line.startswith("3:31 key-not-here: 'over' here")


def test_names_of_free_keys_are_checked_at_the_key(tmp_path: Path) -> None:
    text = "condition: 1\nvehicle:\n  Region: us\n  called: ''\n"
    got = said(text, "condition", tmp_path)
    assert [line.partition(";")[0] for line in got] == [
        "3:3 not-a-name: the key 'Region'",
        "4:11 wrong-number: 'called' is ''",
    ]


def test_a_pattern_does_not_fit_before_a_last_line_end(tmp_path: Path) -> None:
    assert said("work: [{id: drive, words: driven}]", "work", tmp_path) == []
    (line,) = said('work: [{id: "drive\\n", words: driven}]', "work", tmp_path)
    assert line.startswith("1:13 not-in-form")


def test_many_errors_are_cut_off(tmp_path: Path) -> None:
    text = "work:\n" + "".join(f"  - {{id: Bad {n}, words: x}}\n" for n in range(200))
    assert len(said(text, "work", tmp_path)) == 50


def test_plain_data_of_a_file(tmp_path: Path) -> None:
    path = tmp_path / "file.yaml"
    path.write_text("a: 0512\nb:\nc: [no, {d: ''}]\ne: ~\n", encoding="utf-8")
    source, _ = read_file(path)
    assert source is not None
    assert plain(source.root) == {"a": "0512", "b": None, "c": ["no", {"d": ""}], "e": None}


def test_a_file_that_nothing_reads_is_a_problem(library: Path) -> None:
    shutil.copy(library / "work.yaml", library / "extra.yaml")
    shutil.copytree(library / "floor", library / "us" / "floor")
    got = [(p.file, p.code) for p in against_schema([], library)]
    assert got == [
        ("rules/extra.yaml", "stray-file"),
        *((f"rules/us/floor/{name}.yaml", "stray-file") for name in ("clauses", "parts", "steps", "tires")),
    ]


def test_a_file_that_cannot_be_read_is_a_problem(library: Path, tmp_path: Path) -> None:
    (library / "work.yaml").write_bytes(b"work: \xff")
    missing = tmp_path / "none.yaml"
    got = [(p.file, p.code) for p in against_schema([missing], library)]
    assert got == [(str(missing), "no-such-file"), ("rules/work.yaml", "not-utf-8")]
