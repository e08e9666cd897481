"""Pages: valid, safe, readable, and with the same facts as the text."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
import pytest
import tinycss2
from answers import ALL, NO_GO
from explained import EXPLAINED, SUPPOSED
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jinja2 import nodes
from spoil import ALPHABET, NASTY, spoiled
from test_report_json import bare, facts

from precheck.answer.plan_record import Plan, PlanLine, PlanPlace
from precheck.answer.record import Answer
from precheck.read.show import visible
from precheck.report.html.gate import render
from precheck.report.html.page import document, environment
from precheck.report.html.said import suppose_page, why_page

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = ROOT / "precheck" / "report" / "html" / "templates"
STYLE = (ROOT / "precheck" / "report" / "html" / "style.css").read_text(encoding="ascii")
LOADING = ("script", "img", "link", "iframe", "object", "embed", "form", "input", "base")
HOSTILE = "</td></svg></style><script>alert(1)</script>\" onload='x' <img src=x> {{ 7 * 7 }} &lt; \u202e\x1b"


def _line(thing: str, *written: str, mark: str = "", holds: bool = False, why: str = "") -> PlanLine:
    return PlanLine(thing, f"what {thing} is", "", written, bool(written), mark, holds, why)


PLAN = Plan(
    about=("proving",),
    places=(
        PlanPlace("front", "front axle", "middle", "front", (_line("axle-leak", mark="not measured"),)),
        PlanPlace(
            "left-front",
            "left front",
            "left",
            "front",
            (
                _line("tire-tread-depth", "1.5 mm", mark="fails", holds=True, why="Tread depth"),
                _line("tire-valve", mark="not measured", why="void since tire changed on 2026-10-03"),
            ),
        ),
        PlanPlace("right-front", "right front", "right", "front", (_line("tire-pressure-cold", "31 psi"),)),
    ),
    dual_rears=False,
    spare=False,
)
PAGES: dict[str, str] = {
    **{f"gate-{name}": render(answer, PLAN) for name, answer in ALL.items()},
    **{name: why_page(found) for name, found in EXPLAINED.items()},
    **{name: suppose_page(found) for name, found in SUPPOSED.items()},
}
pages = pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)


@lru_cache(maxsize=64)
def parsed(page: str) -> Element:
    """By the algorithm of the standard; any error in the markup raises."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    root: Element = parser.parse(page)
    return root


def elements(page: str, name: str) -> list[Element]:
    return [e for e in parsed(page).iter() if tag(e) == name]


def tag(element: Element) -> str:
    return str(element.tag).rsplit("}", 1)[-1]


def words(element: Element) -> str:
    return "".join(element.itertext())


def said(page: str) -> str:
    """What a person may read of the page: all text of its body, drawings too."""
    return words(elements(page, "body")[0])


def structure(element: Element) -> Any:
    return tag(element), tuple(sorted(element.attrib)), [structure(e) for e in element]


# -- markup ---------------------------------------------------------------------------------------------


@pages
def test_the_markup_is_valid(page: str) -> None:
    root = parsed(page)
    assert root.get("lang") == "en"
    assert page.isascii()
    assert page.startswith("<!DOCTYPE html>\n")
    assert page.endswith("</html>\n")


def test_the_parser_would_notice() -> None:
    with pytest.raises(html5lib.html5parser.ParseError):
        parsed(PAGES["gate-go"].replace("</main>", "", 1))


@pages
def test_nothing_runs_and_nothing_is_loaded(page: str) -> None:
    for element in parsed(page).iter():
        assert tag(element) not in (
            "script",
            "img",
            "link",
            "iframe",
            "object",
            "embed",
            "form",
            "input",
            "base",
        )
        for name, value in element.attrib.items():
            assert not name.lower().startswith("on")
            assert name not in ("style", "src", "srcset", "action", "data", "poster")
            if name.endswith("href"):
                assert re.fullmatch(r"#[a-z0-9-]+", value)
    assert "url(" not in STYLE
    assert "@import" not in STYLE


@pages
def test_the_policy_allows_this_style_and_nothing_else(page: str) -> None:
    metas = [e for e in elements(page, "meta") if e.get("http-equiv") == "Content-Security-Policy"]
    (style,) = elements(page, "style")
    hashed = b64encode(sha256(words(style).encode()).digest()).decode()
    rules = [rule.strip() for rule in str(metas[0].get("content")).split(";")]
    assert len(metas) == 1
    assert rules[0] == "default-src 'none'"
    assert [rule for rule in rules if not rule.endswith("'none'")] == [f"style-src 'sha256-{hashed}'"]
    assert words(style) == STYLE


