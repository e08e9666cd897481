"""What is said to each file with a mistake. `python -m tests.messages.said` writes it anew: read it all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from precheck.answer.checking import check_files
from precheck.cli.output import problems_text
from precheck.model.catalogue import Day
from precheck.model.problem import Problem, Problems
from precheck.read.files import read_file
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

HERE = Path(__file__).parent
RULES = sorted((HERE / "files").glob("*.yaml"))
BROKEN = HERE.parent.parent / "fixtures" / "broken"
EXPECTED = HERE / "expected"
DAY = Day(date(2026, 11, 14), True)
# The documents whose mistakes people make most, by the name of their file without its number.
LIKELY = (
    "duplicate-key", "tab-indent", "colon-in-text", "missing-space", "missing-colon", "unclosed-bracket",
    "indentation", "unclosed-quote", "no-condition", "unknown-key-top", "unknown-key-visit",
    "unknown-key-reading", "readings-a-list", "nothing-after-key", "reading-under-vehicle", "unknown-fact",
    "fact-values", "unknown-point", "unknown-place", "rear-tire-of-duals", "no-spare", "number-without-place",
    "place-of-a-point-taken-once", "unknown-state", "yes-for-a-state", "decimal-comma", "thousands-comma",
    "fraction-sign", "inch-marks", "no-unit", "unknown-unit", "wrong-dimension", "fractions", "date-forms",
    "no-such-date", "visit-without-date",
)  # fmt: skip


def documents() -> list[Path]:
    """The likely documents that are there, in the order of their numbers."""
    return [p for p in sorted(BROKEN.glob("*.yaml")) if p.stem.partition("-")[2] in LIKELY]


def of_document(path: Path, book: Rulebook) -> list[Problem]:
    source, found = read_file(path, path.name)
    if source is not None:
        _, found = check(source, book, DAY)
    return list(found)


def of_rules(path: Path, book: Rulebook) -> list[Problem]:
    try:
        check_files([path], book)
    except Problems as problems:
        return [*problems.problems]
    return []


def said(path: Path, book: Rulebook) -> str:
    """Every word, with the file under its bare name."""
    found = of_rules(path, book) if path.parent.name == "files" else of_document(path, book)
    bare = {str(path): path.name}
    return problems_text(
        replace(p, file=bare.get(p.file, p.file), found=_short(p.found, path)) for p in found
    )


def _short(words: str, path: Path) -> str:
    return words.replace(f"{path.parent}/", "")


def expected(path: Path) -> Path:
    kind = "rules" if path.parent.name == "files" else "documents"
    return EXPECTED / kind / f"{path.stem}.txt"


if __name__ == "__main__":
    book = load_quickly()
    for path in (*RULES, *documents()):
        expected(path).parent.mkdir(parents=True, exist_ok=True)
        expected(path).write_text(said(path, book), encoding="utf-8")
