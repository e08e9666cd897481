"""What both parsers accept and YAML 1.2 does not, or reads otherwise: from the YAML test suite (ids)."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from precheck.read.strict_yaml import read_yaml

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if yaml.__with_libyaml__ else [])]
REFUSED = {
    "652Z": ("{ ?foo: bar,\nbar: 42\n}\n", "list-syntax", (1, 3)),
    "9C9N": ("---\nflow: [a,\nb,\nc]\n", "indentation", (3, 1)),
    "9JBA": ("---\n[ a, b, c, ]#invalid\n", "lost-comment", (2, 13)),
    "CVW2": ("---\n[ a, b, c,#invalid\n]\n", "lost-comment", (2, 11)),
    "G5U8": ("---\n- [-, -]\n", "list-syntax", (2, 4)),
    "HM87-1": ("[?x]\n", "list-syntax", (1, 2)),
    "L24T-1": ("foo: |\n  x\n   ", "block-text", (3, 1)),
    "QB6E": ('---\nquoted: "a\nb\nc"\n', "indentation", (3, 1)),
    "S98Z": ("empty block scalar: >\n \n  \n   \n # comment\n", "block-text", (1, 21)),
    "SU5Z": ('key: "value"# invalid comment\n', "lost-comment", (1, 13)),
    "YJV2": ("[-]\n", "list-syntax", (1, 2)),
}


@pytest.mark.parametrize("loader", LOADERS)
@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_a_place(name: str, loader: Any) -> None:
    text, code, place = REFUSED[name]
    source, problems = read_yaml(text.encode(), "f", loader=loader)
    assert source is None
    assert (problems[0].code, (problems[0].mark.line, problems[0].mark.column)) == (code, place)


@pytest.mark.parametrize("loader", LOADERS)
@pytest.mark.parametrize(
    "text",
    [
        "a: [1, # one\n  2]  # two\n",
        'a: "x" # comment\n',
        'a: "x\n  y"\n',
        "a: {b: [1], # one\n# at the margin\n  c: 2}\n",
        "a: [-1, a-, '-', \"?\"]\n",
        "a: |\n  text\n",
    ],
)
def test_what_people_write_is_still_read(text: str, loader: Any) -> None:
    assert read_yaml(text.encode(), "f", loader=loader)[1] == ()
