"""What may stand in the file of a genus."""

from __future__ import annotations

from graftwright.handbook.fields import Flag, Key, Number, Rows, Span, Table, Word, Words
from graftwright.handbook.schema import FIGURE, RESPONSES, SEED_STAGE, celsius, celsius_span, days

CHILLINGS = ("none", "cold", "warm then cold", "root first")

RESPONSE = Table(
    "a response",
    {"base": celsius(), "optimum": celsius(), "ceiling": celsius()},
    ("base", "optimum", "ceiling"),
    unit="degC",
)

SPECIES = Table(
    "a species file",
    {
        "species": Table(
            "a species",
            {
                "genus": Key(),
                "common": Word(),
                "version": Number(1, 10_000, whole=True, sourced=False),
                "members": Rows(
                    Table("a member", {"name": Word(), "common": Word()}, ("name", "common"), sourced=False)
                ),
                "caution": Words(),
            },
            ("genus", "common", "version"),
        ),
        "response": Table("the responses", dict.fromkeys(RESPONSES, RESPONSE), sourced=False),
        "chill": Table(
            "the chill",
            {
                "kind": Word(CHILLINGS, sourced=True),
                "sprouts_in_cold": Flag(sourced=True),
                "minimum_days": days(1.0, 400.0),
                "days": Span(1.0, 400.0, "d"),
                "temperature": celsius_span(),
                "portions": Number(0.0, 300.0, "portions"),
                "medium": Word(sourced=True),
            },
            ("kind",),
        ),
        "seed": Table(
            "the seed",
            {
                "floaters": Word(sourced=True),
                "lowest_moisture": Number(0.0, 100.0, "%"),
                "stage": Rows(SEED_STAGE, named_by="key"),
            },
        ),
        "scionwood": Table(
            "the scionwood",
            {
                "keeps_days": Span(1.0, 400.0, "d"),
                "temperature": celsius_span(),
                "humidity": Span(0.0, 100.0, "%"),
                "diameter": Span(0.5, 50.0, "mm"),
                "cut_before_budbreak_days": Span(1.0, 200.0, "d"),
            },
        ),
        "frost": Table("the frost", {"green_shoots": celsius(-20.0, 5.0), "dormant": celsius()}),
        "spacing": Table("the spacing", {"apart": Span(0.3, 30.0, "m"), "vigorous": Number(0.3, 30.0, "m")}),
        "pollination": Table(
            "the pollination",
            {
                "self_fertile": Flag(sourced=True),
                "by": Word(sourced=True),
                "genotypes": Number(1, 20, whole=True),
                "reach": Number(1.0, 1000.0, "m"),
                "reach_most": Number(1.0, 1000.0, "m"),
            },
        ),
        "stock": Rows(
            Table(
                "a stock",
                {
                    "scion": Word(),
                    "stock": Word(),
                    "fit": Word(("good", "mostly good", "fair", "doubtful", "poor"), sourced=True),
                    "why": Word(sourced=True),
                },
                ("scion", "stock", "fit"),
            ),
            told_by="{scion} on {stock}",
        ),
        "plant_health": Rows(
            Table("a plant-health note", {"says": Word(sourced=True)}, ("says",)), told_by="note"
        ),
        "figure": Rows(FIGURE, told_by="{about}"),
    },
    ("species",),
    sourced=False,
)
