"""Only an hour, on ramps: what can be done now, in this position, with gauge, lamp and pry bar?

He gives up if it lists 220 things, or sends him from wheel to cab and back under.
"""

from __future__ import annotations

import re

import pytest

from tests.stories.telling import UNDECIDED, Person, Said, all_in, kept

# Readings that he has still to take: from underneath, one from the seat, one on stands.
NOT_YET = (
    "joint-play",
    "axle-leak",
    "driveshaft-fasteners",
    "master-cylinder-leak",
    "spring-hanger",
    "horn-action",
    "wheel-bearing-feel",
)
WALK = [
    "Front:",
    "Left front:",
    "Left side:",
    "Left rear:",
    "Rear:",
    "Right rear:",
    "Right side:",
    "Right front:",
]
FRAME = r" +frame-rust:\n(?: {8}.*\n)+"


@pytest.fixture
def owner(person: Person) -> Person:
    file = person.has("juniper-ready.yaml", "juniper.yaml")
    text = file.read_text(encoding="utf-8")
    for line in (FRAME, *(rf" +{point}: .*\n" for point in NOT_YET)):
        text, count = re.subn(f"^{line}", "", text, flags=re.M)
        assert count == 1, line
    text = text.replace("nothing-found: {frame: under, fuel", "nothing-found: {fuel")
    file.write_text(text, encoding="utf-8")
    return person


def sheet(owner: Person, *options: str) -> Said:
    return owner.types("sheet juniper.yaml --for proving --on 2026-11-14", *options)


def entries(said: Said) -> list[str]:
    return re.findall(r"^ {4}- ([a-z-]+)[,:]", said.out[: said.out.index("NOT ON THIS SHEET")], re.M)


def test_it_names_a_few_things_and_counts_the_rest(owner: Person) -> None:
    said = sheet(owner, "--at", "under", "--tools", "gauge,lamp,pry bar")
    assert said.code == UNDECIDED
    assert 5 <= len(entries(said)) <= 25
    all_in(("Only at: under", "Only with: gauge, lamp, pry bar"), said.out)
    # With his three tools: the joints by pry bar; not what needs hammer or straightedge.
    assert "horn-action" not in said.out
    names = set(entries(said))
    assert {"joint-play", "axle-leak"} <= names
    assert not {"frame-rust", "spring-hanger", "driveshaft-fasteners"} & names
    left_off = said.part("NOT ON THIS SHEET")
    all_in(("hammer", "wrench"), left_off)
    head = re.search(r"\n {0,2}UNDERNEATH.*\((\d+) entries\)", "\n" + said.out)
    assert head is not None
    assert int(head[1]) == len(entries(said))
    kept("02-on-ramps", said.part("UNDERNEATH", "NOT ON THIS SHEET"))


def test_one_position_and_one_walk_round_it(owner: Person) -> None:
    said = sheet(owner, "--at", "under", "--tools", "gauge,lamp,pry bar")
    positions = [line for line in said.out.splitlines() if re.match(r"[A-Z][A-Z, ]+ \(\d+ entries\)$", line)]
    assert [line.split(",")[0] for line in positions if not line.startswith("NOT ON")] == ["UNDERNEATH"]
    passed = [line.strip() for line in said.part("UNDERNEATH").splitlines() if line.strip() in WALK]
    assert passed == [stop for stop in WALK if stop in passed]  # each once, never back
    assert len(passed) >= 4


def test_a_few_are_marked_as_holding_up_the_verdict(owner: Person) -> None:
    said = sheet(owner, "--at", "under")
    held = re.findall(r"- ([a-z-]+), [^\n]*\n(?: {8}.*\n)*? {8}HOLDS IT UP", said.part("UNDERNEATH"))
    assert 1 <= len(set(held)) <= 5
    assert "Marked is what holds up proving" in said.out


def test_shown_and_left_off_are_all_there_is(owner: Person) -> None:
    """Options leave things off the sheet, never out of the count."""
    for options in (("--at", "under"), ("--at", "under", "--tools", "lamp")):
        said = sheet(owner, *options)
        counted = re.search(r"NOT ON THIS SHEET \((\d+) entr", said.out)
        assert counted is not None
        whole = re.search(r"proving: \d+ readings, (\d+) entries", sheet(owner).words)
        assert whole is not None
        assert len(entries(said)) + int(counted[1]) == int(whole[1])


def test_the_words_under_a_line_are_what_he_types_later(owner: Person) -> None:
    assert "front axle leak ______" in sheet(owner, "--at", "under", "--tools", "lamp").out
    said = owner.types("jot juniper.yaml --on 2026-11-14", "front axle leak dry; rear axle leak seep")
    assert said.code == 0
    assert "axle-leak, " not in sheet(owner, "--at", "under", "--tools", "lamp").out
