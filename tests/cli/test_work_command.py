"""The command work: its parts and forms, exit codes, the stored text of a vehicle, nothing written."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from precheck.cli.main import main
from precheck.rulebook.schema import schemas_folder

ROOT = Path(__file__).resolve().parents[2]
JUNIPER = str(ROOT / "fixtures" / "juniper.yaml")
EXPECTED = ROOT / "tests" / "cli" / "expected"
DAY = ["--on", "2026-11-14"]
DIGEST = re.compile(r"rules [0-9a-f]{16}")


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main([*words, *DAY])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("work-juniper", ("--for", "proving")),
        ("work-juniper-parts", ("--for", "occasional", "--parts")),
        ("work-juniper-after", ("--after", "brake-hose-replaced@rf")),
    ],
)
def test_the_text_of_juniper(
    name: str, words: tuple[str, ...], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    _, out, _ = run(capsys, "work", "fixtures/juniper.yaml", *words)
    assert DIGEST.sub("rules DIGEST", out) == (EXPECTED / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "words", [(), ("--for", "everyday,towing"), ("--parts",), ("--after", "tire-changed")]
)
def test_80_columns_of_plain_ascii_and_the_same_bytes_again(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    _, first, _ = run(capsys, "work", JUNIPER, *words)
    _, second, _ = run(capsys, "work", JUNIPER, *words)
    assert first == second
    assert first.isascii()
    assert max(map(len, first.splitlines())) <= 80


@pytest.mark.parametrize("words", [("--for", "yard"), ("--for", "proving"), ()])
def test_work_exits_as_the_gate_does(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    code, _, _ = run(capsys, "gate", JUNIPER, *words)
    assert run(capsys, "work", JUNIPER, *words)[0] == code


@pytest.mark.parametrize("words", [("--for", "everyday"), ("--after", "spring-work")])
def test_json_says_all_and_fits_its_schema(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    _, out, _ = run(capsys, "work", JUNIPER, *words, "--as", "json")
    found = json.loads(out)
    assert found["work"] == 1
    schema = json.loads((schemas_folder() / "work-answer.schema.json").read_text(encoding="utf-8"))
    assert [e.message for e in Draft202012Validator(schema).iter_errors(found)] == []
    assert found["asked_after"] if words[0] == "--after" else found["repairs"]


def test_the_text_says_what_the_json_says(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "work", JUNIPER, "--for", "everyday", "--as", "json")
    _, text, _ = run(capsys, "work", JUNIPER, "--for", "everyday")
    said = " ".join(text.split())
    found = json.loads(out)
    for repair in found["repairs"]:
        assert f"Repair {repair['number']}: {repair['title']}" in said
        for line in (*repair["what"], *repair["hands"]):
            assert line in said
        for asked in repair["asked_by"]:
            assert asked["rule"] in said
            assert asked["bears"] in said or not asked["blocks"]
    for wait in found["waits"]:
        assert wait["until"] in said
    for part in found["parts"]:
        assert f"{part['count']} x {part['words']}" in said
        assert all(value in said for size in part["sizes"] for value in size["written"])
    for done in found["open_work"]:
        assert f"{done['on']}: {done['words']}" in said
        assert all(look["point"] in said for look in (*done["voids"], *done["again"]))


def test_hostile_text_is_shown_as_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = Path(JUNIPER).read_text(encoding="utf-8")
    bad = text.replace("called: Juniper", 'called: "J\\u202enu\\u0007"')
    bad = bad.replace("two bolts turn by hand", '"bolts\\u001b[31m"')
    file = tmp_path / "x.yaml"
    file.write_text(bad, encoding="utf-8")
    _, out, _ = run(capsys, "work", str(file), "--for", "proving")
    assert "bolts" in out
    assert not set("\x1b\x07\u202e") & set(out)


def test_nothing_is_written_but_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "car.yaml"
    file.write_bytes(Path(JUNIPER).read_bytes())
    code, out, _ = run(capsys, "work", str(file), "--out", str(tmp_path / "work.txt"))
    assert (code, out) == (3, "")
    assert file.read_bytes() == Path(JUNIPER).read_bytes()
    assert "WHAT TO MEND FIRST" in (tmp_path / "work.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("after", "said"),
    [
        ("brake-hos@lf", "brake-hose-replaced"),
        ("brake-hose-replaced@nowhere", "nowhere"),
        ("", "no kind of work"),
    ],
)
def test_work_that_cannot_be_read(after: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "work", JUNIPER, "--after", after)
    assert (code, out) == (2, "")
    assert said in err
    assert "Traceback" not in err


def test_gate_and_why_say_what_made_a_reading_void(capsys: pytest.CaptureFixture[str]) -> None:
    said = "void since wheel cylinder or caliper replaced or rebuilt on 2026-10-03"
    for words in (("gate", JUNIPER, "--for", "proving"), ("why", JUNIPER, "wheel-cylinder-leak@lr")):
        _, out, _ = run(capsys, *words)
        assert said in " ".join(out.split())
