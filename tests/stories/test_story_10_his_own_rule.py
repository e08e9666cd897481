"""His own rule: another clearance by the handbook of his truck, and two of his own.

He gives up if that needs programming, if a slip in his file gives a page of gibberish, or if his rule is
silently ignored.
"""

from __future__ import annotations

import pytest

from tests.stories.telling import COULD_NOT_JUDGE, GO, NO_GO, Person, Said, all_in, kept

ON = "--on 2026-11-14"
MINE = "--rules handbook.yaml"


@pytest.fixture
def owner(person: Person) -> Person:
    person.has("juniper-ready.yaml", "juniper.yaml")
    return person


def new_rule(owner: Person, limit: str = "at-most 1 in") -> Said:
    """Written with a few words, no programming: the file, its source, the rule and its cases."""
    return owner.types(
        "rules new --id free-play --title 'Free play by the handbook' --measure steering-free-play "
        "--blocks proving --asks proving --clause 'page 57' --checked text --source invented-handbook "
        "--source-title 'Handbook of an invented truck' --source-kind handbook "
        "--publisher 'an invented maker' --edition 1966 --address '' --binds nobody "
        f"--limit '{limit}' --out handbook.yaml"
    )


def test_a_few_words_write_the_rule_and_prove_it(owner: Person) -> None:
    assert new_rule(owner).code == 0
    text = (owner.folder / "handbook.yaml").read_text(encoding="utf-8")
    all_in(("measure: steering-free-play", "at-most: 1 in", "page 57", "cases:"), text)
    checked = owner.types("rules check handbook.yaml")
    assert checked.code == 0, checked.out + checked.err
    kept("10-rule", text)


def test_he_sees_what_it_does_to_the_verdict(owner: Person) -> None:
    assert owner.types(f"gate juniper.yaml --for proving {ON}").code == GO
    assert new_rule(owner).code == 0
    said = owner.types(f"gate juniper.yaml --for proving {MINE} {ON}")
    assert said.code == NO_GO
    against = said.part("WHAT STANDS AGAINST IT")
    all_in(
        (
            "Free play by the handbook - 1 1/2 in (0.5 in over)",
            "Needs: at most 1 in",
            "Source: Handbook of an invented truck, as stated by handbook.yaml, page 57",
        ),
        " ".join(against.split()),
    )
    assert "invented-handbook" in said.part("WHICH RULES JUDGED")
    kept("10-against", against)


def test_a_rule_that_changes_nothing_is_named_all_the_same(owner: Person) -> None:
    assert new_rule(owner, "at-most 2 in").code == 0
    said = owner.types(f"gate juniper.yaml --for proving {MINE} {ON}")
    assert said.code == GO
    all_in(("invented-handbook", "1 rule"), said.part("WHICH RULES JUDGED"))
    why = owner.types(f"why juniper.yaml steering-free-play {MINE} {ON}")
    assert "Free play by the handbook: meets" in why.words


@pytest.mark.parametrize(
    ("right", "slip", "told"),
    [
        ("steering-free-play", "steering-free-plai", "did you mean steering-free-play"),
        ("at-most: 1 in", "at-most: 1 inn", "inn"),
        ("at-most:", "atmost:", "did you mean at-most"),
        ("blocks: [proving]", "blocks: [provin]", "did you mean proving"),
    ],
)
def test_a_slip_is_told_with_its_place_and_nothing_is_judged(
    owner: Person, right: str, slip: str, told: str
) -> None:
    assert new_rule(owner).code == 0
    file = owner.folder / "handbook.yaml"
    text = file.read_text(encoding="utf-8")
    assert right in text
    file.write_text(text.replace(right, slip), encoding="utf-8")
    line = text[: text.index(right)].count("\n") + 1
    for command in (f"gate juniper.yaml --for proving {MINE} {ON}", "rules check handbook.yaml"):
        said = owner.types(command)
        assert said.code == COULD_NOT_JUDGE
        shown = " ".join((said.out + said.err).split())
        assert f"handbook.yaml:{line}:" in shown
        all_in((told, "expected:"), shown)
        assert len((said.out + said.err).splitlines()) <= 30


def test_a_file_that_is_not_there_is_never_passed_over(owner: Person) -> None:
    said = owner.types(f"gate juniper.yaml --for proving --rules handbok.yaml {ON}")
    assert said.code == COULD_NOT_JUDGE
    assert "handbok.yaml" in said.err
