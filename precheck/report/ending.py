"""The end of the text report: what the answer rests on, cautions, and what it does not say."""

from __future__ import annotations

from collections import Counter

from precheck.answer.record import Answer, Rest, SourceLine
from precheck.report.lines import Page, counted, listed
from precheck.report.missing import Cautions

BINDS = {
    "road": "binds on the road",
    "inspection": "binds at an inspection",
    "nobody": "binds nobody by itself",
}
_KNOWN = {"papers": "from the papers", "same-as": "the same as at another place"}


def ending(answer: Answer, cautions: Cautions, page: Page) -> None:
    """The sections after the findings, in order."""
    rests(answer, page)
    looked(answer, page)
    cautions_left(cautions, page)
    honesty(answer, page)
    sources(answer, page)


def rests(answer: Answer, page: Page) -> None:
    """The readings behind the answer, what ends first, hearsay."""
    page.heading(f"WHAT IT RESTS ON ({counted(len(answer.rests_on), 'reading')})")
    for (on, by), known in _by_visit(answer.rests_on).items():
        said = listed(f"{number} {_KNOWN.get(word, word)}" for word, number in known.items())
        page.say(f"{' by '.join(w for w in (on, by) if w) or 'without a date'}: {said}", 2)
    if answer.first_to_run_out:
        page.say(f"Runs out first: {'; '.join(answer.first_to_run_out)}.", 2)
    page.say(
        f"The answer ends at midnight on {answer.day}, and before that with any event that ends a reading: "
        "a drive, work, a knock, a leak.",
        2,
    )
    if answer.hearsay:
        page.say("Hearsay that counts, seen or measured by nobody here:", 2)
        for line in answer.hearsay:
            page.say(f"- {line}", 4)
    if answer.counts:
        total = sum(number for _, number in answer.counts)
        said = listed(f"{state} {number}" for state, number in answer.counts)
        page.say(f"Requirements, each at each place: {total} in all; {said}.", 2)


def _by_visit(rests: tuple[Rest, ...]) -> dict[tuple[str, str], Counter[str]]:
    found: dict[tuple[str, str], Counter[str]] = {}
    for rest in sorted(rests, key=lambda r: (r.on, r.by)):
        found.setdefault((rest.on, rest.by), Counter())[rest.known] += 1
    return {visit: Counter(dict(sorted(known.items()))) for visit, known in found.items()}


def looked(answer: Answer, page: Page) -> None:
    """One line a visit."""
    if answer.looked:
        page.heading("WHO LOOKED, WHEN, WITH WHAT")
    for visit in answer.looked:
        who = f", {visit.by}" if visit.by else ", no name given"
        tools = f", with {listed(visit.instruments)}" if visit.instruments else ""
        page.say(f"{visit.on}{who}: {counted(visit.readings, 'reading')}{tools}", 2)


def cautions_left(cautions: Cautions, page: Page) -> None:
    """Cautions that were not told yet, and what is to be known of all of them."""
    if cautions.left:
        page.heading(f"CAUTIONS ({cautions.left})")
        cautions.remaining(page, 2)
    cautions.unsourced(page)


def honesty(answer: Answer, page: Page) -> None:
    """What the answer does not say, and who decides."""
    page.heading("WHAT THIS IS NOT")
    page.say("This is the owner's own pre-check. It is no inspection, and it gives no right to drive.", 2)
    page.say("Local inspection law and licensed inspectors decide.", 2)
    if answer.region:
        page.say(f"Here ({answer.region}): {answer.inspects} {answer.ask}", 2)
    else:
        page.say("The region is not answered, so no local law was looked at. Answer 'region'.", 2)
    page.say("Not asked: registration, insurance, and whether an inspection is due.", 2)
    page.say("Ask the authority about open recalls.", 2)


def sources(answer: Answer, page: Page) -> None:
    """Which sources judged and which were left out."""
    page.heading(f"WHICH RULES JUDGED ({counted(len(answer.judged_by), 'source')})")
    for source in answer.judged_by:
        page.say(f"- {_source(source)}; {counted(source.rules, 'rule')}", 2)
        if source.address:
            page.say(source.address, 4)
    if answer.left_out:
        page.say(f"Left out ({len(answer.left_out)}):", 2)
        for source in answer.left_out:
            page.say(f"- {_source(source)}; left out: {source.why or 'no reason given'}", 4)
    page.say(f"precheck {answer.version}, rules {answer.rules_digest}", 2)


def _source(source: SourceLine) -> str:
    edition = f", edition {source.edition}" if source.edition else ""
    return f"{source.id}: {source.title}{edition} ({source.kind}, {BINDS.get(source.binds, source.binds)})"
