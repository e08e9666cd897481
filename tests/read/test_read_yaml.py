"""The strict YAML reader against the known traps of YAML 1.1 and of PyYAML.

Resolutions named here (octal, sexagesimal, booleans, merge, timestamps) are those of the YAML 1.1 type
repository (yaml.org/type); syntax is YAML 1.1. The reader must do none of them. Where only our own choice
is tested (caps, refusing tabs), the test says so.
"""

from __future__ import annotations

import json
import time

import pytest
import yaml

from precheck.model.node import Items, Map, Text
from precheck.model.problem import Mark
from precheck.read.strict_yaml import MAX_DEPTH, MAX_NODES, MAX_TEXT, read_yaml


def refused(data, loader, name="form.yaml"):
    """(line, column, code) of every problem; nothing was read."""
    source, problems = read_yaml(data if isinstance(data, bytes) else data.encode(), name, loader=loader)
    assert source is None
    assert problems
    assert all(p.file == name and p.code and p.found and p.expected for p in problems)
    return [(p.mark.line, p.mark.column, p.code) for p in problems]


def problem(data, loader):
    (only,) = read_yaml(data if isinstance(data, bytes) else data.encode(), "f", loader=loader)[1]
    return only


def accepted(data, loader):
    source, problems = read_yaml(data if isinstance(data, bytes) else data.encode(), "f", loader=loader)
    assert problems == ()
    assert source is not None
    return source


def plain(node):
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Items):
        return [plain(item) for item in node]
    return {entry.key.text: plain(entry.value) for entry in node.entries}


_WRITTEN = """
    0512 010 0777 0508 0819 0917 2319
    21:05 1:30 9:05 24:00 12:30:45 07:30 00:15 1:60 190:20:30.15
    NO no off on yes y n Y true false null ~ Null
    1e3 1.0e3 1E10 12E5 1.0e+3 1.0e+400
    .nan .inf -.inf +.inf nan inf Infinity
    2024-01-15 2024-01-15T25:00:00 2001-12-14t21:59:43.10-05:00 2024-02-30 2024-13-45 2024-1-5 15/01/2024
    1_000 1__2 1_0.5 1,000 3,5 0x1F 0b101 3.10 1.20 2/32 10% 5" -5 = <<
"""
AS_WRITTEN = _WRITTEN.split()


@pytest.mark.parametrize("written", [*AS_WRITTEN, "-5 C", "1 1/16 in", "9" * 5000, "0x" + "f" * 10000])
def test_a_plain_value_stays_the_letters_written(written, loader):
    # YAML 1.1 types int, float, bool, null, timestamp, value, merge: none is applied
    source = accepted(f"a: {written}\n", loader)
    (entry,) = source.root.entries
    assert entry.value == Text(written, True, Mark(1, 4))


@pytest.mark.parametrize("written", ["NO", "0512", "2024-01-02", "1", "1.0", "true", "null", "~", "="])
def test_a_plain_key_stays_the_letters_written(written, loader):
    assert plain(accepted(f"{written}: 3\n", loader).root) == {written: "3"}


def test_keys_that_yaml_would_merge_stay_three_keys(loader):
    # with YAML 1.1 types 1, 1.0 and true become one Python key
    assert plain(accepted("1: a\n1.0: b\ntrue: c\n", loader).root) == {"1": "a", "1.0": "b", "true": "c"}


def test_plain_and_quoted_text_are_told_apart(loader):
    entries = accepted("a: x\nb: 'x'\nc: \"x\"\nd: |\n  x\ne:\nf: ''\n", loader).root.entries
    assert [e.value.plain for e in entries] == [True, False, False, False, True, False]
    assert [e.value.empty for e in entries] == [False, False, False, False, True, False]


