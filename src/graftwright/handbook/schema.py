"""What may stand in a file of the handbook: keys, kinds, ranges and units."""

from __future__ import annotations

from graftwright.handbook.fields import Anything, Field, Key, Named, Number, Rows, Span, Table, Word, Words

ANY = "any"  # a sheet for every genus
YEARS = 3660.0  # days; nothing on a sheet waits longer than ten years

STEPS = (
    "graft",
    "vent",
    "pot",
    "harden",
    "plant",
    "store",
    "chill",
    "bring-out",
    "pull",
    "unwrap",
    "head-back",
)
PLACES = ("bag", "box", "tray", "pot", "bed", "row", "shelf", "room", "frame", "ground", "tree", "limb")
UNITS = ("nut", "bud", "stock", "graft")
EXPERIENCES = ("first_time", "some", "practised")
RESPONSES = ("callus", "sprouting")
VARIANTS = ("usual", "slow")
MEASURES = ("swollen", "leaves", "sprout_mm")


def days(low: float = 0.1, high: float = YEARS) -> Number:
    return Number(low, high, "d")


def celsius(low: float = -60.0, high: float = 60.0) -> Number:
    return Number(low, high, "°C")


def celsius_span(low: float = -10.0, high: float = 45.0) -> Span:
    return Span(low, high, "°C")


def _share() -> Number:
    return Number(0.001, 0.999)


PACE = Table(
    "a pace",
    {
        "kind": Word(("thermal", "calendar")),
        "response": Word(RESPONSES),
        "days_at_optimum": days(),
        "days": days(),
        "spread": Number(0.01, 2.0),
        "batch_spread": Number(0.0, 2.0),
        "worth": Number(0.1, 1000.0, "batches"),
    },
    ("kind", "spread", "batch_spread", "worth"),
)

SHARE = Table(
    "a survival block",
    {"mean": _share(), "worth": Number(0.1, 100_000.0, "grafts"), "between_seasons": Number(0.0, 0.5)},
    ("mean", "worth"),
)

SURVIVAL = Table("a survival", dict.fromkeys(EXPERIENCES, SHARE), EXPERIENCES)

LIGHT = Table(
    "a light",
    {"ppfd": Span(0.0, 2500.0, "µmol m⁻² s⁻¹"), "hours": Span(0.0, 24.0, "h")},
    ("ppfd", "hours"),
)

KEEP = Table(
    "what to keep",
    {
        "temperature": celsius_span(),
        "rest": celsius_span(),
        "night": celsius_span(),
        "humidity": Span(0.0, 100.0, "%"),
        "light": LIGHT,
        "in_below": celsius(-10.0, 20.0),
    },
)

FOR_GENUS = Table("a stage for a genus", {"pace": PACE, "keep": KEEP, "survival": SURVIVAL})

TASK = Table(
    "a task",
    {
        "do": Word(),
        "minutes": Number(0.01, 600.0, "min"),
        "per": Word(("graft", "nut", "stick", "batch", "place", *PLACES)),
        "at": Word(("start", "check", "end")),
        "every_days": days(1.0),
        "after_days": days(1.0),
        "from": Word(("side shoot", "upright")),
        "caution": Words(),
    },
    ("do", "minutes", "per"),
)

USE = Table(
    "a use",
    {"item": Word(), "each": Number(0.001, 100.0), "litres": Number(0.001, 100.0, "l")},
    ("item",),
)

STEP = Table(
    "a step",
    {
        "variant": Word(VARIANTS),
        "what": Word(),
        "opening": Word(),
        "hours": Span(0.0, 2400.0, "h"),
        "humidity": Span(0.0, 100.0, "%"),
        "sign": Word(),
    },
    ("variant", "what", "hours", "sign"),
)

_STAGE_KEYS: dict[str, Field | Table | Rows | Named] = {
    "key": Key(),
    "of": Word(UNITS),
    "ends": Word(("by growth", "by you")),
    "milestone": Word(),
    "started_by": Word(STEPS, "step"),
    "ended_by": Word(STEPS, "step"),
    "ends_when": Table(
        "what ends a stage",
        {"sign": Word(), "measure": Word(MEASURES), "at_least": Number(1, 100)},
        ("sign",),
    ),
    "act_within": Table("the days to act", {"days": days(), "harm": Word()}, ("days", "harm")),
    "check_every": Table("the days between checks", {"days": days()}, ("days",)),
    "loss_shown": Table(
        "when losses show", {"days": days(), "spread": Number(0.01, 3.0)}, ("days", "spread")
    ),
    "give_up_after": Table("when to give up", {"days": days()}, ("days",)),
    "work": Rows(TASK, told_by="{do}, per {per}"),
    "uses": Rows(USE, told_by="{item}, per graft"),
    "step": Rows(STEP, told_by="{variant}: {what}; look for: {sign}"),
    "caution": Words(),
}

STAGE = Table("a stage", {**_STAGE_KEYS, "for": Named(FOR_GENUS)}, ("key", "of"))
SEED_STAGE = Table("a stage of the seed", {**_STAGE_KEYS, **FOR_GENUS.keys}, ("key", "of"))

FIGURE = Table(
    "a figure",
    {"about": Word(), "value": Word(sourced=True), "unit": Word()},
    ("about", "value"),
)

SHEET = Table(
    "a sheet file",
    {
        "sheet": Table(
            "a sheet",
            {
                "key": Key(),
                "title": Word(),
                "version": Number(1, 10_000, whole=True, sourced=False),
                "about": Word(),
                "genera": Words(),
                "buds_per_scion": Span(1, 10, "buds", whole=True),
                "per_place": Table(
                    "what a place holds",
                    {"kind": Word(PLACES), "units": Number(1, 100_000, "grafts", whole=True)},
                    ("kind", "units"),
                ),
                "take_at": Word(),
                "take_from_day": Number(1, 400, "d", whole=True),
                "union_at": Word(sourced=True),
                "caution": Words(),
            },
            ("key", "title", "version", "genera", "take_at"),
        ),
        "stage": Rows(STAGE, named_by="key"),
        "figure": Rows(FIGURE, told_by="{about}"),
    },
    ("sheet", "stage"),
    sourced=False,
)

SOURCE = Table(
    "a source",
    {
        "key": Key(),
        "authors": Word(),
        "year": Number(1500, 2100, whole=True, sourced=False),
        "title": Word(),
        "about": Word(),
        "where": Word(),
        "seen": Word(("whole", "abstract", "in part", "restated", "not seen")),
    },
    ("key", "about", "where", "seen"),
    sourced=False,
)
SOURCES = Table("a bibliography", {"source": Rows(SOURCE)}, ("source",), sourced=False)

CAUTION = Table(
    "a caution", {"key": Key(), "title": Word(), "says": Word()}, ("key", "title", "says"), sourced=False
)
CAUTIONS = Table("the cautions", {"caution": Rows(CAUTION)}, ("caution",), sourced=False)

OWN_VALUE = Table(
    "an own value",
    {"of": Word(), "path": Word(), "value": Anything(), "scope": Word(), "note": Word()},
    ("of", "path", "value", "scope"),
    sourced=False,
)
OWN_VALUES = Table("own values", {"value": Rows(OWN_VALUE)}, ("value",), sourced=False)
