"""`precheck rules new`: a rule of one's own, from options or from answers at the terminal."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from precheck.cli.output import CannotJudge, emit, problems_text
from precheck.model.node import Map, Source, Text
from precheck.model.problem import Problem, Problems
from precheck.model.record import replace
from precheck.read.files import read_file
from precheck.read.near import near
from precheck.read.show import visible

if TYPE_CHECKING:
    from precheck.answer.newrule import Wish
    from precheck.rulebook.book import Rulebook

_KINDS = ("law", "regulation", "standard", "manual", "handbook", "common practice", "own")
# Option, what is asked at the terminal, what an empty answer stands for (None: it must be answered).
_ASKED: tuple[tuple[str, str, str | None], ...] = (
    ("id", "a short name for the rule, lower-case words joined by hyphens", None),
    ("title", "its title, a few words", None),
    ("measure", "the point it judges (precheck show points lists them)", None),
    ("limit", "the limit, such as: at-least 2/32 in; at-most 1 in; no-worse-than sound; is no", None),
    ("blocks", "the lowest use a failure rules out (yard, proving, occasional, everyday, night ...)", None),
    ("asks", "the use from which a missing reading leaves it open; empty: never", ""),
    ("clause", "where it stands in the source: a page, a section", None),
    ("checked", "how you read it: text (in the source itself), secondary (quoted elsewhere), memory", "text"),
)
_SOURCE: tuple[tuple[str, str, str | None], ...] = (
    ("source", "a short name for the source, such as: my-handbook", None),
    ("source-title", "the title of the source", None),
    ("source-kind", f"its kind: {', '.join(_KINDS)}", "own"),
    ("publisher", "who published it", "the owner"),
    ("edition", "its edition or year", "not said"),
    ("address", "its official address (https://...); empty: none, it then stands as own", "none"),
    ("binds", "whom it binds: road, inspection, nobody", "nobody"),
)
_SOURCE_KEYS = {"source": "id", "source-title": "title", "source-kind": "kind"}
_MORE = ("requires", "at", "chain", "fix", "note")


def add_to(kinds: Any) -> None:
    new = kinds.add_parser(
        "new",
        help="write a rule of one's own, with cases; asks at a terminal for what no option says",
        description="Writes a local rule file with one rule and its cases, or adds the rule to a file that "
        "is there. What is written was checked and proven first. No file is ever overwritten.",
        allow_abbrev=False,
    )
    for name, words, _ in (*_ASKED, *_SOURCE):
        new.add_argument(f"--{name}", metavar="TEXT", help=words.replace("%", "%%"))
    for name in _MORE:
        new.add_argument(f"--{name}", metavar="TEXT", default="", help=f"the key '{name}' of the rule")
    where = new.add_mutually_exclusive_group(required=True)
    where.add_argument("--out", metavar="FILE", type=Path, help="a new file, which is not there yet")
    where.add_argument("--add-to", metavar="FILE", type=Path, help="a local rule file that is there already")
    new.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.rulebook.load import load_quickly

    book = load_quickly()
    there = _there(options)
    wanted = [*_ASKED, *(() if there else _SOURCE)]
    said = answers(options, wanted, _terminal() if sys.stdin.isatty() else None, book)
    wish = _wish(said, options, there)
    _known(wish, book)
    text, cases = _composed(wish, book, there, options.add_to or options.out)
    _write(text, options.add_to, options.out)
    path = options.add_to or options.out
    emit(
        f"{visible(str(path))}: rule '{visible(wish.id)}' with {cases} cases, checked and proven.\n"
        f"Use it: precheck gate FILE --rules {visible(str(path))}\n",
        sys.stdout,
    )
    return 0


# -- what is wished ---------------------------------------------------------------------------------


def answers(
    options: argparse.Namespace,
    wanted: Sequence[tuple[str, str, str | None]],
    ask: Callable[[str], str] | None,
    book: Rulebook,
) -> dict[str, str]:
    """What the options say, and what `ask` answers for the rest; without it what is missing stops."""
    said: dict[str, str] = {}
    missing = []
    for name, words, usual in wanted:
        value = getattr(options, name.replace("-", "_"))
        if value is not None and not value.strip():
            value = usual  # an empty option means what an empty answer means
        if value is None and ask is not None:
            value = _asked(name, words, usual, ask, book)
        if value is None and usual is None:
            missing.append(f"  --{name}: {words}")
        said[name] = value if value is not None else usual or ""
    if missing:
        raise CannotJudge("\n".join(["precheck: rules new also needs", *missing, ""]))
    return said


def _asked(name: str, words: str, usual: str | None, ask: Callable[[str], str], book: Rulebook) -> str | None:
    """One answer from the terminal; a point that is not known is asked again, with the nearest names."""
    hint = f" [{usual or 'nothing'}]" if usual is not None else ""
    for _ in range(5):
        value = ask(f"{name}: {words}{hint}\n> ").strip()
        if not value and usual is None:
            continue
        if name != "measure" or value in book.points:
            return value or usual
        close = near(value, list(book.points))
        emit(f"no point is called '{visible(value)}'; near: {', '.join(close) or 'none'}\n", sys.stderr)
    return None


def _terminal() -> Callable[[str], str]:
    def ask(prompt: str) -> str:
        emit(prompt, sys.stderr)
        line = sys.stdin.readline()
        if not line:
            raise CannotJudge("precheck: the answers ended; nothing was written\n")
        return line

    return ask


def _wish(said: dict[str, str], options: argparse.Namespace, there: Source | None) -> Wish:
    from precheck.answer.newrule import Wish

    source = {_SOURCE_KEYS.get(name, name): said[name] for name, _, _ in _SOURCE if name in said}
    if there is not None:
        source = {"id": _source_id(there)}
    blocks = tuple(part.strip() for part in said["blocks"].split(",") if part.strip())
    return Wish(
        said["id"], said["title"], said["measure"], said["limit"], said["clause"], said["checked"], source,
        blocks=blocks, asks=said["asks"], **{name: getattr(options, name) for name in _MORE},
    )  # fmt: skip


def _there(options: argparse.Namespace) -> Source | None:
    """The file to add to, read; or None where a new one is to be written, which must not be there."""
    if options.add_to is None:
        if os.path.lexists(options.out):
            raise CannotJudge(
                f"precheck: {visible(str(options.out))} is there already, and nothing is overwritten; "
                "name another file, or say --add-to\n"
            )
        return None
    source, problems = read_file(options.add_to)
    if source is None:
        raise CannotJudge(problems_text(problems))
    if not isinstance(source.root, Map) or not _source_id(source):
        raise CannotJudge(f"precheck: {visible(str(options.add_to))} is no local rule file with a source\n")
    return source


def _source_id(source: Source) -> str:
    found = source.root.get("source") if isinstance(source.root, Map) else None
    name = found.get("id") if isinstance(found, Map) else None
    return name.text if isinstance(name, Text) else ""


def _known(wish: Wish, book: Rulebook) -> None:
    """What a better word than a problem of the written file can be said of."""
    from precheck.answer.newrule import OPERATORS

    if wish.measure in book.derived:
        inputs = ", ".join(book.derived[wish.measure].inputs)
        raise CannotJudge(
            f"precheck: '{wish.measure}' is worked out from {inputs}. Rules on such values are written by "
            "hand, as their cases must give those; rules/README.md says how.\n"
        )
    word = wish.limit.strip().partition(" ")[0].removesuffix(":")
    if word not in OPERATORS:
        close = near(word, OPERATORS)
        hint = f"; did you mean {' or '.join(close)}?" if close else ""
        raise CannotJudge(
            f"precheck: --limit begins with '{visible(word)}'{hint}\n  one of: {', '.join(OPERATORS)}\n"
            "  such as: --limit 'at-least 2/32 in'\n"
        )


# -- what is written ----------------------------------------------------------------------------------


def _composed(wish: Wish, book: Rulebook, there: Source | None, path: Path) -> tuple[str, int]:
    """The text of the file, checked and proven, and how many cases the rule has."""
    from precheck.answer.append import with_rule
    from precheck.answer.newrule import Made, cases_of, facts_for, file_text, rule_lines
    from precheck.answer.prove import prove_all

    def text(cases: tuple[Made, ...]) -> str:
        if there is None:
            return file_text(wish, book, cases)
        found = with_rule(there, lambda indent: rule_lines(wish, book, cases, indent))
        if found is None:
            raise CannotJudge(
                f"precheck: 'add:' of {visible(str(path))} is written on one line; write its rules on lines "
                "of their own first, each beginning with '- '\n"
            )
        return found

    bare = _loaded(text(()), book, path)
    if wish.id not in bare.rules:
        raise CannotJudge(f"precheck: rule '{visible(wish.id)}' cannot be read back; choose plainer words\n")
    usual = there.root.get("typical") if there is not None and isinstance(there.root, Map) else None
    known = {entry.key.text for entry in usual.entries} if isinstance(usual, Map) else set()
    needed = facts_for(wish, book, needed=True) if there is not None else {}
    more = {fact: word for fact, word in needed.items() if fact not in known}
    cases = cases_of(bare.rules[wish.id], book, more)
    whole = text(cases)
    loaded = _loaded(whole, book, path)
    wrong = [p for p in prove_all([loaded.rules[wish.id]], loaded) if not p.holds]
    if wrong:
        named = "\n".join(f"  {p.case.name}: expected {p.case.expect.value}" for p in wrong)
        raise CannotJudge(
            f"precheck: these cases would not hold, so nothing was written:\n{visible(named)}\n"
        )
    return whole, len(cases)


def _loaded(text: str, book: Rulebook, path: Path) -> Rulebook:
    """The rulebook with the file as it would be. Raises CannotJudge with everything wrong in it."""
    from precheck.rulebook.load import extend
    from precheck.rulebook.schema import against

    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / path.name
        trial.write_text(text, encoding="utf-8")
        try:
            found = extend(book, [trial])
        except Problems as problems:
            raise _not_good(problems.problems, path) from problems
        source, wrong = read_file(trial)
    wrong = (*wrong, *(against(source, "local-rules") if source else ()))
    if wrong:
        raise _not_good(wrong, path)
    return found


def _not_good(problems: Sequence[Problem], path: Path) -> CannotJudge:
    """Problems of the trial file, under the name it would have had."""
    named = problems_text(replace(problem, file=str(path)) for problem in problems)
    return CannotJudge(f"precheck: nothing was written; the file would not be right:\n\n{named}")


def _write(text: str, add_to: Path | None, out: Path | None) -> None:
    path = add_to or out
    assert path is not None
    try:
        if add_to is None:
            with open(path, "x", encoding="utf-8") as file:
                file.write(text)
            return
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        os.chmod(name, path.stat().st_mode & 0o777)
        os.replace(name, path)
    except OSError as error:
        raise CannotJudge(f"precheck: cannot write {visible(str(path))}: {error.strerror}\n") from error