def test_marks_count_lines_and_characters_from_one(loader):
    root = accepted("\ufeff# heading\nnäme: [ü, {b: c}]\r\nlist:\n  - x\r  - y\n", loader).root
    inner = root.get("näme")
    assert root.mark == Mark(2, 1)
    assert inner.mark == Mark(2, 7)
    assert inner.items[0].mark == Mark(2, 8)
    assert inner.items[1].mark == Mark(2, 11)
    assert [item.mark for item in root.get("list")] == [Mark(4, 5), Mark(5, 5)]


def test_the_source_keeps_the_lines(loader):
    source = accepted("a: 1\nb:   2 # why\n", loader)
    assert source.line(source.root.get("b").mark) == "b:   2 # why"


def test_an_explicit_document_start_and_end_are_fine(loader):
    assert plain(accepted("# x\n---\na: 1\n...\n", loader).root) == {"a": "1"}


REFUSED = {
    "twice": ("a: 1\na: 2\n", [(2, 1, "duplicate-key")]),
    "twice nested": ("v:\n  a: 1\n  b: 2\n  a: 3\n", [(4, 3, "duplicate-key")]),
    "twice in braces": ("v: {a: 1, a: 2}\n", [(1, 11, "duplicate-key")]),
    "quoted and plain are one key": ("a: 1\n'a': 2\n", [(2, 1, "duplicate-key")]),
    "merge": ("<<: {x: 1}\n", [(1, 1, "merge-key")]),
    "anchor": ("a: &x 1\n", [(1, 4, "anchor")]),
    "anchor on a list": ("a: &x [1]\n", [(1, 4, "anchor")]),
    "alias": ("a: *x\n", [(1, 4, "alias")]),
    "anchor and alias": ("a: &x 1\nb: *x\n", [(1, 4, "anchor"), (2, 4, "alias")]),
    "itself": ("&a [*a]\n", [(1, 1, "anchor"), (1, 5, "alias")]),
    "alias as key": ("*x : 1\n", [(1, 1, "alias")]),
    "bare ampersand": ("a: &\n", [(1, 4, "anchor")]),
    "bold text": ("a: **very** loose\n", [(1, 4, "alias")]),
    "tag": ("a: !x 1\n", [(1, 4, "tag")]),
    "python tag": ("a: !!python/object/apply:os.getcwd []\n", [(1, 4, "tag")]),
    "binary tag": ("a: !!binary aGVsbG8=\n", [(1, 4, "tag")]),
    "set tag": ("a: !!set {x}\n", [(1, 4, "tag")]),
    "omap tag": ("a: !!omap [x: 1]\n", [(1, 4, "tag")]),
    "str tag": ("a: !!str 0512\n", [(1, 4, "tag")]),
    "verbatim tag": ("a: !<x> 1\n", [(1, 4, "tag")]),
    "bare exclamation": ("a: ! 1\n", [(1, 4, "tag")]),
    "unknown tag handle": ("a: !e!x 1\n", [(1, 4, "tag")]),
    "list as key": ("? [a]\n: 1\n", [(1, 3, "key-not-text")]),
    "template braces": ("{{x}}\n", [(1, 2, "key-not-text")]),
    "empty key": (": 3\n", [(1, 1, "key-not-text")]),
    "empty quoted key": ("'': 3\n", [(1, 1, "key-not-text")]),
    "two documents": ("a: 1\n---\nb: 2\n", [(2, 1, "second-document")]),
    "text after the end": ("a: 1\n...\nb: 2\n", [(3, 1, "second-document")]),
    "version directive": ("%YAML 1.2\n---\na: 1\n", [(1, 1, "directive")]),
    "version directive alone": ("# x\n%YAML 1.2\na: 1\n", [(2, 1, "directive")]),
    "tag directive": ("%TAG ! tag:x,2000:\n---\na: 1\n", [(1, 1, "directive")]),
    "empty": ("", [(1, 1, "empty")]),
    "blank": ("\n  \n", [(1, 1, "empty")]),
    "comments only": ("# a\n# b: 1\n", [(1, 1, "empty")]),
    "document mark only": ("---\n", [(1, 1, "empty")]),
    "no space after colon": ("a:1\n", [(1, 1, "missing-space")]),
    "no space, two lines": ("a:1\nb:2\n", [(1, 1, "missing-space")]),
    "no space inside": ("v:\n  called:Juniper\n  region: us\n", [(2, 10, "missing-space")]),
    "no space in braces": ("a: {miles:0}\n", [(1, 11, "missing-space")]),
    "nothing after a colon in braces": ("a: {b:}\n", [(1, 6, "missing-space")]),
    "only text": ("hello there\n", [(1, 1, "not-key-value")]),
    "only quoted text": ("'a: 1'\n", [(1, 1, "not-key-value")]),
    "lost comment": ("note: rim #3\n", [(1, 11, "lost-comment")]),
    "lost whole value": ("note: #3\n", [(1, 7, "lost-comment")]),
    "lost in a list": ("a: [rim #3\n ]\n", [(1, 9, "lost-comment")]),
    "lost on the second line": ("a: x\n  y #3\n", [(2, 5, "lost-comment")]),
    "colon in text": ("note: pad: thin\n", [(1, 10, "colon-in-text")]),
    "colon after brackets": ("key: [a]: b\n", [(1, 9, "colon-in-text")]),
    "quote inside quotes": ('h: "5"x"\n', [(1, 7, "text-after-quote")]),
    "apostrophe in quotes": ("a: 'it's'\n", [(1, 8, "text-after-quote")]),
    "quote never closed": ('a: 1\nh: "5\nb: 2\n', [(2, 4, "quote-not-closed")]),
    "single quote never closed": ("h: '5\n", [(1, 4, "quote-not-closed")]),
    "unknown escape": ('a: "C:\\temp\\q"\n', [(1, 12, "bad-escape")]),
    "short escape": ('a: "\\xZZ"\n', [(1, 5, "bad-escape")]),
    "escape past the last character": ('a: "x\\U00110000"\n', [(1, 6, "bad-escape")]),
    "escape far past": ('a: 1\nb: "\\UFFFFFFFF"\n', [(2, 5, "bad-escape")]),
    "surrogate": ('a: "x\\ud800"\n', [(1, 6, "surrogate")]),
    "surrogate pair": ('a: "\\ud83d\\ude00"\n', [(1, 5, "surrogate")]),
    "bracket never closed": ("a: [1, 2\nb: 3\n", [(1, 4, "bracket-not-closed")]),
    "bracket never closed, end": ("a: [1, 2", [(1, 4, "bracket-not-closed")]),
    "brace never closed": ("a: {x: 1\nb: 2\n", [(1, 4, "bracket-not-closed")]),
    "bracket never opened": ("a: {x: 1}}\n", [(1, 10, "bracket-not-opened")]),
    "starts with a bracket": ("a: ]\n", [(1, 4, "reserved-character")]),
    "double comma": ("a: [1,,2]\n", [(1, 7, "list-syntax")]),
    "question in brackets": ("a: [sure?]\n", [(1, 9, "list-syntax")]),
    "list beside its key": ("a: - b\n", [(1, 4, "list-syntax")]),
    "at sign": ("a: @x\n", [(1, 4, "reserved-character")]),
    "backtick": ("a: `x`\n", [(1, 4, "reserved-character")]),
    "percent sign first": ("a: %5\n", [(1, 4, "reserved-character")]),
    "question first": ("a: ? b\n", [(1, 4, "reserved-character")]),
    "line without colon": ("a: 1\nb\nc: 3\n", [(2, 1, "missing-colon")]),
    "too deep under a value": ("a: 1\n  b: 2\n", [(2, 3, "indentation")]),
    "between two levels": ("a:\n    b: 1\n  c: 2\n", [(3, 3, "indentation")]),
    "key after list": ("- a\nb: 1\n", [(2, 1, "indentation")]),
    "list after key": ("a: 1\n- b\n", [(2, 1, "indentation")]),
    "list item joined to text": ("- a\n - b\n", [(2, 2, "indentation")]),
    "block scalar": ("a: |x\n  b\n", [(1, 5, "block-text")]),
    "block scalar comment": ("a: >#b\n", [(1, 5, "block-text")]),
    # our own choice: the two parsers disagree about tabs
    "tab after colon": ("a:\t1\n", [(1, 3, "tab")]),
    "tab as indentation": ("a:\n\tb: 1\n", [(2, 1, "tab")]),
    "tab and more": ("a: 1\t# x\na: 2\n", [(1, 5, "tab"), (2, 1, "duplicate-key")]),
    "long key": ("k" * 1030 + ": 1\n", [(1, 1, "key-too-long")]),
    "NUL": ("a: 1\nb: x\0y\n", [(2, 5, "control-character")]),
    "escape character": ("a: \x1b[31m\n", [(1, 4, "control-character")]),
    "C1": ("a: x\u009b\n", [(1, 5, "control-character")]),
    "DEL": ("a: \x7f\n", [(1, 4, "control-character")]),
    "next line": ("a: x\u0085b: 1\n", [(1, 5, "control-character")]),
    "line separator": ("a: x\u2028b: 1\n", [(1, 5, "control-character")]),
    "byte order mark inside": ("a: 1\n\ufeffb: 2\n", [(2, 1, "control-character")]),
    "two control characters": ("a: \0\nb: \0\n", [(1, 4, "control-character"), (2, 4, "control-character")]),
}


