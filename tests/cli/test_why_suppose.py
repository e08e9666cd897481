"""The commands why and suppose: exit codes, forms, names that match nothing, and that nothing is written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from precheck.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
JUNIPER = str(ROOT / "fixtures" / "juniper.yaml")
DAY = ["--on", "2026-11-14"]


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main([*words, *DAY])
    out, err = capsys.readouterr()
    return code, out, err


def test_why_of_a_failing_result(capsys: pytest.CaptureFixture[str]) -> None:
    """27 psi against 36 psi recommended, 2 psi allowed: 34 psi would do (arithmetic)."""
    code, out, _ = run(capsys, "why", JUNIPER, "floor-tire-pressure@lr", "--for", "proving")
    assert code == 1
    assert "raise tire-pressure-cold at left rear by 7 psi to 34 psi or more" in out
    assert 'suppose "tire-pressure-cold@left-rear: 34 psi" (tried: meets)' in out
    assert "common practice, from memory" in out
    assert max(map(len, out.splitlines())) <= 80


def test_the_line_of_why_does_in_suppose_what_it_says(capsys: pytest.CaptureFixture[str]) -> None:
    line = "tire-pressure-cold@left-rear: 34 psi"
    code, out, _ = run(capsys, "suppose", JUNIPER, line, "--for", "proving", "--as", "json")
    moved = {(m["rule"], m["place"]): m["state_supposed"] for m in json.loads(out)["moved"]}
    assert moved["floor-tire-pressure", "left-rear"] == "meets"
    assert code == 1


def test_a_go_that_is_supposed_does_not_exit_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "suppose", JUNIPER, "lr pressure 36 psi", "--for", "yard")
    assert code == 3
    assert "SUPPOSED: GO for yard" in out


def test_why_exits_as_the_gate_does(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "why", JUNIPER, "horn", "--for", "yard")[0] == 0
    assert run(capsys, "why", JUNIPER, "horn", "--for", "proving")[0] == 1
    assert run(capsys, "why", JUNIPER, "horn")[0] == 3


def test_json_of_both(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "why", JUNIPER, "tire-tread-depth@lr", "--for", "proving", "--as", "json")
    assert json.loads(out)["why"] == 1
    _, out, _ = run(capsys, "suppose", JUNIPER, "lr pressure 36 psi", "--as", "json")
    assert json.loads(out)["suppose"] == 1


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("tire-tred-depth", "tire-tread-depth"),
        ("tire-tread-depth@lro", "left-rear"),
        ("floor-tire-pressure@", "no place after the @"),
    ],
)
def test_a_name_that_matches_nothing(capsys: pytest.CaptureFixture[str], name: str, says: str) -> None:
    code, out, err = run(capsys, "why", JUNIPER, name)
    assert (code, out) == (2, "")
    assert says in err


def test_a_line_that_cannot_be_read(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "suppose", JUNIPER, "lr pressure 36 psi", "lr presure 36 psi")
    assert (code, out) == (2, "")
    assert "supposed:2:4: 'presure' is no word of any point" in err
    assert "1 problem; not judged, and no verdict." in err


def test_nothing_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    copy = tmp_path / "juniper.yaml"
    copy.write_bytes(Path(JUNIPER).read_bytes())
    run(capsys, "suppose", str(copy), "lr pressure 36 psi")
    assert run(capsys, "suppose", str(copy), "lr pressure 36 psi", "--out", str(copy))[0] == 2
    assert run(capsys, "why", str(copy), "horn", "--out", str(copy))[0] == 2
    assert copy.read_bytes() == Path(JUNIPER).read_bytes()
    assert [p.name for p in tmp_path.iterdir()] == ["juniper.yaml"]


def test_the_same_bytes_twice(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("why", JUNIPER, "brake-hose-condition", "--for", "proving")
    assert run(capsys, *words) == run(capsys, *words)
