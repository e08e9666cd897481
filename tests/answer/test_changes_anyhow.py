"""Whatever a local file says: nothing loosens without a visible, dated, reasoned line; the floor holds."""

from __future__ import annotations

import json
import random
import re
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from html import unescape
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request, gate
from precheck.answer.judging import judge_for
from precheck.answer.plan import plan
from precheck.answer.record import Answer
from precheck.answer.uses import with_their_own
from precheck.engine.logic import BAD, OPEN
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.problem import Problems
from precheck.model.rules import Op, Rule, Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.report import as_json, text
from precheck.report.html.gate import render as as_html
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import plain_tests
from precheck.rulebook.load import extend, load_quickly
from precheck.settle.check import check
from tests.support.goodvalues import document, good_readings

DAY = Day(date(2026, 11, 14), True)
LIBRARY = load_quickly()
SOURCES = ("floor", "us-49cfr570", "us-49cfr393", "tire-trade")
FILES = 60  # local files tried; each gate judges four times
BAD_VALUES = {
    "tire-tread-depth": ("1/32 in", "3/32 in", "3/32 in", "3/32 in"),
    "tire-size-marking": ("7.50-16",),
    "tire-date-code": ("0109", "unknown"),
    "tire-bulge": ("yes",),
    "tire-cracking": ("fine surface lines", "many visible cracks"),
    "tire-wear-bars-level": ("yes",),
}
# The rules that those values fail, drawn more often than others.
LIKELY = ("us-393-75b-front", "us-393-75c-rear", "us-570-9a-tread", "us-570-9b-size", "tire-trade-ten")
WHEELS = ("left-front", "right-front", "left-rear", "right-rear")


def few(book: Rulebook) -> Rulebook:
    """The rules of tires alone: quick, and nothing else is in the way of a verdict."""
    rules = {n: r for n, r in book.rules.items() if r.system == "tires" and r.source in SOURCES}
    registers = tuple(replace(c, rules=tuple(n for n in c.rules if n in rules)) for c in book.clauses)
    uses = {n: replace(u, must_look=(), same_day=()) for n, u in book.uses.items()}
    return replace(book, rules=rules, clauses=registers, uses=uses)


BOOK = few(LIBRARY)
SOUND = good_readings(LIBRARY, "proving") | {
    (name, place): value
    for name, value in {
        "tire-tread-depth": "9/32 in",
        "tire-size-marking": "7.00-16",
        "tire-date-code": "1424",
        "tire-wear-bars-level": "no",
        "tire-standard": "passenger",
        "tire-regrooved": "no",
        "tire-load-rating": "2400 lb",
    }.items()
    for place in WHEELS
}
SOUND["service", "vehicle"] = "commercial"  # so that 49 CFR 393 judges, which blocks the road
SOUND["gross-weight-rating", "vehicle"] = "7500 lb"


def some_readings(r: random.Random) -> dict[tuple[str, str], str]:
    """A sound vehicle with a few bad or missing values."""
    out = dict(SOUND)
    if r.random() < 0.5:  # 49 CFR 393.75(b): at least 4/32 in on front wheels of commercial vehicles
        out["tire-tread-depth", r.choice(WHEELS[:2])] = "3/32 in"
        return out
    for _ in range(r.randint(0, 3)):
        name = r.choice(list(BAD_VALUES))
        out[name, r.choice(WHEELS)] = r.choice(BAD_VALUES[name])
    if r.random() < 0.2:
        del out["tire-tread-depth", r.choice(WHEELS)]
    return out


