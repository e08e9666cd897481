"""`precheck rules check`, `precheck rules prove` and `precheck rules new`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli import newrule
from precheck.cli.output import CannotJudge, emit, problems_text, stop
from precheck.model.changes import Change
from precheck.model.node import Source
from precheck.model.problem import Problems
from precheck.model.rules import Case
from precheck.read.show import visible


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser("rules", help="check, prove and write rule files", allow_abbrev=False)
    kinds = parser.add_subparsers(dest="kind", metavar="check|prove|new", required=True)
    check = kinds.add_parser(
        "check",
        help="schema, names, units and citations of rule files; exit 2 with every problem",
        allow_abbrev=False,
    )
    check.add_argument("files", metavar="FILE", nargs="*", help="local rule files; none: the library itself")
    check.set_defaults(run=run_check)
    prove = kinds.add_parser(
        "prove", help="run the cases of rules; exit 1 if one does not hold", allow_abbrev=False
    )
    prove.add_argument("files", metavar="FILE", nargs="*", help="local rule files; none: the library itself")
    prove.add_argument("--rule", metavar="ID", help="only this rule")
    prove.add_argument("--all", action="store_true", help="show the cases that hold too")
    prove.set_defaults(run=run_prove)
    newrule.add_to(kinds)


def run_check(options: argparse.Namespace) -> int:
    from precheck.answer.checking import check_files
    from precheck.rulebook.load import load, load_quickly
    from precheck.rulebook.schema import against_schema

    added = [Path(name) for name in options.files]
    opened: dict[str, Source] = {}
    try:
        book = check_files(added, load_quickly()) if added else load(opened=opened)
    except Problems as problems:
        raise stop(problems) from problems
    wrong = () if added else against_schema((), opened=opened)
    if wrong:
        raise stop(wrong)
    mine = [r for r in book.rules.values() if not added or r.file in options.files]
    cases = sum(len(r.cases) for r in mine)
    bare = [r for r in mine if not r.cases]
    lines = [f"{len(mine)} rules, {cases} cases, {len(book.points)} points and facts: no problem found."]
    lines += [f"  {rule.file}:{rule.mark.line}: {rule.id} has no cases" for rule in bare]
    lines += [f"  {change.where}: {change.rule} {said(change)}" for change in book.changes]
    emit("\n".join(visible(line) for line in lines) + "\n", sys.stdout)
    return 0


def said(change: Change) -> str:
    """A change in a few words: what is done, and for how long."""
    span = [f"{word} {day}" for word, day in (("from", change.start), ("until", change.until)) if day]
    done = {"tighten": "tightened", "loosen": "loosened"}.get(change.kind.value, change.kind.value)
    return ", ".join([done, *span])


def run_prove(options: argparse.Namespace) -> int:
    from precheck.answer.prove import prove_all
    from precheck.rulebook.load import extend, load, load_quickly

    added = [Path(name) for name in options.files]
    try:
        book = extend(load_quickly(), added) if added else load()
    except Problems as problems:
        raise stop(problems) from problems
    mine = [r for r in book.rules.values() if not options.files or r.file in options.files]
    if options.rule is not None:
        mine = [r for r in mine if r.id == options.rule]
        if not mine:
            raise CannotJudge(f"precheck: no rule '{visible(options.rule)}' in these files\n")
    proofs = prove_all(mine, book)
    wrong = [p for p in proofs if not p.holds]
    lines = []
    for proof in proofs if options.all else wrong:
        got = proof.got.value if proof.got else "not readable"
        mark = "holds" if proof.holds else "DOES NOT HOLD"
        lines.append(f"{proof.rule.file}:{proof.case.mark.line}: {proof.rule.id}: {proof.case.name}: {mark}")
        if not proof.holds or options.all:
            lines.append(f"  given {given(proof.case)}")
            lines.append(f"  expected {proof.case.expect.value}, got {got}")
    emit("\n".join(visible(line) for line in lines) + ("\n" if lines else ""), sys.stdout)
    unreadable = [problem for p in wrong for problem in p.problems]
    if unreadable:
        emit(problems_text(unreadable), sys.stdout)
    emit(
        f"{len(proofs)} cases of {len(mine)} rules: {len(proofs) - len(wrong)} hold, {len(wrong)} do not.\n",
        sys.stdout,
    )
    return 1 if wrong else 0


def given(case: Case) -> str:
    """What a case gives, on one line."""
    return ", ".join(f"{e.key.text}: {_plain(e.value)}" for e in case.given.entries) or "nothing"


def _plain(node: object) -> str:
    from precheck.model.node import Items, Map, Text

    if isinstance(node, Text):
        return node.text
    if isinstance(node, Items):
        return f"[{', '.join(_plain(n) for n in node.items)}]"
    if isinstance(node, Map):
        return f"{{{', '.join(f'{e.key.text}: {_plain(e.value)}' for e in node.entries)}}}"
    return ""