@pytest.mark.parametrize(("data", "expected"), REFUSED.values(), ids=REFUSED)
def test_refused_with_its_place(data, expected, loader):
    assert refused(data, loader) == expected


BYTES = {
    "latin-1": ("a: 1\nb: café\n".encode("latin-1"), (2, 7)),
    "latin-1 after a two-byte letter": (b"n\xc3\xa4me: \xe9\n", (1, 7)),
    "latin-1 after carriage returns": (b"a: 1\rb: 2\r\nc: \xff\n", (3, 4)),
    "UTF-16 little": ("a: 1\n".encode("utf-16"), (1, 1)),
    "UTF-16 big": (b"\xfe\xff" + "a: 1\n".encode("utf-16-be"), (1, 1)),
    "encoded surrogate": (b"a: \xed\xa0\x80\n", (1, 4)),
    "cut short": (b"a: \xe2\x82", (1, 4)),
    "overlong": (b"a: \xc0\xaf\n", (1, 4)),
}


@pytest.mark.parametrize(("data", "place"), BYTES.values(), ids=BYTES)
def test_only_utf_8(data, place, loader):
    # RFC 3629: no surrogates, no overlong forms
    assert refused(data, loader) == [(*place, "not-utf-8")]
    assert "UTF-8" in problem(data, loader).write


