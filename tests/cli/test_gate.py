"""The gate from the command line: exit codes, forms, days, sources, added rules, clumsy use."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from precheck.cli.main import main

ROOT = Path(__file__).resolve().parent.parent.parent
JUNIPER = str(ROOT / "fixtures" / "juniper.yaml")
FIRST = str(ROOT / "fixtures" / "juniper-first-look.yaml")
READY = str(ROOT / "fixtures" / "juniper-ready.yaml")
DAY = "2026-11-14"
AS_JSON = ("--as", "json")
Capture = pytest.CaptureFixture[str]


def gate(*arguments: str) -> int:
    return main(["gate", *arguments])


@pytest.mark.parametrize(
    ("file", "use", "on", "code"),
    [
        (JUNIPER, "yard", DAY, 0),
        (JUNIPER, "proving", DAY, 1),
        (JUNIPER, "everyday", DAY, 1),
        (FIRST, "yard", "2026-09-12", 3),
        (READY, "proving", DAY, 0),
        (READY, "everyday", DAY, 1),
        # The day after, what counts for the day of the reading is gone.
        (JUNIPER, "yard", "2026-11-15", 3),
    ],
)
def test_exit_codes(file: str, use: str, on: str, code: int, capsys: Capture) -> None:
    assert gate(file, "--for", use, "--on", on) == code
    out = capsys.readouterr().out
    assert out.startswith(f"Day: {on}")
    word = {0: "GO", 1: "NO-GO", 3: "UNDECIDED"}[code]
    assert f"\n{word} for {use} on {on}" in out


def test_no_go_for_proving_has_reasons_in_three_systems(capsys: Capture) -> None:
    gate(JUNIPER, "--for", "proving", "--on", DAY, "--as", "json")
    answer = json.loads(capsys.readouterr().out)
    systems = {finding["system"] for finding in answer["blocking"]}
    assert len(systems) >= 3, systems
    assert all(finding["clause"] and finding["checked"] for finding in answer["blocking"])


def test_without_a_use_the_ladder_is_shown_and_it_is_never_go(capsys: Capture) -> None:
    assert gate(JUNIPER, "--on", DAY) == 3
    out = capsys.readouterr().out
    assert "you have not said for what" in out
    assert gate(FIRST, "--on", "2026-09-12") == 3


def test_a_visit_after_the_day_is_a_problem_unless_the_day_is_given(tmp_path: Path, capsys: Capture) -> None:
    late = tmp_path / "late.yaml"
    late.write_text("condition: 1\nvisits:\n  - on: 2999-01-01\n    by: RO\n", encoding="utf-8")
    assert gate(str(late), "--for", "yard") == 2
    captured = capsys.readouterr()
    assert ":3:9:" in captured.err
    assert captured.out == ""


def test_looking_back_is_headed_so_and_never_go(capsys: Capture) -> None:
    assert gate(JUNIPER, "--for", "yard", "--on", "2026-11-13") == 3
    assert "looking back" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--for", "provng"], ["provng", "did you mean proving"]),
        (["--for", ""], ["--for"]),
        (["--on", "14.11.2026"], ["--on", "2024-01-05"]),
        (["--on", "2026-02-30"], ["no such date"]),
        (["--sources", "us-49cfr57"], ["us-49cfr57", "did you mean", "us-49cfr570"]),
        (["--rules", "nowhere.yaml"], ["nowhere.yaml"]),
    ],
)
def test_wrong_options_say_how_to_write_them(arguments: list[str], words: list[str], capsys: Capture) -> None:
    assert gate(JUNIPER, *arguments) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    for word in words:
        assert word in captured.err


def test_a_missing_file_a_folder_and_a_device_are_problems(tmp_path: Path, capsys: Capture) -> None:
    for name in (str(tmp_path / "none.yaml"), str(tmp_path), "/dev/null"):
        assert gate(name) == 2
        captured = capsys.readouterr()
        assert captured.out == ""
        assert "Traceback" not in captured.err
        assert captured.err.count(":1:1:") == 1


def test_several_files_the_worst_counts(capsys: Capture) -> None:
    assert gate(FIRST, JUNIPER, "--for", "yard", "--on", DAY) == 3
    assert gate(JUNIPER, JUNIPER, "--for", "yard", "--on", DAY) == 0
    assert gate(JUNIPER, "missing.yaml", "--for", "yard", "--on", DAY) == 2
    assert "GO for" not in capsys.readouterr().err


def test_out_never_overwrites_an_input(tmp_path: Path, capsys: Capture) -> None:
    copy = tmp_path / "copy.yaml"
    copy.write_bytes(Path(JUNIPER).read_bytes())
    assert gate(str(copy), "--for", "yard", "--on", DAY, "--out", str(copy)) == 2
    assert copy.read_bytes() == Path(JUNIPER).read_bytes()
    out = tmp_path / "answer.txt"
    assert gate(str(copy), "--for", "yard", "--on", DAY, "--out", str(out)) == 0
    assert "GO for yard" in out.read_text(encoding="utf-8")
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


RULES = """\
rules: 1
source:
  id: handbook
  title: A made-up handbook
  kind: handbook
  publisher: nobody
  edition: first
  address: a shelf in the barn
  binds: nobody
