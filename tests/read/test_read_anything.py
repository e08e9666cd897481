"""Any bytes: a Source or positioned problems, the same with both YAML parsers. Generated inputs."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.read.show import problem_lines
from precheck.read.strict_yaml import read_yaml

PIECES = [
    *[
        "a",
        "b",
        "key",
        "1",
        ":",
        ": ",
        "  ",
        "\n",
        "\n  ",
        "\n- ",
        "- ",
        "[",
        "]",
        "{",
        "}",
        ",",
        " #",
        "# ",
        '"',
    ],
    *[
        "'",
        "\\",
        "|",
        ">",
        "&x ",
        "*x",
        "!t ",
        "%",
        "@",
        "?",
        "? ",
        "---\n",
        "...\n",
        "<<",
        "\\ud800",
        "\t",
        "é",
    ],
    *["\r\n", "\ufeff", "\x1b", "\0", "|-\n", "key: value\n", "- item\n", "key: [a, b]\n"],
]
yamlish = st.lists(st.sampled_from(PIECES), max_size=14).map(lambda pieces: "".join(pieces).encode())


def both(data):
    loaders = [yaml.SafeLoader] + ([yaml.CSafeLoader] if yaml.__with_libyaml__ else [])
    results = [read_yaml(data, "f", loader=loader) for loader in loaders]
    for source, problems in results:
        assert (source is None) == bool(problems)
        rows = len(data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").split("\n"))
        for problem in problems:
            assert 1 <= problem.mark.line <= rows
            assert problem.mark.column >= 1
            assert problem.code
            assert problem.found
            assert problem.expected
            assert problem_lines(problem)
        assert list(problems) == sorted(problems, key=lambda p: p.order)
    return results


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes(data):
    both(data)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_any_text(text):
    results = both(text.encode("utf-8", "surrogatepass"))
    assert all(source == results[0][0] for source, _ in results)


@settings(max_examples=600, deadline=None)
@given(yamlish)
def test_nearly_yaml_reads_the_same_with_both_parsers(data):
    results = both(data)
    assert all(source == results[0][0] for source, _ in results)


words = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1, max_size=8
)
trees = st.recursive(words, lambda inner: st.lists(inner) | st.dictionaries(words, inner), max_leaves=12)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(words, trees, min_size=1))
def test_what_pyyaml_writes_is_read_back(tree):
    # referee: PyYAML's own emitter, every text in double quotes
    text = yaml.safe_dump(tree, default_style='"', allow_unicode=False)
    for source, problems in both(text.encode()):
        assert problems == ()
        assert _plain(source.root) == tree


def _plain(node):
    if hasattr(node, "text"):
        return node.text
    if hasattr(node, "items"):
        return [_plain(item) for item in node.items]
    return {entry.key.text: _plain(entry.value) for entry in node.entries}


@pytest.mark.parametrize(
    "piece", [b"[", b"- ", b"? ", b"a: ", b"\n", b"\r", b"#\n", b'"', b"!", b"&a ", b"\xff", b"\t"]
)
def test_repeated_to_the_size_cap(piece):
    # bounded work on the default parser; the size is what a hostile file may have
    source, problems = read_yaml(piece * (1_999_000 // len(piece)), "f")
    assert source is None
    assert problems