def test_utf_16_without_mark_is_seen_by_its_nuls(loader):
    assert refused("a: 1\n".encode("utf-16-le"), loader)[0] == (1, 2, "control-character")


def test_escaped_control_characters_are_text(loader):
    # YAML 1.1 section 5.6; showing them safely is the work of show.visible
    assert plain(accepted('a: "\\e[31m\\0\\u202e"\n', loader).root) == {"a": "\x1b[31m\0\u202e"}


def test_an_escaped_backslash_is_no_surrogate(loader):
    assert plain(accepted('a: "\\\\ud800"\n', loader).root) == {"a": "\\ud800"}


def test_ordinary_comments_are_fine(loader):
    text = "# top\na: rim # the left one\nb: 'x' #3\nc: rim#3 #\nd: 1 ## y\n"
    assert plain(accepted(text, loader).root) == {"a": "rim", "b": "x", "c": "rim#3", "d": "1"}


def test_what_a_problem_says(loader):
    duplicate = problem("a: 1\nb: 2\na: 3\n", loader)
    assert "line 1" in duplicate.found
    assert "line 3" in duplicate.found
    assert duplicate.text == "a: 3"
    assert problem("note: pad: thin\n", loader).write == 'note: "pad: thin"'
    assert problem("note: rim #3\n", loader).write.startswith('"rim #3"')
    assert '\\"' in problem('h: "5"x"\n', loader).write
    assert "missing after the colon" in problem("a:1\n", loader).expected
    assert problem("a:1\n", loader).write == "a: 1"
    assert "one document" in problem("a: 1\n---\nb: 2\n", loader).expected
    assert problem("", loader).found == "the file is empty"
    assert problem("# x\n", loader).found == "the file holds only comments"
    assert problem("a: @x\n", loader).write == '"@x"'