def some_limit(r: random.Random, word: str, rule: Rule, step: int) -> str:
    """A limit of the rule's own form: mostly the way the word says, now and then the other way."""
    stricter = (word == "tighten") != (r.random() < 0.05)
    old = plain_tests(rule.steps[step])[0]
    if old.op is Op.ONE_OF:
        point = LIBRARY.points.get(old.measure) or LIBRARY.derived[old.measure]
        words = list(old.states if stricter else point.states)
        words = words[: r.randint(1, len(words))] if stricter else words
        return "{one-of: [" + ", ".join(f'"{w}"' for w in words) + "]}"
    number, _, unit = old.written.removeprefix(f"{old.op.value.replace('-', ' ')} ").partition(" ")
    up = stricter == (old.op in (Op.AT_LEAST, Op.MORE_THAN))
    new = Fraction(number) * r.choice(
        [1, Fraction(3, 2), 2, 4] if up else [0, Fraction(1, 2), Fraction(7, 8)]
    )
    return f"{{{old.op.value}: {str(new) if unit != 'count' else int(new)} {unit}}}"


def entry(r: random.Random, word: str, rule: Rule) -> str:
    day = DAY.date
    until = day + timedelta(days=r.choice([-1, 0, 1, 60, 60, 60]))
    parts = [f"rule: {rule.id}"]
    step = r.randrange(len(rule.steps))
    if word != "set-aside":
        if len(rule.steps) > 1:
            parts.append(f"step: {step + 1}")
        parts.append(f"limit: {some_limit(r, word, rule, step)}")
    said = [f"because: reason {r.randint(100, 999)}", f"by: office {r.randint(100, 999)}", f"until: {until}"]
    if r.random() < 0.02:
        said.pop(r.randrange(3))
    if r.random() < 0.2:
        said.append(f"from: {min(until, day + timedelta(days=r.choice([-9, 0, 1])))}")
    return "  - {" + ", ".join([*parts, *said]) + "}"


ADDED = """\
add:
  - id: own-tread
    title: Own tread
    cite: {source: local, clause: page 1, checked: memory}
    requires: Every tire keeps some tread.
    measure: tire-tread-depth
    at: road-wheels
    limit: {at-least: 2/32 in}
    blocks: [proving]
"""


def some_file(r: random.Random) -> str:
    kind = r.choice(["law", "law", "law", "regulation", "common practice"])
    address = r.choice(["https://local.invalid/1"] * 4 + ["none"])
    lines = [
        "rules: 1",
        f"source: {{id: local, title: Made up, kind: {kind}, publisher: made up, edition: made up, "
        f"address: {address}, binds: {r.choice(['road', 'nobody'])}}}",
    ]
    if r.random() < 0.3:
        lines.append(ADDED.rstrip())
    fixed = [rule for rule in BOOK.rules.values() if simple(rule)]
    aside = [rule for rule in BOOK.rules.values() if not rule.floor or r.random() < 0.02]
    taken: set[str] = set()
    for word, rules in (("tighten", fixed), ("loosen", fixed), ("set-aside", aside)):
        usual = [n for n in rules if word == "tighten" or may(kind, address, n) or r.random() < 0.02]
        likely = [n for n in usual if n.id in LIKELY]
        drawn = r.sample(usual, min(len(usual), r.randint(0, 2))) + r.sample(likely, min(len(likely), 1))
        mine = [n for n in dict.fromkeys(drawn) if n.id not in taken]
        taken |= {n.id for n in mine}
        if mine:
            lines += [f"{word}:", *(entry(r, word, rule) for rule in mine)]
    return "\n".join([*lines, ""])


def may(kind: str, address: str, rule: Rule) -> bool:
    """Whether a source of this kind may loosen the rule, as the manual's list has it."""
    order = ["own", "common practice", "handbook", "manual", "standard", "regulation", "law"]
    mine = kind if address.startswith("https") else "own"
    return not rule.floor and order.index(mine) >= order.index(LIBRARY.sources[rule.source].kind)


def simple(rule: Rule) -> bool:
    """Whether every step is one fixed limit on one value."""
    found = [plain_tests(step) for step in rule.steps]
    return all(
        len(tests) == 1 and tests[0].bound is None and tests[0].unit is not None for tests in found
    ) or all(len(tests) == 1 and tests[0].op is Op.ONE_OF for tests in found)


