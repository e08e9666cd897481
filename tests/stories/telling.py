"""What a story needs: commands as typed, a document to write in, and texts kept beside the tests.

A kept text is a keepsake that somebody read slowly; what a story must say stands in its assertions.
`python -m tests.stories.keep` writes the kept texts anew and shows what changed.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterable
from pathlib import Path

import pytest

from precheck.cli.main import main
from precheck.model.record import dataclass

ROOT = Path(__file__).resolve().parents[2]
EXPECTED = Path(__file__).resolve().parent / "expected"
KEEP = "PRECHECK_KEEP_STORIES"
GO, NO_GO, COULD_NOT_JUDGE, UNDECIDED = 0, 1, 2, 3


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said. `words` is the same with every run of blanks as one, for a look at sentences."""

    code: int
    out: str
    err: str

    @property
    def words(self) -> str:
        return " ".join(self.out.split())

    def part(self, *headings: str) -> str:
        """The parts of the page under these headings, the first of that name; fails where there is none."""
        return "\n".join(_part(self.out, heading) for heading in headings)

    def has(self, heading: str) -> bool:
        return any(line.startswith(heading) for line in self.out.splitlines())

    def hanging(self, start: str) -> str:
        """One item of a list as it stands: its line, and what hangs below it."""
        lines = self.out.splitlines()
        (at,) = [i for i, line in enumerate(lines) if line.lstrip().startswith(start)]
        deep = len(lines[at]) - len(lines[at].lstrip())
        taken = [lines[at]]
        for line in lines[at + 1 :]:
            if not line.strip() or len(line) - len(line.lstrip()) <= deep:
                break
            taken.append(line)
        return "\n".join(taken) + "\n"

    def item(self, start: str) -> str:
        """The same as one sentence."""
        return " ".join(self.hanging(start).split())


class Person:
    """Somebody at a terminal in the folder that holds the document."""

    def __init__(self, folder: Path, capture: pytest.CaptureFixture[str]) -> None:
        self.folder = folder
        self._capture = capture

    def has(self, fixture: str, name: str | None = None) -> Path:
        """A copy of a document of fixtures/, under the name that the person gives it."""
        file = self.folder / (name or Path(fixture).name)
        file.write_bytes((ROOT / "fixtures" / fixture).read_bytes())
        return file

    def types(self, line: str, *words: str) -> Said:
        """`precheck` and a line as a shell would split it, then words as they are. Every line of what it
        says has room on a terminal of 80 columns."""
        code = main([*shlex.split(line), *words])
        got = self._capture.readouterr()
        assert "Traceback" not in got.err
        said = Said(code, got.out, got.err)
        if not got.out.startswith(("{", "<")):
            assert max(map(len, got.out.splitlines()), default=0) <= 80
        return said


def kept(name: str, text: str) -> None:
    """Holds `text` against the kept one of this name."""
    file = EXPECTED / f"{name}.txt"
    if os.environ.get(KEEP):
        file.write_text(text, encoding="utf-8")
        return
    assert file.is_file(), f"no {file.name} yet: python -m tests.stories.keep, then read it slowly"
    assert text == file.read_text(encoding="utf-8")


def all_in(words: Iterable[str], text: str) -> None:
    """Fails with every word that is missing, not with the first alone."""
    missing = [word for word in words if word not in text]
    assert not missing, f"not said: {missing}, in:\n{text}"


def _part(text: str, heading: str) -> str:
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if line.startswith(heading)]
    assert starts, f"no part is headed {heading!r} in:\n{text}"
    end = starts[0] + 1
    while end < len(lines) and not (_headed(lines[end]) and not lines[end - 1].strip()):
        end += 1
    return "\n".join(lines[starts[0] : end]).rstrip() + "\n"


def _headed(line: str) -> bool:
    """Headings stand at the edge and begin with a word in capitals; numbered findings do not."""
    first = line.split(" ", 1)[0].rstrip(":,")
    return len(first) > 1 and first.isupper() and first.replace("-", "").isalpha()
