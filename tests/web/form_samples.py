"""Invented pages that ask or explain: forms in their plain and their wrong state, lists, errors."""

from __future__ import annotations

from datetime import date

from graftwright.web.models import (
    AsideEntry,
    AsidePage,
    CheckPage,
    CorrectPage,
    CrossOutPage,
    Door,
    ErrorPage,
    Figure,
    FirstRunPage,
    Gap,
    HandbookListPage,
    HandbookSheetPage,
    RecordKind,
    RecordKinds,
    RecordListPage,
    RecordPage,
    SheetLine,
    SheetStage,
)
from graftwright.web.parts import Act, Caution, Field, Form, Frame, Option
from web.samples import BAG, BATCH, DEMO, HEAT, HISTORY, TODAY

OWN = Frame(book="My book", day=TODAY)
ENTRY = "01JRS0V6Y8ZC3N4K5M6P7Q8R9S"
DAY = Field("day", "On which day", "date", str(TODAY), needed=True)
NOTE = Field("note", "Anything to add", "long text")


def options(*words: str) -> tuple[Option, ...]:
    return tuple(Option(word, word) for word in words)


RECORD_LIST = RecordListPage(
    groups=(
        RecordKinds(
            "At the bench",
            (
                RecordKind("Graft", "unions made in one sitting", "/record/graft"),
                RecordKind("Check", "one look at a batch or a place", "/record/check"),
                RecordKind("Lose", "a graft found dead", "/record/lose"),
            ),
        ),
        RecordKinds(
            "Seed and wood",
            (
                RecordKind("Receive", "nuts, wood or stocks that came in", "/record/receive"),
                RecordKind("Chill", "put seed into moist cold", "/record/chill"),
            ),
        ),
    )
)
RECORD_PLAIN = RecordPage(
    title="Graft",
    form=Form(
        "/record/graft",
        ENTRY,
        "Write it down",
        "/record",
        fields=(
            Field("count", "How many did you make", "number", needed=True, least=1),
            Field("scion", "Which wood", "code", help="the code on its label"),
            Field(
                "sheet", "How raised", "choice", "closed bag", options=options("closed bag", "plain graft")
            ),
            Field("buds", "Buds on each", "row", "1", options=options("1", "2", "3")),
            Field("by", "Who grafted", help="leave it empty if it was you"),
            DAY,
            NOTE,
        ),
    ),
    cautions=(
        Caution(
            "Cut away from the hand, guard the fingers, and wear a cut-resistant glove on the holding hand."
        ),
    ),
)
RECORD_WRONG = RecordPage(
    title="Lose",
    subject=BATCH,
    said="10 are growing in it.",
    form=Form(
        "/record/lose",
        ENTRY,
        "Write it down",
        "/record",
        trouble="Nothing was written yet.",
        do="Two answers need another look.",
        fields=(
            Field(
                "count",
                "How many",
                "number",
                "14",
                error="Only 10 are growing in this batch. Type 10 or fewer.",
                needed=True,
                least=1,
            ),
            Field(
                "reason",
                "Why",
                "choice",
                options=options("", "mould", "no join", "rotted"),
                error="Choose a reason; 'unknown' is one.",
                needed=True,
            ),
            Field(
                "sure",
                "How sure are you",
                "row",
                "guess",
                options=options("sure", "guess"),
                error="Choose one of the two.",
            ),
            Field(
                "stock",
                "Code of the stock",
                "code",
                "K7QF4",
                error="A code has six characters.",
                help="if it lives",
            ),
            DAY,
        ),
    ),
)

SIGNS = (
    Field("leaves", "Leaves open", "row", options=options("0", "1", "2", "3", "4+")),
    Field("air", "Air in the bag", "row", options=options("wet drops", "misted", "clear")),
    Field("medium", "Medium", "row", options=options("dripping", "moist", "dry")),
    Field("mould", "Mould", "row", options=options("none", "on the nut only", "on the union", "on leaves")),
)


