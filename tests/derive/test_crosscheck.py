"""Questions between readings; every expectation here is common practice (no source)."""

from __future__ import annotations

import pytest

from tests.derive.visits import Readings, ask, four


def test_sides_changed_over() -> None:
    first = {
        "tire-tread-depth": four("5 mm", "6 mm", "4 mm", "7 mm"),
        "ride-height": four("10 in", "11 in", "9 in", "9 in"),
    }
    other = {
        "tire-tread-depth": four("6 mm", "5 mm", "7 mm", "4 mm"),
        "ride-height": four("11 in", "10 in", "9 in", "9 in"),
    }
    found = [w for w in ask(("2026-05-01", first), ("2026-05-08", other)) if "driver's seat" in w.words]
    assert {(w.point, w.place) for w in found} == {
        ("tire-tread-depth", "left-front"),
        ("tire-tread-depth", "left-rear"),
        ("ride-height", "left-front"),
    }
    two = {"tire-tread-depth": other["tire-tread-depth"]}
    assert not [w for w in ask(("2026-05-01", first), ("2026-05-08", two)) if "driver's seat" in w.words]
    assert not [w for w in ask(("2026-05-01", first), ("2026-05-08", first)) if "driver's seat" in w.words]


def test_a_value_far_from_its_siblings() -> None:
    far = {"hub-drum-temperature": four("110 degF", "112 degF", "111 degF", "300 degF")}
    (found,) = ask(("2026-05-01", far))
    assert (found.point, found.place) == ("hub-drum-temperature", "right-rear")
    near = {"hub-drum-temperature": four("110 degF", "112 degF", "111 degF", "115 degF")}
    assert not ask(("2026-05-01", near))


def test_an_outlier_that_was_read_twice_is_not_asked_again() -> None:
    far = {"hub-drum-temperature": four("110 degF", "112 degF", "111 degF", "300 degF")}
    assert len(ask(("2026-05-01", far), ("2026-05-02", far))) == 1


def test_a_visit_that_is_too_even() -> None:
    even = {
        "tire-tread-depth": four(*["7 mm"] * 4),
        "brake-lining-thickness": four(*["5 mm"] * 4),
        "ride-height": four(*["20 in"] * 4),
    }
    assert {w.point for w in ask(("2026-05-01", even))} == set(even)
    assert not ask(("2026-05-01", {n: even[n] for n in list(even)[:2]}))
    none = {name: four(*["0 in"] * 4) for name in ("wheel-bearing-play", "tire-tread-depth", "ride-height")}
    assert not ask(("2026-05-01", none))


def test_a_tire_that_loses_pressure() -> None:
    """40 psi to 38 in 14 days is 1 psi a week; 80 percent of 40 is 32 psi, 42 days on."""
    first = {"tire-pressure-cold": {"left-front": "40 psi"}, "tire-pressure-recommended": {"front": "40 psi"}}
    later = {"tire-pressure-cold": {"left-front": "38 psi"}}
    (found,) = ask(("2026-05-01", first), ("2026-05-15", later))
    assert "1 psi a week" in found.words
    assert "2026-06-26" in found.words
    assert not ask(("2026-05-01", first, ("tire-filled",)), ("2026-05-15", later))
    assert not ask(("2026-05-01", later), ("2026-05-15", {"tire-pressure-cold": {"left-front": "40 psi"}}))


@pytest.mark.parametrize(("leak", "asked"), [("dry", True), ("seep", False)])
def test_fluid_that_goes_nowhere(leak: str, asked: bool) -> None:
    first = {"brake-fluid-level": {"chamber-1": "full"}}
    later = {"brake-fluid-level": {"chamber-1": "below minimum"}, "master-cylinder-leak": {"vehicle": leak}}
    assert _lost(("2026-05-01", first), ("2026-05-15", later)) is asked
    assert not _lost(("2026-05-01", first, ("brake-hydraulics-opened",)), ("2026-05-15", later))


def _lost(*told: tuple[str, Readings] | tuple[str, Readings, tuple[str, ...]]) -> bool:
    return any("no leak was found" in w.words for w in ask(*told))


def test_visits_after_the_day_do_not_count() -> None:
    far = {"hub-drum-temperature": four("110 degF", "112 degF", "111 degF", "300 degF")}
    assert not ask(("2027-05-01", far))