@pages
def test_ids_are_unique_and_what_is_pointed_at_is_there(page: str) -> None:
    every = list(parsed(page).iter())
    ids = [str(e.get("id")) for e in every if e.get("id")]
    assert len(ids) == len(set(ids))
    for element in every:
        for name in ("aria-labelledby", "aria-describedby"):
            assert {*(element.get(name) or "").split()} <= set(ids)
        if element.get("href"):
            assert str(element.get("href"))[1:] in ids


@pages
def test_headings_are_in_order_and_landmarks_are_there(page: str) -> None:
    levels = [int(tag(e)[1]) for e in parsed(page).iter() if re.fullmatch("h[1-6]", tag(e))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    for name in ("header", "nav", "main", "footer", "title"):
        assert [e for e in elements(page, name) if words(e).strip()]
    skip = next(e for e in elements(page, "a"))
    assert (skip.get("class"), skip.get("href"), elements(page, "main")[0].get("id")) == (
        "skip",
        "#main",
        "main",
    )


@pages
def test_tables_have_heads(page: str) -> None:
    for table in elements(page, "table"):
        heads = [e for e in table.iter() if tag(e) == "th"]
        assert {e.get("scope") for e in heads} >= {"col"}
        assert all(e.get("scope") in ("col", "row", "rowgroup") and words(e).strip() for e in heads)
        columns = sum(e.get("scope") == "col" for e in heads)
        for row in (e for e in table.iter() if tag(e) == "tr"):
            assert sum(int(cell.get("colspan") or 1) for cell in row) == columns


@pages
def test_drawings_have_a_title_and_words_for_it(page: str) -> None:
    for svg in elements(page, "svg"):
        assert svg.get("role") == "img"
        assert [tag(e) for e in svg][:2] == ["title", "desc"]
        assert all(words(e).strip() for e in list(svg)[:2])


# -- style ----------------------------------------------------------------------------------------------


def _colors(nodes_: list[Any]) -> Iterator[tuple[str, str]]:
    """(property, #color) of every declaration in the sheet, in media rules too."""
    for rule in nodes_:
        if rule.type == "at-rule" and rule.content and rule.lower_at_keyword == "media":
            yield from _colors(tinycss2.parse_rule_list(rule.content, True, True))
        elif rule.type == "qualified-rule":
            for one in tinycss2.parse_declaration_list(rule.content, True, True):
                assert one.type == "declaration", one
                for token in one.value:
                    if token.type == "hash":
                        yield one.name, token.value


def _luminance(color: str) -> float:
    full = "".join(c * 2 for c in color) if len(color) == 3 else color
    parts = [int(full[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_contrast_on_white_is_enough() -> None:
    """WCAG 2.1, 1.4.3 and 1.4.11: 4.5 to 1 for text, 3 to 1 for lines; every background is white."""
    found = list(_colors(tinycss2.parse_stylesheet(STYLE, True, True)))
    assert {color for name, color in found if name == "background"} == {"fff"}
    ratios = {(name, c): 1.05 / (_luminance(c) + 0.05) for name, c in found if name != "background"}
    assert {"color", "border-top", "border-bottom"} <= {name for name, _ in ratios}
    assert all(ratio >= (4.5 if name == "color" else 3) for (name, _), ratio in ratios.items())
    assert round(1.05 / (_luminance("767676") + 0.05), 2) == 4.54  # the known gray at the edge


def test_every_class_of_a_template_has_a_style() -> None:
    used = {c for path in TEMPLATES.glob("*.html") for c in re.findall(r'class="([a-z]+)"', path.read_text())}
    assert used <= set(re.findall(r"\.([a-z]+)", STYLE))


# -- templates -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(TEMPLATES.glob("*.html")), ids=lambda p: p.name)
def test_no_template_goes_round_the_escaping(path: Path) -> None:
    text = path.read_text(encoding="ascii")
    tree = environment().parse(text)
    assert not list(tree.find_all((nodes.Concat, nodes.MarkSafe, nodes.ScopedEvalContextModifier)))
    filters = {f.name for f in tree.find_all(nodes.Filter)}
    assert filters <= {"listed", "sentence", "length", "list", "selectattr"}
    assert not re.search(r"=\{\{|=[^\"'>\s{}=]*\{\{", re.sub(r"\{%.*?%\}", "", text)), (
        "an attribute without quotes"
    )
    assert "<script" not in text
    assert "style=" not in text


def test_what_is_printed_is_made_visible_and_escaped() -> None:
    out = environment().from_string('<p title="{{ x }}">{{ x }}</p>').render(x=HOSTILE)
    assert out.count("&lt;script&gt;") == 2
    assert "\\u202e\\x1b" in out
    assert parsed(f"<!DOCTYPE html><title>t</title>{out}").find(".//p").get("title") == visible(HOSTILE)  # type: ignore[union-attr]


def test_a_name_that_was_not_given_stops_the_page() -> None:
    from jinja2 import UndefinedError

    with pytest.raises(UndefinedError):
        document("outline.html", title="x")


# -- hostile words ----------------------------------------------------------------------------------------


def _spoiled_pages(word: str) -> Iterator[tuple[str, str]]:
    """Pages whose every text is `word`; where a thing stands in the drawing is no text."""
    lines = tuple(replace(spoiled(line, [word]), mark="fails") for line in PLAN.places[1].lines)
    view = replace(PLAN, about=(word,), places=(replace(PLAN.places[1], words="here", lines=lines),))
    for name, answer in ALL.items():
        yield name, render(spoiled(answer, [word]), view)
    for name, found in EXPLAINED.items():
        yield name, why_page(spoiled(found, [word]))
    for name, tried in SUPPOSED.items():
        yield name, suppose_page(spoiled(tried, [word]))


def without_drawing(element: Element) -> Any:
    """The structure, but for how many lines words fill in a drawing."""
    return tag(element), tuple(sorted(element.attrib)), [
        without_drawing(e) for e in element if tag(e) != "text"
    ]  # fmt: skip


PLAIN = dict(_spoiled_pages("Harmless words"))


@pytest.mark.parametrize("word", [HOSTILE, NASTY + "x", "<!--", "]]>", "&#x202e;", "</title>", "<b>"])
def test_hostile_words_change_no_element(word: str) -> None:
    for name, page in _spoiled_pages(word):
        assert without_drawing(parsed(page)) == without_drawing(parsed(PLAIN[name])), name
        assert bare(visible(word)) in bare(said(page)), name


@settings(deadline=None, max_examples=25)
@given(st.lists(st.text(ALPHABET, max_size=40), min_size=1, max_size=5), st.sampled_from(sorted(ALL)))
@example([NASTY, "</script>"], "no-go")
def test_any_words_stay_words(texts: list[str], name: str) -> None:
    page = render(spoiled(ALL[name], texts), PLAN)
    assert all(char == "\n" or " " <= char <= "~" for char in page)
    shown = said(page)
    assert all(char.isspace() or visible(char) == char for char in shown)
    for element in parsed(page).iter():
        assert tag(element) not in LOADING


# -- the same facts ----------------------------------------------------------------------------------------


def page_facts(answer: Answer) -> Iterator[str]:
    """Those of the text; where the page has a table, the cells instead of the sentence."""
    for fact in facts(answer):
        if fact.endswith(" without the changes"):
            continue  # only where it is another verdict; each row is looked at below
        yield re.sub(r"^(\S+): (GO|NO-GO|UNDECIDED)$|^(\d+) against$", lambda m: m[1] or m[3], fact)
    for use in answer.ladder:
        yield from (use.use, use.verdict.value, str(use.bad), str(use.open), use.words)


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_the_page_says_the_facts_of_the_text(answer: Answer) -> None:
    shown = bare(said(render(answer, PLAN)))
    assert [fact for fact in page_facts(answer) if bare(fact) not in shown] == []


@pytest.mark.parametrize("answer", ALL.values(), ids=ALL)
def test_each_use_stands_beside_its_own_verdict(answer: Answer) -> None:
    section = next(e for e in elements(render(answer, PLAN), "section") if e.get("aria-labelledby") == "uses")
    rows = [[words(cell).strip() for cell in row] for row in section.iter() if tag(row) == "tr"]
    for use in answer.ladder:
        row = next(r for r in rows if r[0].startswith(use.use))
        other = use.without_changes not in ("", use.verdict.value)
        without = f" ({use.without_changes} without the changes)" if other else ""
        assert row[1:] == [use.verdict.value + without, str(use.bad), str(use.open)]


def test_a_changed_rule_is_beside_the_result_without_it() -> None:
    (section,) = [
        e
        for e in elements(PAGES["gate-no-go"], "section")
        if [words(h) for h in e if tag(h) == "h2"] == ["Changed rules (3)"]
    ]
    shown = words(section)
    for part in ("Without these changes: UNDECIDED", "county.yaml:9", "2026-12-31", "an invented office"):
        assert part in shown


def test_the_same_answer_gives_the_same_bytes() -> None:
    assert render(NO_GO, PLAN) == PAGES["gate-no-go"]
    environment.cache_clear()
    assert render(NO_GO, PLAN) == PAGES["gate-no-go"]