add:
  - id: handbook-steering
    title: Free play by the handbook
    cite: {source: handbook, clause: page 41, checked: text}
    requires: Free play at the rim is at most 1 inch.
    measure: steering-free-play
    limit: {at-most: 1 in}
    blocks: [yard]
    asks: yard
    chain: steer
    fix: Adjust the box by page 41.
    cases:
      - {name: exactly an inch, given: {steering-free-play: 1 in}, expect: meets}
      - {name: a hair more, given: {steering-free-play: 26 mm}, expect: fails}
      - {name: not taken, given: {}, expect: not measured}
"""


def test_a_rule_of_ones_own_counts_and_is_named(tmp_path: Path, capsys: Capture) -> None:
    mine = tmp_path / "mine.yaml"
    mine.write_text(RULES, encoding="utf-8")
    assert main(["rules", "check", str(mine)]) == 0
    assert main(["rules", "prove", str(mine)]) == 0
    capsys.readouterr()
    assert gate(JUNIPER, "--for", "yard", "--on", DAY, "--rules", str(mine)) == 1
    out = capsys.readouterr().out
    assert "Free play by the handbook" in out
    assert "page 41" in out


def test_the_same_bytes_whatever_the_process(tmp_path: Path) -> None:
    """Principle 9: hash seed, locale, time zone and terminal width of the process do not matter."""
    outputs = set()
    for seed, zone, columns in (
        ("0", "UTC", "80"),
        ("1", "Pacific/Auckland", "200"),
        ("77", "Asia/Kolkata", "40"),
    ):
        run = subprocess.run(
            [sys.executable, "-m", "precheck", "gate", JUNIPER, "--for", "proving", "--on", DAY, *AS_JSON],
            capture_output=True,
            cwd=ROOT,
            env={
                "PYTHONHASHSEED": seed,
                "TZ": zone,
                "COLUMNS": columns,
                "PATH": "/usr/bin:/bin",
                "LC_ALL": "C",
                "PRECHECK_NO_CACHE": "1",
            },
            check=False,
        )
        assert run.returncode == 1, run.stderr
        outputs.add(run.stdout)
    assert len(outputs) == 1


def test_no_output_is_wider_than_the_terminal(capsys: Capture) -> None:
    for arguments in ([JUNIPER, "--for", "proving", "--on", DAY], [FIRST, "--on", "2026-09-12"]):
        gate(*arguments)
        assert max(map(len, capsys.readouterr().out.splitlines())) <= 80


def test_show_knows_everything_and_says_so_when_not(capsys: Capture) -> None:
    lists = ("points", "facts", "rules", "sources", "uses", "places")
    for name in (*lists, "tire-tread-depth", "region", "yard"):
        assert main(["show", name]) == 0
        assert capsys.readouterr().out
    assert main(["show"]) == 0
    assert main(["show", "tire-tred-depth"]) == 2
    assert "tire-tread-depth" in capsys.readouterr().err