def accepted(r: random.Random) -> str:
    if r.random() < 0.6:
        return ""
    use = r.choice(["proving", "occasional", "everyday", "[occasional, motorway, towing, loaded]"])
    return f"accepted:\n{entry(r, 'set-aside', BOOK.rules['tire-trade-ten'])[:-1]}, at: lf, use: {use}}}\n"


def read(book: Rulebook, body: str) -> Document | None:
    source, _ = read_yaml(body.encode(), "made-up.yaml")
    assert source is not None
    return check(source, book, DAY)[0]


def usable(seed: int, folder: Path) -> tuple[Rulebook, Document, Document]:
    """The first usable pair of file and document from this seed; refused ones are drawn again."""
    r = random.Random(seed)
    for _ in range(2000):
        path = folder / "local.yaml"
        path.write_text(some_file(r), encoding="utf-8")
        body = document(LIBRARY, some_readings(r), "2026-11-14")
        try:
            book = extend(BOOK, [path])
        except Problems:
            continue
        found = read(book, body + accepted(r))
        plain = read(BOOK, body)
        if found is not None and plain is not None:
            return book, found, plain
    raise AssertionError("no usable file was drawn")


def shown(answer: Answer, page: str, word: str) -> bool:
    """Whether text, JSON and the page of an answer have a word."""
    said = " ".join(text.render(answer, 200).split())
    return all(word in form for form in (said, json.dumps(json.loads(as_json.render(answer))), page))


def page_of(found: Document, book: Rulebook, use: str) -> str:
    """The words of the page as a reader gets them."""
    made = Gate(found, book, Request(DAY, (use,)))
    answer = made.answer()
    html = as_html(answer, plan(made, answer))
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html.partition("<body>")[2])).split())


@pytest.mark.parametrize("seed", range(FILES))
def test_nothing_gets_looser_without_a_line_and_the_floor_holds(seed: int, tmp_path: Path) -> None:
    book, found, plain = usable(seed, tmp_path)
    for changed in book.changes:
        assert not (book.rules[changed.rule].floor and changed.kind.value != "tighten")
    uses = ["proving", random.Random(seed).choice(["occasional", "everyday", "motorway", "towing"])]
    for use in uses:
        before = gate(plain, BOOK, Request(DAY, (use,)))
        after = gate(found, book, Request(DAY, (use,), full=True))
        if after.verdict is Verdict.GO and before.verdict is not Verdict.GO:
            assert after.without_changes == before.verdict.value
            assert f"{after.headline.split(',')[0]}, with " in after.headline
            lines = [c for c in after.changes if c.standing == "in force" and c.effects]
            assert any(c.change.kind != "tightened" for c in lines)
            for line in lines:
                page = page_of(found, book, use)
                said = (line.change.where.rsplit("/", 1)[-1], line.change.because, line.change.until)
                assert all(shown(after, page, word) for word in said)
            assert shown(after, page_of(found, book, use), before.verdict.value)
        if floor_stands_against(plain, use):
            assert after.verdict is not Verdict.GO


def floor_stands_against(plain: Document, use: str) -> bool:
    """Whether the floor alone blocks this use or leaves it open; the question for a law is set apart."""
    uses = with_their_own([use], BOOK)
    judged = judge_for(plain, BOOK, DAY, BOOK.uses["proving"], ())
    found = (
        (rule, word)
        for u in uses
        for (rule, _, _), word in judged.results.classes[u.id].items()
        if rule != "law-besides-the-floor"
    )
    return any(word in (BAD, OPEN) for rule, word in found)


def test_the_files_tried_do_turn_verdicts(tmp_path: Path) -> None:
    """So that the test above tests something."""
    turned = floors = 0
    for seed in range(FILES):
        book, found, plain = usable(seed, tmp_path)
        after = gate(found, book, Request(DAY, ("proving",)))
        turned += after.verdict is Verdict.GO and after.without_changes not in ("", "GO")
        floors += floor_stands_against(plain, "proving")
    assert turned >= 3
    assert floors >= 3
