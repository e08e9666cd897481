"""Any bytes for every reader: what fuzzing found, and a little of it anew each time."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.targets import TARGETS, in_time, seeds

FOUND = sorted(Path(__file__).with_name("found").glob("*-*"))


@pytest.mark.parametrize("path", FOUND, ids=lambda p: p.name)
def test_what_fuzzing_found_stays_mended(path: Path) -> None:
    in_time(TARGETS[path.name.split("-")[0]], path.read_bytes())


@pytest.mark.parametrize("name", TARGETS)
def test_every_seed(name: str) -> None:
    for seed in seeds(name):
        in_time(TARGETS[name], seed)


def spoilt(seed: bytes, cuts: list[tuple[int, int, bytes]]) -> bytes:
    """A seed with some stretches cut out and others put in."""
    for where, length, new in cuts:
        at = where % (len(seed) + 1)
        seed = seed[:at] + new + seed[at + length :]
    return seed


SIGNS = [
    b"\n",
    b"  ",
    b": ",
    b"- ",
    b"[",
    b"]",
    b"{",
    b"}",
    b'"',
    b"'",
    b"#",
    b"&a ",
    b"*a",
    b"!!str ",
    b"\t",
    b"\xff",
]
SIGNS += [
    b"\xe2\x80\xae",
    b"\x00",
    b"\r",
    b"9" * 30,
    b"*" * 90,
    b"unknown",
    b"1/0",
    b"-",
    b"~",
    b"\xc2\xa0",
    b",",
]
CUTS = st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 40), st.sampled_from(SIGNS)), max_size=6)


@pytest.mark.parametrize("name", TARGETS)
def test_spoilt_seeds(name: str) -> None:
    found = seeds(name)

    @settings(
        max_examples=60,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(st.integers(0, len(found) - 1), CUTS)
    def any_of_them(number: int, cuts: list[tuple[int, int, bytes]]) -> None:
        in_time(TARGETS[name], spoilt(found[number], cuts))

    any_of_them()
