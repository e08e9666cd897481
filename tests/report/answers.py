"""Hand-made answers to lay out: invented vehicles and readings, clauses and limits of the sources named.

Write the stored pages anew with `python tests/report/answers.py`, then read every one of them.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from precheck.answer.record import (
    Answer,
    CautionLine,
    Changed,
    ChangedPlace,
    ChangeLine,
    Evidence,
    Finding,
    Gap,
    LimitLine,
    Looked,
    PutOffLine,
    PutOffPlace,
    Question,
    Rest,
    SourceLine,
    UseLine,
)
from precheck.model.rules import Verdict

EXPECTED = Path(__file__).parent / "expected"
WIDTHS = (80, 120)

# 49 CFR 570.9(a): at least 2/32 in of tread on vehicles of 10,000 lb or less.
TREAD = Evidence(
    measure="tire-tread-depth",
    words="depth of a main groove, away from wear bars",
    place="left-front",
    outcome="fails",
    written=("1.5 mm",),
    exact=("3/2 mm",),
    converted=("about 0.0591 in",),
    limit="at least 2/32 in",
    limit_exact="0.0625 in",
    margin="about 0.00344 in short",
    known="measured",
    on="2026-10-03",
    by="RO",
    instrument="depth gauge",
    note="",
    why="",
    steps=(),
    inputs=(),
    passed_over=("'7/32 in' of 2026-09-12: a later reading counts",),
)
WEIGHT = replace(
    TREAD,
    measure="gross-weight-rating",
    words="largest permitted weight of the whole vehicle, as rated",
    place="vehicle",
    outcome="meets",
    written=("7500 lb",),
    exact=("7500 lb",),
    converted=(),
    limit="at most 10000 lb",
    limit_exact="10000 lb",
    margin="2500 lb to spare",
    known="papers",
    on="",
    by="",
    instrument="",
    passed_over=(),
    term=True,
)
TREAD_FINDING = Finding(
    rule="us-570-9a-tread",
    title="Tread depth",
    requires="Every tire keeps at least 2/32 inch of tread in its major grooves.",
    step="",
    place="left-front",
    place_words="left front",
    state="fails",
    fine="fails",
    weighs="bad",
    source="us-49cfr570",
    source_title="49 CFR part 570, vehicle in use inspection standards",
    clause="570.9(a)",
    checked="text",
    cite_note="",
    consequence="below the inspection standard",
    fix="Replace the tire; match size and construction on the axle.",
    chain="hold-road",
    system="tires",
    blocks="occasional",
    bears="occasional and all above it",
    limits=(),
    cautions=("tire-run-flat",),
    evidence=(WEIGHT, TREAD),
)


def tread(place: str, **changes: object) -> Finding:
    """The tread finding at another place, with another reading."""
    evidence = replace(TREAD, place=place, **changes)  # type: ignore[arg-type]
    return replace(
        TREAD_FINDING, place=place, place_words=place.replace("-", " "), evidence=(WEIGHT, evidence)
    )


HOLDING = replace(
    TREAD_FINDING,
    rule="floor-brake-holding",
    title="A means of holding",
    requires="Something holds the vehicle when it is left: the parking brake, or gear and chocks.",
    step="parking brake holds",
    place="vehicle",
    place_words="the vehicle",
    weighs="limited",
    source="floor",
    source_title="The floor",
    clause="brake-holding",
    checked="memory",
    consequence="",
    fix="Carry chocks and use them.",
    chain="stop",
    system="brakes",
    blocks="",
    bears="no use; watch it",
    limits=("take along: wheel chocks", "stop and park on level ground only"),
    cautions=(),
    evidence=(
        replace(
            TREAD,
            measure="holding-means",
            words="what keeps the vehicle where it is left",
            place="vehicle",
            written=("gear or chocks hold",),
            exact=("gear or chocks hold",),
            converted=(),
            limit="parking brake holds",
            limit_exact="",
            margin="",
            known="seen",
            instrument="",
            note="cable seized",
            passed_over=(),
        ),
    ),
)
COMBINED = replace(
    HOLDING,
    rule="combined-limits-stop",
    title="3 limits at once on what must stop",
    requires="Fewer than 3 limits of different rules on one chain (stop): each was allowed on the premise "
    "that the rest of the chain is sound.",
    step="",
    weighs="bad",
    clause="combined-limits",
    fix="Mend at least one of them.",
    system="",
    blocks="proving",
    bears="proving and all above it",
    limits=(),
    evidence=(),
    combined_from=(
        "A means of holding (floor-brake-holding)",
        "Parking brake (floor-parking-brake)",
        "Brake fluid age (floor-brake-fluid)",
    ),
)
PAIR = replace(
    TREAD_FINDING,
    rule="floor-tire-pressure-pair",
    title="Pressure left against right",
    requires="Tires on one axle differ by 3 psi at most.",
    place="rear",
    place_words="rear axle",
    source="floor",
    source_title="The floor",
    clause="tire-pressure-pair",
    checked="memory",
    cite_note="a figure of custom, no standard gives one",
    consequence="",
    fix="Fill both sides to the same figure, cold.",
    blocks="proving",
    bears="proving and all above it",
    cautions=("tire-inflation",),
    evidence=(
        replace(
            TREAD,
            measure="tire-pressure-cold",
            words="pressure with the tire cold",
            place="rear",
            written=("17 psi",),
            exact=("151239534792857/1290320000000 kPa",),
            converted=(),
            limit="at most 3 psi",
            limit_exact="3 psi",
            margin="14 psi over",
            known="",
            on="",
            by="",
            instrument="",
            steps=("44 psi less 27 psi is 17 psi",),
            inputs=(
                "tire-pressure-cold at left rear: 27 psi (measured 2026-10-03)",
                "tire-pressure-cold at right rear: 44 psi (measured 2026-10-03)",
            ),
            passed_over=(),
        ),
    ),
)
STEERING = replace(
    TREAD_FINDING,
    rule="own-steering",
    title="Steering box and arm",
    requires="The box is tight on the frame and the arm on its shaft.",
    place="vehicle",
    place_words="the vehicle",
    source="own-club",
    source_title="Rules of the owner's club, as stated by the owner",
    clause="4.2",
    checked="secondary",
    consequence="",
    fix="Tighten, and look for cracks.",
    chain="steer",
    system="steering",
    blocks="night",
    bears="night",
    cautions=(),
    evidence=(
        replace(
            TREAD,
            measure="steering-box-play",
            words="movement of the box",
            place="vehicle",
            written=("3/32 in", "0.1 in"),
            exact=("381/160 mm", "127/50 mm"),
            converted=(),
            limit="at most 1 mm",
            limit_exact="1 mm",
            margin="1.54 mm over",
            instrument="ruler",
            passed_over=(),
        ),
        replace(
            TREAD,
            measure="pitman-arm-security",
            words="arm on its shaft and its nut",
            place="vehicle",
            written=("nut loose",),
            exact=("nut loose",),
            converted=(),
            limit="tight and marked",
            limit_exact="",
            margin="",
            known="seen",
            instrument="",
            passed_over=(),
        ),
    ),
)

LADDER = (
    UseLine("yard", "own power on private ground", Verdict.GO, 0, 0, False),
    UseLine("proving", "first road drives, and the trip to a test", Verdict.NO_GO, 2, 3, False),
    UseLine("occasional", "chosen days in fair weather", Verdict.NO_GO, 3, 9, False),
    UseLine("everyday", "any day", Verdict.NO_GO, 3, 12, False),
    UseLine("night", "after dark", Verdict.NO_GO, 3, 10, True),
)
GAPS = (
    Gap(
        point="tire-date-code",
        words="week and year of manufacture",
        access="ground",
        access_words="round the vehicle on the ground, level and chocked",
        access_order=1,
        instrument="lamp, mirror",
        places=(
            ("left-rear", "no reading"),
            ("right-rear", "told only by RO on 2026-10-03: proving needs it measured or seen"),
        ),
        rules=3,
        states=(),
        unit="",
        lasts="permanent",
        cautions=("jacking-stands",),
    ),
    Gap(
        point="wheel-bearing-play",
        words="rock of the wheel, top and bottom",
        access="stands",
        access_words="axle on stands, wheel turned by hand",
        access_order=8,
        instrument="hands, dial gauge",
        places=(("left-front", "no reading"), ("right-front", "no reading")),
        rules=1,
        states=(),
        unit="mm",
        lasts="12 months or 3000 miles",
        cautions=("jacking-stands", "heavy-drums"),
    ),
    Gap(
        point="brake-pedal-feel",
        words="what the foot feels",
        access="seat",
        access_words="from the driver's seat, engine off",
        access_order=3,
        instrument="foot",
        places=(("vehicle", "void since wheel cylinder replaced on 2026-10-03"),),
        rules=2,
        states=("firm", "springy", "sinks"),
        unit="",
        lasts="the day of the reading",
        cautions=(),
    ),
    Gap(
        point="wheel-fasteners-missing",
        words="studs, nuts or bolts missing",
        access="ground",
        access_words="round the vehicle on the ground, level and chocked",
        access_order=1,
        instrument="eyes",
        places=(("left-rear", "no reading"),),
        rules=1,
        states=(),
        unit="count",
        lasts="the day of the reading",
        cautions=(),
    ),
)
QUESTION = Question(
    "brake-circuit-layout",
    "Does one burst pipe take all wheels, or only some?",
    ("one hydraulic circuit", "two hydraulic circuits"),
    "",
    41,
    "no reading",
)
WEIGHT_QUESTION = Question(
    "unladen-weight", "What does it weigh empty?", (), "lb", 1, "written as unknown on 2026-10-03"
)
# Made up: a county that tightens, sets aside and accepts what nobody did.
TIGHTER = Changed(
    kind="tightened",
    where="county.yaml:5",
    because="Loose gravel on every road of the county.",
    by="",
    since="2026-01-01",
    until="",
    source="An invented county ordinance, as stated by county.yaml",
    step=0,
    limit="at most 1 mm",
    limit_was="at most 2 mm",
)
SET_ASIDE = replace(
    TIGHTER,
    kind="set aside",
    where="county.yaml:9",
    because="No tires of one size are sold this winter.",
    by="an invented office",
    since="",
    until="2026-12-31",
    limit="",
    limit_was="",
)
ACCEPTED = replace(
    SET_ASIDE,
    kind="accepted",
    where="juniper.yaml:70",
    because="New ones come in spring.",
    by="RO",
    source="",
)
CHANGES = (
    ChangeLine(
        "own-steering",
        "Steering box and arm",
        "in force",
        (),
        1,
        (ChangedPlace("vehicle", "the vehicle", 0, "fails", "bad", "meets", "met"),),
        TIGHTER,
    ),
    ChangeLine(
        "us-570-9b-size",
        "One size on an axle",
        "in force",
        (),
        2,
        (
            ChangedPlace("front", "front axle", 2, "set aside", "set aside", "not measured", "open"),
            ChangedPlace("rear", "rear axle", 2, "set aside", "set aside", "not measured", "open"),
        ),
        SET_ASIDE,
    ),
    ChangeLine(
        "tire-trade-ten",
        "Ten years old",
        "in force",
        ("proving", "occasional"),
        1,
        (ChangedPlace("left-front", "left front", 0, "fails", "set aside", "fails", "bad"),),
        ACCEPTED,
    ),
    ChangeLine("tire-trade-six", "Six years old", "ended", (), 0, (), replace(ACCEPTED, until="2026-09-30")),
)
LIMITS = (
    LimitLine("speed", "top speed", "35 mph", ("usual for proving",)),
    LimitLine("level", "stop and park on level ground only", "", ("A means of holding, vehicle",)),
)
CAUTIONS = (
    CautionLine(
        "jacking-stands", "Stands under axle or frame, never a jack alone.", "common practice", "memory"
    ),
    CautionLine(
        "tire-run-flat",
        "A tire that was driven flat is looked at inside before it gets air.",
        "TM 9-2610-200-14 par. 2-3b(3)",
        "text",
    ),
    CautionLine(
        "heavy-drums", "Support the drum before the last nut comes out.", "common practice", "memory"
    ),
    CautionLine("tire-inflation", "Fill from out of line with the wheel.", "TM 9-2610-200-14", "text"),
)
FLOOR = SourceLine("floor", "The floor", "common practice", "1", "rules/floor", "nobody", 241)
LAW = SourceLine(
    "us-49cfr570",
    "49 CFR part 570, vehicle in use inspection standards",
    "regulation",
    "text of late 2024",
    "https://www.ecfr.gov/current/title-49/part-570",
    "inspection",
    16,
)
CLUB = SourceLine("own-club", "Rules of the owner's club, as stated by the owner", "own", "", "", "nobody", 1)
TRADE = SourceLine(
    "us-49cfr393",
    "49 CFR part 393, parts and accessories",
    "regulation",
    "text of January 2025",
    "https://www.ecfr.gov/current/title-49/part-393",
    "road",
    0,
    "for commercial service; this vehicle's service is private",
)
RESTS = (
    Rest(
        "tire-tread-depth",
        "left front",
        "1.5 mm",
        "2026-10-03",
        "RO",
        "measured",
        "depth gauge",
        "2027-01-01",
        "",
    ),
    Rest("tire-bulge", "left front", "no", "2026-10-03", "RO", "seen", "", "2026-10-03", "a drive"),
    Rest("fuel-tank-security", "main tank", "tight", "2026-09-12", "", "told", "", "", ""),
    Rest("build-date", "the vehicle", "1966-04", "", "", "papers", "", "", ""),
)

PUT_OFF = (
    PutOffLine(
        TREAD_FINDING.rule,
        TREAD_FINDING.title,
        "two new tires come with the pay of November",
        "RO",
        "2026-12-01",
        "48200 mi",
        ("occasional",),
        "juniper.yaml:41",
        "put off",
        (PutOffPlace("right-front", "right front", "fails"),),
        True,
    ),
    PutOffLine(
        "floor-horn",
        "Horn",
        "no horn at hand",
        "",
        "2026-09-30",
        "",
        (),
        "juniper.yaml:42",
        "not found any more",
        (),
        False,
    ),
)

NO_GO = Answer(
    file="juniper.yaml",
    called="Juniper",
    day="2026-10-03",
    day_given=True,
    looking_back=False,
    uses=("proving",),
    shown_for=("proving",),
    verdict=Verdict.NO_GO,
    headline="NO-GO for proving on 2026-10-03",
    highest="yard",
    ladder=LADDER,
    blocking=(
        COMBINED,
        PAIR,
        tread("left-front"),
        tread("right-front"),
        tread(
            "left-rear",
            written=("1/32 in", "2/32 in"),
            converted=(),
            margin="1 32nds in short",
            note="inner groove",
        ),
        replace(STEERING, changed=(TIGHTER,), state_without="meets", weighs_without="met"),
    ),
    limited=(HOLDING,),
    limits=LIMITS,
    highest_limits=(),
    turn_back=("The pedal goes lower than at the start.",),
    gaps=GAPS,
    questions=(QUESTION, WEIGHT_QUESTION),
    asked_back=("line 12: tire-pressure-cold at left-rear: '270 psi' is more than is likely",),
    watch=(
        "brake-lining-thickness, left front: better by itself: '3 mm' on 2026-09-12, '4 mm' on 2026-10-03",
    ),
    beside=(
        replace(
            tread("right-rear", written=("3/32 in",), limit="at least 4/32 in", margin="1 32nds in short"),
            rule="floor-tire-tread-wet",
            title="Tread for wet roads",
            source="floor",
            source_title="The floor",
            clause="tire-tread",
            checked="memory",
            weighs="beside",
            blocks="everyday",
            bears="everyday",
        ),
    ),
    rests_on=RESTS,
    first_to_run_out=("tire-bulge (left front): last day 2026-10-03",),
    hearsay=("fuel-tank-security, main tank: told on 2026-09-12",),
    looked=(
        Looked("2026-09-12", "", 1, ()),
        Looked("2026-10-03", "RO", 34, ("depth gauge", "hammer")),
    ),
    cautions=CAUTIONS,
    judged_by=(FLOOR, LAW, CLUB),
    left_out=(TRADE,),
    region="us",
    inspects="Each state decides whether private vehicles are inspected.",
    ask="Ask the motor vehicle office of the state.",
    findings=(
        tread("left-front"),
        replace(HOLDING, state="meets", fine="meets (or does not apply)", weighs="met"),
    ),
    counts=(
        ("meets", 120),
        ("fails", 6),
        ("not measured", 7),
        ("cannot tell", 1),
        ("does not apply", 11),
        ("set aside", 0),
    ),
    notices=(
        "county.yaml:7: us-570-9a-tread tightened: this ended on 2026-09-30, so it does nothing on this day.",
    ),
    version="0.1.0",
    rules_digest="c4fac1150c6ab346",
    exit_code=1,
    changes=CHANGES,
    without_changes="UNDECIDED",
    put_off=PUT_OFF,
)
_NOTHING = replace(
    NO_GO,
    blocking=(),
    limited=(),
    limits=(),
    gaps=(),
    questions=(),
    asked_back=(),
    watch=(),
    beside=(),
    hearsay=(),
    cautions=(),
    notices=(),
    changes=(),
    without_changes="",
    put_off=(),
)
GO = replace(
    _NOTHING,
    day_given=False,
    verdict=Verdict.GO,
    headline="GO for proving on 2026-10-03",
    limited=(HOLDING,),
    limits=LIMITS,
    highest_limits=(),
    turn_back=("The pedal goes lower than at the start.", "A smell of fuel, burning or hot brakes."),
    ladder=(LADDER[0], replace(LADDER[1], verdict=Verdict.GO, bad=0, open=0), *LADDER[2:]),
    highest="proving",
    exit_code=0,
)
MANY = replace(
    _NOTHING,
    called="",
    uses=(),
    shown_for=("yard",),
    verdict=Verdict.UNDECIDED,
    headline="UNDECIDED for yard on 2026-10-03",
    highest="",
    ladder=(replace(LADDER[0], verdict=Verdict.UNDECIDED, open=31), *LADDER[1:]),
    gaps=tuple(
        replace(gap, point=f"{gap.point}-{number}", access_order=gap.access_order)
        for number in range(1, 8)
        for gap in GAPS
    ),
    questions=(QUESTION,),
    rests_on=(),
    first_to_run_out=(),
    looked=(),
    cautions=CAUTIONS[:1],
    judged_by=(FLOOR,),
    left_out=(LAW,),
    region="",
    inspects="",
    ask="",
    exit_code=3,
)
NEXT = replace(
    NO_GO,
    uses=(),
    verdict=Verdict.GO,
    headline="GO for yard on 2026-10-03; you have not said for what",
    blocking=(PAIR,),
    gaps=GAPS[2:3],
    questions=(),
    asked_back=(),
    beside=(),
    cautions=CAUTIONS[3:],
    exit_code=3,
    ladder=(LADDER[0], replace(LADDER[1], without_changes="UNDECIDED"), *LADDER[2:]),
    changes=CHANGES[2:],
    without_changes="NO-GO",
)
BACK = replace(
    GO,
    looking_back=True,
    day_given=True,
    uses=("everyday",),
    shown_for=("everyday", "night"),
    verdict=Verdict.UNDECIDED,
    headline="UNDECIDED for everyday on 2026-10-03 (looking back)",
    limited=(),
    limits=(),
    exit_code=3,
)

ALL = {"no-go": NO_GO, "go": GO, "many": MANY, "next": NEXT, "looking-back": BACK}


def stored(name: str, width: int) -> Path:
    return EXPECTED / f"{name}-{width}.txt"


if __name__ == "__main__":
    from precheck.report.text import render

    for name, answer in ALL.items():
        for width in WIDTHS:
            stored(name, width).write_text(render(answer, width), encoding="ascii")
