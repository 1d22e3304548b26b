"""Invented pages for looking at: Oda Fenn's chestnuts in mid-season, and every odd state beside them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from graftwright.web.charts import Away, Check, Milestone, Ribbon, Span
from graftwright.web.models import (
    BagPage,
    BatchPage,
    GraftsHere,
    History,
    PlaceLines,
    PlanPart,
    PlantPage,
    SeasonPage,
    StillOn,
    TodayPage,
    WeekHours,
    WishLine,
)
from graftwright.web.parts import (
    Act,
    Caution,
    Count,
    DueLine,
    Fact,
    Form,
    Frame,
    HistoryLine,
    Subject,
    Window,
)

TODAY = date(2026, 4, 14)
DEMO = Frame(book="Fenn's bench", day=TODAY, here="today", aside=1, demo=True)

BATCH = Subject("K7QF4-Z", "Grey Marron on seedlings of Hollow Lane", "six bags on the 22 °C shelf, kitchen")
BAG = Subject("M3XWA-9", "Sunday Brown on seedlings of Hollow Lane", "bag 4 on the window sill, 17 °C")
LATER = Subject("T8RHE-4", "Tall Wenna on mixed seedlings", "tray on the bench")

HEAT = Caution(
    "A closed bag in sunlight cooks its grafts within an hour. Under lights the inside runs warmer "
    "than the room: measure inside."
)


def day(number: int, month: int = 4) -> date:
    return date(2026, month, number)


def act(words: str, code: str, tail: str) -> Act:
    return Act(words, f"/{code}/{tail}")


LATE_LINE = DueLine(
    what="Look for open leaves",
    subject=BAG,
    state="late",
    when="2 days",
    reason="Leaves were likely open by 12 April, and in a closed bag they press against the sides and mould "
    "within three days.",
    acts=(act("Check this bag", BAG.code, "check"),),
    window=Window("leaves open", day(8), day(12), day(15)),
)
DUE_LINE = DueLine(
    what="Check the swelling",
    subject=BATCH,
    state="due",
    when="today",
    reason="The last check was on 11 April; closed bags are looked at every three days.",
    acts=(act("Check these bags", BATCH.code, "check"),),
    window=Window("buds swollen", day(9), day(13), day(18)),
)
COMING_LINE = DueLine(
    what="Begin to let the air dry",
    subject=BATCH,
    state="coming",
    when="in 5 days",
    reason="Two leaves are likely open by then, on a Sunday when you are free.",
    acts=(act("See the batch", BATCH.code, ""),),
    window=Window("ready to wean", day(17), day(19), day(24)),
)
POTTING_LINE = DueLine(
    what="Have twelve pots ready",
    subject=LATER,
    state="coming",
    when="in 9 days",
    reason="Roots fill the nut bags from about 23 April on.",
    acts=(act("See the batch", LATER.code, ""),),
)

TODAY_FULL = TodayPage(
    day=TODAY,
    next_check="Friday 17 April: the six bags of Grey Marron, because closed bags are looked at every "
    "three days.",
    pressing=(LATE_LINE,),
    places=(PlaceLines("Kitchen, 22 °C shelf", (DUE_LINE,)),),
    coming=(COMING_LINE, POTTING_LINE),
    still_on=(StillOn("Tape", LATER, day(26)), StillOn("Fleece", BATCH, day(12), late=True)),
    cautions=(HEAT,),
)
TODAY_EMPTY = TodayPage(
    day=date(2026, 11, 3), next_check="No graft stands in this book, so there is nothing to look at."
)

RIBBON = Ribbon(
    key="K7QF4-Z",
    title="Windows of this batch, for the plants still growing",
    start=day(28, 3),
    start_words="grafted",
    today=TODAY,
    milestones=(
        Milestone(
            "buds swollen",
            day(5),
            day(8),
            day(12),
            seen=day(8),
            first=Span(day(3), day(4), day(6)),
            half=Span(day(6), day(8), day(10)),
        ),
        Milestone(
            "leaves open",
            day(10),
            day(14),
            day(19),
            first=Span(day(8), day(9), day(11)),
            tenth=Span(day(9), day(10), day(12)),
            half=Span(day(12), day(14), day(16)),
            ninetieth=Span(day(17), day(19), day(22)),
        ),
        Milestone("ready to wean", day(13), day(17), day(23), half=Span(day(14), day(17), day(20))),
        Milestone("rooted in the pot", day(5, 5), day(11, 5), day(20, 5)),
    ),
    checks=(
        Check(day(4), "12 looked at, none swollen, air misted"),
        Check(day(8), "8 of 12 swollen, 1 mould"),
        Check(day(11), "10 swollen, 1 no join"),
    ),
    away=(Away(day(24), day(28)),),
)

SHORT_RIBBON = Ribbon(
    key="H8TQ2-K",
    title="Windows of this plant",
    start=day(30, 5),
    start_words="potted",
    today=day(14, 6),
    milestones=(Milestone("good new growth", day(10, 6), day(13, 6), day(18, 6)),),
)

HISTORY = (
    HistoryLine(
        31,
        "11 April",
        "Check: 10 swollen, 1 dead (no join), medium moist",
        "Oda Fenn",
        correct_href="/entry/31/correct",
        cross_out_href="/entry/31/cross-out",
    ),
    HistoryLine(
        27,
        "8 April",
        "Check: 8 swollen, 3 callusing, 1 dead (mould)",
        "Oda Fenn",
        correct_href="/entry/27/correct",
        cross_out_href="/entry/27/cross-out",
    ),
    HistoryLine(
        26,
        "8 April",
        "Check: 9 swollen, 2 callusing, 1 dead (mould)",
        "Piet Alder",
        crossed_out="counted the bag beside it",
        replaced_by=27,
    ),
    HistoryLine(22, "4 April", "Check: 12 callusing, air misted", "Oda Fenn"),
    HistoryLine(14, "28 March", "Grafted 12 with one bud each, wedge in cleft, two to a bag", "Oda Fenn"),
)
COUNTS = (
    Count(12, "made", "made", "/K7QF4-Z#entry-14"),
    Count(1, "mould", "lost", "/K7QF4-Z?lost=mould"),
    Count(1, "no join", "lost", "/K7QF4-Z?lost=no-join"),
    Count(10, "growing", "growing", "/K7QF4-Z?growing"),
)
BATCH_FULL = BatchPage(
    subject=BATCH,
    counts=COUNTS,
    facts=(
        Fact("variety", "Grey Marron"),
        Fact("scion wood", "from the old tree at Withy End, cut 30 January", "/W2PNC-5"),
        Fact("stock", "sprouted nuts of Hollow Lane"),
        Fact("how raised", "hypocotyl graft on a sprouted nut, closed bag", "/handbook/hypocotyl-closed-bag"),
        Fact("grafter", "Oda Fenn"),
    ),
    acts=(
        act("Check", BATCH.code, "check"),
        act("Open the bags a little", BATCH.code, "vent"),
        act("Carry to another shelf", BATCH.code, "carry"),
        act("Write something else", BATCH.code, "record"),
    ),
    history=History(HISTORY),
    ribbons=(RIBBON,),
    due=(DUE_LINE,),
    cautions=(HEAT,),
)
BATCH_UNTRIED = BatchPage(
    subject=LATER,
    counts=(Count(400, "made", "made"), Count(37, "not known why", "lost"), Count(363, "growing", "growing")),
    facts=(Fact("how raised", "plain graft"),),
    acts=(act("Check", LATER.code, "check"),),
    history=History(),
    no_window="The handbook has no figures for this kind of tree raised in this way, so no dates are shown. "
    "The next check comes by the calendar, every seven days.",
)

BAG_PAGE = BagPage(
    subject=BAG,
    kind="bag",
    grafts=(
        GraftsHere(LATER, "leafing", (Count(2, "made", "made"), Count(2, "growing", "growing"))),
        GraftsHere(BATCH, "callusing", (Count(1, "growing", "growing"),)),
    ),
    acts=(
        act("Check", BAG.code, "check"),
        act("Open a little", BAG.code, "vent"),
        act("Carry", BAG.code, "carry"),
    ),
    history=History(HISTORY[3:]),
    air=(
        Fact("air", "misted, on 11 April"),
        Fact("opening", "closed since 28 March"),
        Fact("warmth", "17 °C, typed in by you"),
    ),
    due=(LATE_LINE,),
    cautions=(HEAT,),
)
BAG_EMPTY = BagPage(
    Subject("C3JPR-X", "Bag 9"), "bag", (), (act("Put grafts in", "C3JPR-X", "graft"),), History()
)
PLANT = PlantPage(
    subject=Subject("H8TQ2-K", "Grey Marron on a seedling of Hollow Lane", "pot 3, bench by the door"),
    stage="settled since 2 June, 41 cm tall",
    facts=(
        Fact("variety", "Grey Marron; label read, sure"),
        Fact("from", "batch K7QF4-Z", "/K7QF4-Z"),
        Fact("union", "stem, wedge in cleft, even fit"),
        Fact("tie", "off since 22 April"),
        Fact("for", "Mara Quill"),
    ),
    acts=(
        act("Check", "H8TQ2-K", "check"),
        act("Harden", "H8TQ2-K", "harden"),
        act("Give", "H8TQ2-K", "give"),
    ),
    history=History(HISTORY[:2]),
    ribbon=SHORT_RIBBON,
)
PLANT_ENDED = PlantPage(
    subject=Subject("P4WLE-6", "Tall Wenna on a mixed seedling"),
    stage="",
    facts=(Fact("from", "batch T8RHE-4", "/T8RHE-4"),),
    acts=(),
    history=History(HISTORY[4:]),
    ended="Dead, found 19 May: root rot.",
)

CROWDED_NAME = "Bergerinneringszoetekastanjezaailingenverzameling van de Zwaluwenhoek"
BATCH_CROWDED = replace(
    BATCH_FULL,
    subject=Subject("K7QF4-Z", f"{CROWDED_NAME} op 山栗の実生", CROWDED_NAME),
    counts=(Count(60, "made", "made"), *(Count(1, f"reason {n}", "lost") for n in range(12)), COUNTS[3]),
    facts=(Fact("how it was brought here", CROWDED_NAME, "/W2PNC-5"),),
    ribbons=(
        replace(
            RIBBON,
            title=CROWDED_NAME,
            milestones=(
                Milestone(
                    "first look at the end of the fourth year", day(5), day(8), date(2029, 11, 1), seen=day(8)
                ),
            ),
            checks=tuple(Check(day(n), f"check of {CROWDED_NAME}") for n in range(1, 30)),
        ),
    ),
)

SEASON_FORM = Form("/season/plan", "01JRS0V6Y8ZC3N4K5M6P7Q8R9S", "Make the plan again", "/season")
SEASON_EMPTY = SeasonPage(TODAY, (), (), (), None, stale=False, form=SEASON_FORM)
SEASON_FULL = SeasonPage(
    TODAY,
    (
        WishLine(
            "12 Grey Marron for own ground", "12 Grey Marron by 10 June: 31 %.",
            ("24 grafted, 21 living, 0 finished; expect 9 trees, 4 to 15 in 8 seasons of 10.",), "31%", "late",
            (act("Change it", "correct", "12"), act("No longer wanted", "cross-out", "12")),
        ),
        WishLine("3 Sunday Brown", "3 Sunday Brown by 10 June: 9 in 10.", (), "90%", "coming", ()),
    ),
    ("All wishes on the sheet hypocotyl-closed-bag in one season: 28%.",),
    ("3 Grey Marron promised to Runa Thistle: AT RISK, 46%.",),
    PlanPart(
        {}, "Kept on Tuesday 14 April 2026, entry 98.", ("Grey Marron: 12 grafts on 3 April instead of 28 March.",),
        ("Wish 12 (12 Grey Marron): only 9 of 28 grafts have wood.",), ("No last frost is known.",),
        (("Grey Marron: graft 9 on 18 April", ("Chill 12 nuts on 1 February.",), BATCH_FULL.ribbons[0]),),
        (WeekHours(day(13), 3.5, 100.0), WeekHours(day(20), 0.4, 11.4)), "12 nuts, 8.4 litres of medium",
    ),
    stale=True, form=SEASON_FORM,
    batches=((BATCH, (replace(BATCH_FULL.ribbons[0], key="growing"),)),),
)  # fmt: skip

# name of the sample -> (template, frame, page)
BENCH = Frame("Fenn's bench", TODAY, aside=1, demo=True)
MINE = Frame("My book", TODAY)
PAGES = {
    "today": ("today.html", DEMO, TODAY_FULL),
    "today-empty": ("today.html", Frame("My book", TODAY_EMPTY.day, "today"), TODAY_EMPTY),
    "batch": ("batch.html", BENCH, BATCH_FULL),
    "batch-untried": ("batch.html", MINE, BATCH_UNTRIED),
    "batch-crowded": ("batch.html", Frame(CROWDED_NAME, TODAY, aside=1234, demo=True), BATCH_CROWDED),
    "bag": ("bag.html", BENCH, BAG_PAGE),
    "bag-empty": ("bag.html", MINE, BAG_EMPTY),
    "plant": ("plant.html", Frame("My book", day(14, 6)), PLANT),
    "season": ("season.html", Frame("Fenn's bench", TODAY, "season", demo=True), SEASON_FULL),
    "season-empty": ("season.html", Frame("My book", TODAY, "season"), SEASON_EMPTY),
    "plant-ended": ("plant.html", MINE, PLANT_ENDED),
}