def test_several_problems_in_one_run(loader):
    text = "a: 1\na: 2\nb: &x 3\nc: !t 4\nd: rim #3\n<<: 5\nnote: pad: thin\n"
    assert refused(text, loader) == [
        (2, 1, "duplicate-key"),
        (3, 4, "anchor"),
        (4, 4, "tag"),
        (5, 8, "lost-comment"),
        (6, 1, "merge-key"),
        (7, 10, "colon-in-text"),
    ]


def test_alias_bomb_costs_nothing(loader):
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 12)]
    started = time.monotonic()
    codes = {code for _, _, code in refused("\n".join(lines), loader)}
    assert codes == {"anchor", "alias"}
    assert time.monotonic() - started < 1


@pytest.mark.parametrize("depth", [500, 50_000])
@pytest.mark.parametrize("bracket", ["[", "{a: ", "- "])
def test_depth(depth, bracket, loader):
    # our own cap; composing such depths overflows the stack in PyYAML
    (place,) = refused(bracket * depth, loader)
    assert place == (1, MAX_DEPTH * len(bracket) + 1, "too-deep")


def test_depth_at_the_cap(loader):
    node = accepted("[" * MAX_DEPTH + "]" * MAX_DEPTH, loader).root
    for _ in range(MAX_DEPTH - 1):
        (node,) = node.items
    assert node.items == ()
    assert refused("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1), loader) == [(1, MAX_DEPTH + 1, "too-deep")]


def test_caps_on_size_nodes_and_text():
    # our own caps; on the default parser only, the pure one takes seconds
    assert refused(b"a" * 2_000_001, None) == [(1, 1, "too-large")]
    assert refused(b"- a\n" * MAX_NODES, None) == [(MAX_NODES, 3, "too-many")]
    assert refused("a: " + "x" * (MAX_TEXT + 1), None) == [(1, 4, "too-long")]
    assert plain(accepted("a: " + "x" * MAX_TEXT, None).root) == {"a": "x" * MAX_TEXT}


def test_many_problems_are_cut_off(loader):
    assert len(refused("a: 1\n" * 1000, loader)) == 50


def test_shares_the_reading_of_ordinary_files_with_the_json_subset(loader):
    # YAML 1.2 section 1.3: JSON is a subset; the referee is the json module
    value = {"a": ["x", {"b": "c d"}], "e": {}, "f": [], 'q"': "tab-free \\ text\nline"}
    assert plain(accepted(json.dumps(value), loader).root) == value


def test_agrees_with_the_base_loader_of_pyyaml(loader):
    # yaml.BaseLoader resolves nothing: an independent building of the same tree
    text = "v:\n  a: 0512\n  b: [NO, 'x', {c: 2/32 in}]\nw: |\n  line\n   more\n"
    text += "x: >-\n  folded\n  text\ny:\n- 1\n-\n"
    assert plain(accepted(text, loader).root) == yaml.load(text, Loader=yaml.BaseLoader)


def test_root_may_be_a_list(loader):
    assert isinstance(accepted("- a\n", loader).root, Items)
    assert isinstance(accepted("{}\n", loader).root, Map)