def counting(total: int, *names: str) -> tuple[Field, ...]:
    return tuple(Field.counting(name.replace(" ", "-"), name, total) for name in names)


CHECK_BAG = CheckPage(
    subject=BAG,
    total=2,
    form=Form(f"/{BAG.code}/check", ENTRY, "Write the check", f"/{BAG.code}", fields=(DAY, NOTE)),
    seen=counting(2, "still callusing", "buds swollen", "leaves open"),
    dead=counting(2, "from mould", "no join"),
    rarer=counting(2, "slipped", "rotted", "too wet", "overheated", "unknown"),
    not_looked=(Field.counting("not_looked", "not looked at", 2),),
    guess=(Field("guess", "Why they died is a guess", "tick"),),
    signs=SIGNS,
    cautions=(HEAT,),
)
CHECK_GAP = CheckPage(
    subject=BATCH,
    total=10,
    form=Form(f"/{BATCH.code}/check", ENTRY, "Write the check", f"/{BATCH.code}", fields=(DAY,)),
    seen=(
        Field.counting("callusing", "still callusing", 10, "1"),
        Field.counting("swollen", "buds swollen", 10, "7"),
    ),
    dead=(Field.counting("mould", "from mould", 10, "0"),),
    rarer=(Field.counting("rotted", "rotted", 10, "0"),),
    not_looked=(Field.counting("not_looked", "not looked at", 10, "0", help="they stay as they were"),),
    gap=Gap(
        "10 were growing and you told of 8. What about the other 2?",
        Field(
            "gap",
            "The other 2 are",
            "row",
            options=options("not looked at", "dead", "miscounted"),
            needed=True,
        ),
    ),
)
REASON = Field("reason", "Why", help="so that you can still follow it in three years", needed=True)
CORRECT = CorrectPage(
    entry=HISTORY[1],
    rests=(HISTORY[0],),
    form=Form(
        "/entry/27/correct",
        ENTRY,
        "Put it right",
        f"/{BATCH.code}",
        fields=(
            Field("swollen", "buds swollen", "number", "8", least=0, most=12),
            Field("mould", "from mould", "number", "1", least=0, most=12),
            Field("day", "On which day", "date", "2026-04-08"),
            REASON,
        ),
    ),
)
CROSS_OUT = CrossOutPage(
    entry=HISTORY[1],
    must_go=(HISTORY[0],),
    form=Form("/entry/27/cross-out", ENTRY, "Cross it out", f"/{BATCH.code}", fields=(REASON,)),
)
CROSS_OUT_FREE = CrossOutPage(
    entry=HISTORY[0],
    form=Form("/entry/31/cross-out", ENTRY, "Cross it out", f"/{BATCH.code}", fields=(REASON,)),
)
ASIDE = AsidePage(
    entries=(
        AsideEntry(
            words="Lose 3 from M3XWA-9, mould",
            day="12 April",
            by="Piet Alder",
            arrived="Mon 13 April, 19:40",
            reason="Only 2 grafts stood in this bag on 12 April.",
            do="Look into the bag and see which of the two is right.",
            subject=BAG,
        ),
    )
)
HANDBOOK = HandbookListPage(
    sheets=(
        SheetLine(
            "Hypocotyl graft on a sprouted nut, closed bag",
            "Castanea, Juglans, Quercus, Corylus",
            "/handbook/hypocotyl-closed-bag",
            "a wedge set into a fresh sprout, raised in near-saturated air",
        ),
        SheetLine("Plain graft", "any genus", "/handbook/plain", "records anything; brings no figures"),
    ),
    species=(SheetLine("Sweet chestnut", "Castanea sativa", "/handbook/castanea-sativa"),),
)
SHEET = HandbookSheetPage(
    title="Hypocotyl graft on a sprouted nut, closed bag",
    genera="Castanea",
    about="Two grafts to a bag; only nut and union are covered.",
    version="Version 1 of this sheet, as kept in your book since 28 March 2026.",
    cautions=(HEAT,),
    stages=(
        SheetStage(
            "Callusing",
            "Ends by growth, when a bud of the graft is swollen and green.",
            figures=(
                Figure(
                    "half the plants there",
                    "10 days at 23 °C",
                    "practice",
                    "common practice, in a room of about 22 °C",
                    scope="Castanea",
                    yours="9 days, from 46 grafts",
                ),
                Figure(
                    "warmth to keep", "21 to 24 °C", "measured", "J. Nobody 1999, Invented Journal, table 2"
                ),
                Figure("share that pass, first time", "35 in 100", "assumed", "first guess"),
                Figure("stops below", "10 °C", "memory", "from memory of the same journal"),
                Figure(
                    "stops above",
                    "45 °C",
                    "review",
                    "a collection of twelve trials",
                    doubtful="misprinted; no plan uses it",
                ),
            ),
            work=("look for swelling, mould and moisture: 1 minute a bag, every 3 days",),
        ),
        SheetStage(
            "Leafing",
            "Ends by growth, at two open leaves.",
            figures=(
                Figure("act within", "3 days", "own", "you chose it on 2 April"),
                Figure("look every", "2 days", "practice", "Common practice.", yours="1 day (two batches)",
                       own_href="/handbook/hypocotyl-closed-bag/own?path=leafing.check_every.days",
                       own_words="Change your value, or take it back"),
            ),
        ),
    ),
    practice="You said: some practice. Plans count with what comes through then.",
    done=Form(
        "/handbook/hypocotyl-closed-bag/done", ENTRY, "Write it down",
        "/handbook/hypocotyl-closed-bag",
        (Field("done", "How many of these have you done?", "number", help="0, if it is your first time", least=0),),
    ),
)  # fmt: skip
ERROR = ErrorPage(
    "Not written",
    "K7QF4-2 is not a code: one character is wrong or two have changed places.",
    "Read the label again and type the six characters.",
    where="You typed k7qf42.",
)
FAULT = ErrorPage(
    "Something went wrong on our side",
    "The page could not be made.",
    "Nothing is lost. Go back and try once more.",
    reference="5F3A09C1",
)
FIRST = FirstRunPage(start=Act("Start my own book", "/first/own"))
DOORS = FirstRunPage(
    doors=(
        Door("I have grafts standing here", "Five questions, then the next date.", "/first/standing"),
        Door("I want trees: how many do I start?", "This door is not open yet."),
        Door("I have nuts or wood: note it", "Count them once.", "/record/receive"),
    ),
)


