"""Greasy hands, on his back: readings in one line, any order, own units, and slips of the finger.

He gives up if each reading needs eight fields, a clean keyboard or the right order, or if one typing error
throws away the evening.
"""

from __future__ import annotations

import shlex

from tests.stories.telling import COULD_NOT_JUDGE, Person, all_in, kept

FIVE = "lr tread 6 5 6; 36 psi pressure lr; bulge lr no; lr fasteners missing 0; lr standing holds its shape"
SLIPS = "lr tread 6 5 6; presure lr 36 psi; lr bulge no; lr pressure 36 pis; standng lr soft"
DAY = "--on 2026-09-13 --by RO"


def test_five_readings_of_one_wheel_in_any_order_are_one_line(person: Person) -> None:
    file = person.has("juniper-first-look.yaml", "juniper.yaml")
    before = file.read_text(encoding="utf-8")
    said = person.types(f"jot juniper.yaml {DAY}", FIVE)
    assert said.code == 0
    assert "written: 5; not written: 0" in said.out
    text = file.read_text(encoding="utf-8")
    assert text.startswith(before)
    all_in(("[6 32nds in, 5 32nds in, 6 32nds in]", "36 psi", "holds its shape"), text[len(before) :])
    kept("01-five-readings", said.out)


def test_a_slip_keeps_the_rest_and_comes_back_to_be_mended(person: Person) -> None:
    file = person.has("juniper-first-look.yaml", "juniper.yaml")
    before = file.read_text(encoding="utf-8")
    said = person.types(f"jot juniper.yaml {DAY}", SLIPS)
    assert said.code == COULD_NOT_JUDGE
    assert "written: 2; not written: 3" in said.out
    added = file.read_text(encoding="utf-8")[len(before) :]
    all_in(("tire-tread-depth", "tire-bulge"), added)
    # Each slip: where it stands, and what may have been meant.
    all_in(("jot:1:17: 'presure'", 'jot:1:61: "pis"', "jot:1:69: 'standng'"), said.out)
    all_in(("did you mean pressure", "did you mean psi", "did you mean standing"), said.words)
    kept("01-slips", said.out)

    # What was not written is said back as a command: mended in place it goes in, and nothing is lost.
    command = said.out[said.out.index("  precheck jot") :].replace("\\\n", "").splitlines()[0]
    mended = command.replace("presure", "pressure").replace("pis", "psi").replace("standng", "standing")
    words = shlex.split(mended)
    assert words[0] == "precheck"
    said = person.types("", *words[1:])
    assert said.code == 0
    assert "written: 3; not written: 0" in said.out
    said = person.types("why juniper.yaml tire-pressure-cold@lr --on 2026-09-13")
    assert "tire-pressure-cold at left rear: 36 psi" in said.words


def test_a_line_that_is_nothing_but_slips_leaves_the_document_as_it_was(person: Person) -> None:
    file = person.has("juniper-first-look.yaml", "juniper.yaml")
    before = file.read_bytes()
    said = person.types(f"jot juniper.yaml {DAY}", "lr tred; rr 33 pis")
    assert said.code == COULD_NOT_JUDGE
    assert file.read_bytes() == before
    assert "written: 0; not written: 2" in said.out


def test_the_wrong_line_is_taken_back(person: Person) -> None:
    file = person.has("juniper-first-look.yaml", "juniper.yaml")
    before = file.read_bytes()
    assert person.types(f"jot juniper.yaml {DAY}", FIVE).code == 0
    assert person.types("jot juniper.yaml --undo").code == 0
    assert file.read_bytes() == before
