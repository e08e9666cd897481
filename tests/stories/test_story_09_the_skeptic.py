"""The skeptic wants one page: what was looked at, by whom, when, with what, what was not, and who says so.

She picks two lines and checks them herself. She gives up if a line has no source, or if the numbers differ
from what is on the drum.
"""

from __future__ import annotations

import html
import re

import pytest

from tests.stories.telling import NO_GO, Person, all_in, kept

ON = "--on 2026-11-14"
# Figures as the owner wrote them, each in the unit of his tool, and one word; none may come back changed.
WRITTEN = (
    "31 psi",
    "27 psi",
    "7/32 in, 6/32 in, 7/32 in",
    "3/32 in, 1.5 mm, 2/32 in",
    "cracked to fabric",
)


@pytest.fixture
def page(person: Person) -> str:
    person.has("juniper.yaml")
    said = person.types(f"gate juniper.yaml --for proving --as html {ON} --out page.html")
    assert said.code == NO_GO
    return (person.folder / "page.html").read_text(encoding="utf-8")


def section(page: str, heading: str) -> str:
    """The part of the page under a heading that begins so."""
    (found,) = [s for s in re.findall(r"<section.*?</section>", page, re.S) if re.search(f">{heading}", s)]
    return str(found)


def words(markup: str) -> str:
    """What a reader sees of it."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", markup)).split())


def test_it_is_one_page_that_loads_nothing(page: str) -> None:
    assert page.count("<html") == 1
    assert not re.search(r"<(script|link|img|iframe|object)\b|\b(src|href)=\"(?!#)", page)
    assert "default-src" in page


def test_every_finding_has_a_source_and_how_it_was_read(page: str) -> None:
    findings = re.findall(r"<li><h3>.*?</li>", page, re.S)
    assert len(findings) >= 10
    for finding in findings:
        source = re.search(r"Source:</b>([^<]+)", finding)
        assert source is not None, finding
        assert re.search(r"; (common practice|read in its own text|from a second-hand account)", source[1]), (
            source[1]
        )
        assert "Rule:" in finding
        assert re.search(r"(Taken|Worked out):", finding)


def test_numbers_are_those_that_were_written(page: str) -> None:
    all_in(WRITTEN, words(page))


def test_she_checks_two_lines_herself(page: str, person: Person) -> None:
    against = words(section(page, "What stands against it"))
    # The hose, by eye; the tire, by her own gauge: each with what was seen, by whom, on what day, with what.
    all_in(
        (
            "Brake hoses - right front: cracked to fabric",
            "seen by RO on 2026-10-31 with lamp and mirror",
            "tire-pressure-cold at left rear: 27 psi (measured 2026-11-14)",
            "tire-pressure-recommended at rear axle: 36 psi (papers 2026-09-12)",
        ),
        against,
    )
    said = person.types(f"why juniper.yaml brake-hose-condition@rf {ON}")
    all_in(("Source: 49 CFR part 570, vehicle in use inspection standards, 570.5(e)",), said.words)
    line = re.search(
        r"cracked to fabric; seen by RO on 2026-10-31 with lamp and mirror \(line (\d+)\)", said.words
    )
    assert line is not None
    lines = (person.folder / "juniper.yaml").read_text(encoding="utf-8").splitlines()
    assert "brake-hose-condition" in lines[int(line[1]) - 1]
    blocks = re.split(r"</(?:h2|h3|p)>", section(page, "What stands against it"))
    kept("09-against", "".join(f"{line}\n" for line in map(words, blocks) if line))


def test_who_looked_when_and_with_what_is_one_list(page: str) -> None:
    looked = section(page, "Who looked, when, with what")
    rows = [words(row) for row in re.findall(r"<tr>.*?</tr>", looked, re.S)]
    assert rows[1:] == [
        "2026-09-12 RO 24 not said",
        "2026-10-03 RO 23 hammer",
        "2026-10-31 RO 13 lamp and mirror, ruler at the rim",
        "2026-11-13 RO 5 not said",
        "2026-11-14 RO 20 not said",
    ]


def test_what_was_not_looked_at_and_what_it_promises_stand_there(page: str) -> None:
    missing = words(section(page, "Not measured yet"))
    all_in(("brake-lining-thickness", "fuel-tank-leak", "with depth gauge"), missing)
    promise = words(page)
    all_in(("It is no inspection, and it gives no right to drive", "licensed inspectors decide"), promise)
    judged = words(section(page, "Which rules judged"))
    all_in(("49 CFR part 570", "The floor", "common practice", "edition"), judged)


def test_every_address_of_a_source_can_be_read_off_the_page(page: str) -> None:
    assert "https://www.ecfr.gov/current/title-49/part-570" in words(page)