def framed(here: str, *, demo: bool = False) -> Frame:
    frame = DEMO if demo else OWN
    return Frame(frame.book, frame.day, here, frame.aside, frame.demo)  # type: ignore[arg-type]


PAGES = {
    "record-list": ("record_list.html", framed("record"), RECORD_LIST),
    "record": ("record.html", framed("record"), RECORD_PLAIN),
    "record-wrong": ("record.html", framed("record", demo=True), RECORD_WRONG),
    "check-bag": ("check.html", framed(""), CHECK_BAG),
    "check-gap": ("check.html", framed(""), CHECK_GAP),
    "correct": ("correct.html", framed(""), CORRECT),
    "cross-out": ("crossout.html", framed(""), CROSS_OUT),
    "cross-out-free": ("crossout.html", framed(""), CROSS_OUT_FREE),
    "aside": ("aside.html", framed("aside", demo=True), ASIDE),
    "aside-empty": ("aside.html", framed("aside"), AsidePage()),
    "handbook": ("handbook_list.html", framed("handbook"), HANDBOOK),
    "sheet": ("handbook_sheet.html", framed("handbook"), SHEET),
    "error": ("error.html", framed(""), ERROR),
    "fault": ("error.html", framed("", demo=True), FAULT),
    "first": ("first_run.html", Frame("Graftwright", date(2026, 2, 1), demo=True), FIRST),
    "doors": ("first_run.html", Frame("My book", date(2026, 2, 1), wrote="Written down."), DOORS),
}
