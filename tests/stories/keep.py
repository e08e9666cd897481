"""`python -m tests.stories.keep [PYTEST OPTION...]`: writes the kept texts anew, and shows what changed.

Read every changed line slowly before it is committed: would you act on it, lying under a truck?
"""

from __future__ import annotations

import difflib
import os
import sys
from pathlib import Path

import pytest

from tests.stories.telling import EXPECTED, KEEP


def main(options: list[str]) -> int:
    before = _texts()
    os.environ[KEEP] = "1"
    code = int(pytest.main(["-n", "0", "-q", str(Path(__file__).parent), *options]))
    after = _texts()
    for name in sorted(before.keys() | after.keys()):
        old, new = before.get(name, ""), after.get(name, "")
        sys.stdout.writelines(difflib.unified_diff(old.splitlines(True), new.splitlines(True), name, name))
    return code


def _texts() -> dict[str, str]:
    return {file.name: file.read_text(encoding="utf-8") for file in EXPECTED.glob("*.txt")}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
