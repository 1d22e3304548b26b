"""What a sheet and a species give to a plan, and what they keep from it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from graftwright.handbook import Figure, Origin, Sheet, load_handbook, parse_sheet, parse_species, untried
from handbook_texts import SHEET, SPECIES, spoil

GUESS = Origin("first guess", "assumed")


def figures(sheet: Sheet) -> dict[str, Figure]:
    return {figure.path: figure for figure in sheet.values()}


def test_a_value_takes_its_own_origin_else_its_blocks_else_its_stages() -> None:
    text = spoil(
        SHEET,
        (
            "spread = 0.2\n",
            'spread = { value = 0.2, source = "x-1990", grade = "measured", scope = "apple" }\n',
        ),
        ("worth = 3\n", 'worth = 3\nsource = "common practice"\ngrade = "practice"\nscope = "a warm room"\n'),
    )
    found = figures(parse_sheet(text, "s"))
    assert found["grafted.for.Malus.pace.spread"].origin == Origin("x-1990", "measured", "apple")
    block = Origin("common practice", "practice", "a warm room")
    assert found["grafted.for.Malus.pace.days_at_optimum"].origin == block
    assert found["grafted.for.Malus.survival.some.mean"].origin == GUESS


def test_a_source_of_its_own_leaves_scope_doubt_and_note_of_the_outer_one_behind() -> None:
    outer = Origin("x", "measured", "apple", doubtful=True, note="odd")
    assert outer.narrowed({"source": "y", "grade": "review"}) == Origin("y", "review")


def test_a_note_or_a_doubt_alone_stays_with_the_outer_source() -> None:
    outer = Origin("x", "measured", "apple")
    assert outer.narrowed({"note": "odd"}) == Origin("x", "measured", "apple", note="odd")
    assert outer.narrowed({"doubtful": True}).doubtful


def test_every_number_of_a_sheet_is_a_figure_with_path_value_and_unit() -> None:
    found = [(one.path, one.value, one.unit) for one in parse_sheet(SHEET, "s").values()]
    assert found == [
        ("grafted.check_every.days", 7, "d"),
        ("grafted.work.1.minutes", 1, "min"),
        ("grafted.uses.1.each", 1, ""),
        ("grafted.for.Malus.pace.days_at_optimum", 20, "d"),
        ("grafted.for.Malus.pace.spread", 0.2, ""),
        ("grafted.for.Malus.pace.batch_spread", 0.1, ""),
        ("grafted.for.Malus.pace.worth", 3, "batches"),
        ("grafted.for.Malus.survival.first_time.mean", 0.6, ""),
        ("grafted.for.Malus.survival.first_time.worth", 6, "grafts"),
        ("grafted.for.Malus.survival.some.mean", 0.8, ""),
        ("grafted.for.Malus.survival.some.worth", 12, "grafts"),
        ("grafted.for.Malus.survival.practised.mean", 0.9, ""),
        ("grafted.for.Malus.survival.practised.worth", 20, "grafts"),
        ("grafted.for.Malus.survival.practised.between_seasons", 0.05, ""),
    ]


def test_a_text_is_read_once() -> None:
    """A forecast reads the sheet stored with its batch at every entry."""
    assert parse_sheet(SHEET, "s") is parse_sheet(SHEET, "s")
    assert parse_sheet(SHEET, "s") is not parse_sheet(SHEET, "t")


def test_a_row_is_told_in_words() -> None:
    found = figures(parse_sheet(SHEET, "s"))
    assert found["grafted.work.1.minutes"].about == "look, per graft"
    assert found["grafted.check_every.days"].about == ""


@pytest.mark.parametrize(
    ("change", "part"),
    [
        (("spread = 0.2\n", "spread = { value = 0.2, doubtful = true }\n"), "pace"),
        (("at_optimum = 20\n", "at_optimum = { value = 20, doubtful = true }\n"), "pace"),
        (("worth = 3\n", "worth = 3\ndoubtful = true\n"), "pace"),
        (("mean = 0.6", "mean = { value = 0.6, doubtful = true }"), "survival"),
        (("seasons = 0.05", "seasons = { value = 0.05, doubtful = true }"), "survival"),
    ],
)
def test_a_doubtful_value_is_shown_and_takes_its_block_out_of_every_plan(
    change: tuple[str, str], part: str
) -> None:
    sheet = parse_sheet(spoil(SHEET, change), "s")
    assert any(one.origin.doubtful for one in sheet.values())
    assert len(figures(sheet)) == len(figures(parse_sheet(SHEET, "s")))
    found = sheet.stage("grafted").figures("Malus")
    assert found is not None
    assert (found.pace is None, found.survival is None) == (part == "pace", part == "survival")
    assert untried(sheet, parse_species(SPECIES, "a"), "Malus")


def test_a_doubtful_number_of_a_stage_is_left_out_and_a_doubtful_task_too() -> None:
    text = spoil(
        SHEET,
        ("{ days = 7 }", "{ days = 7, doubtful = true }"),
        ('at = "check" }', 'at = "check", doubtful = true }'),
    )
    stage = parse_sheet(text, "s").stage("grafted")
    assert stage.check_every is None
    assert stage.work == ()
    assert len(stage.uses) == 1


def test_a_doubtful_response_leaves_the_sheet_untried() -> None:
    species = parse_species(
        spoil(SPECIES, ("optimum = 20.0", "optimum = { value = 20.0, doubtful = true }")), "a"
    )
    assert species.responses == {}
    assert untried(parse_sheet(SHEET, "s"), species, "Malus") == (
        "Untried: nobody has said how Malus answers to temperature in 'grafted', so there are checks but no windows."
    )


def test_ratio_of_the_seasons_and_whose_it_is_where_a_block_has_none() -> None:
    found = parse_sheet(SHEET, "s").stage("grafted").figures("Malus")
    assert found is not None
    assert found.survival is not None
    # the square of 0.05 over 0.9 times 0.1
    assert found.survival.of("practised").rho == pytest.approx(0.0025 / 0.09)
    assert found.survival.of("first_time").rho == found.survival.of("practised").rho
    own = spoil(SHEET, ("mean = 0.6, worth = 6", "mean = 0.6, worth = 6, between_seasons = 0.12"))
    other = parse_sheet(own, "s").stage("grafted").figures("Malus")
    assert other is not None
    assert other.survival is not None
    assert other.survival.first_time.rho == pytest.approx(0.0144 / 0.24)


def test_why_a_sheet_is_untried() -> None:
    sheet, species = parse_sheet(SHEET, "s"), parse_species(SPECIES, "a")
    after = "so there are checks but no windows."
    assert untried(sheet, species, "Malus") is None
    assert untried(sheet, None, "Malus") == (
        f"Untried: nobody has said how Malus answers to temperature in 'grafted', {after}"
    )
    assert untried(sheet, species, "Pyrus") == "The sheet 'Small graft' is not meant for Pyrus."
    more = parse_sheet(spoil(SHEET, ('["Malus"]', '["Malus", "Pyrus"]')), "s")
    assert untried(more, species, "Pyrus") == (
        f"Untried: nobody has said what share of Pyrus grafts pass the stage 'grafted', {after}"
    )
    pace = SHEET[SHEET.index("[stage.for.Malus.pace]") : SHEET.index("[stage.for.Malus.survival]")]
    assert untried(parse_sheet(spoil(SHEET, (pace, "")), "s"), species, "Malus") == (
        f"Untried: nobody has said how long Malus takes for the stage 'grafted', {after}"
    )


@pytest.mark.parametrize("key", ["callusing", "weaning", "settled", "hardening"])
def test_one_stage_without_survival_is_enough_to_be_untried(key: str) -> None:
    handbook = load_handbook()
    sheet = handbook.sheets["hypocotyl-closed-bag"]
    figures = sheet.stage(key).figures("Castanea")
    assert figures is not None
    poorer = replace(sheet.stage(key), by_genus={"Castanea": replace(figures, survival=None)})
    stages = tuple(poorer if stage.key == key else stage for stage in sheet.stages)
    assert untried(replace(sheet, stages=stages), handbook.species["Castanea"], "Castanea") == (
        f"Untried: nobody has said what share of Castanea grafts pass the stage '{key}', "
        "so there are checks but no windows."
    )


def test_a_calendar_pace_asks_for_no_response() -> None:
    text = spoil(SHEET, ('kind = "thermal"\nresponse = "callus"\ndays_at_optimum', 'kind = "calendar"\ndays'))
    sheet = parse_sheet(text, "s")
    assert untried(sheet, None, "Malus") is None
    found = sheet.stage("grafted").figures("Malus")
    assert found is not None
    assert found.pace is not None
    assert (found.pace.kind, found.pace.response, found.pace.days) == ("calendar", None, 20)


def test_what_a_sheet_leaves_unsaid() -> None:
    sheet = parse_sheet(SHEET, "s")
    assert (sheet.take_from_day, sheet.per_place, sheet.buds_per_scion) == (30, None, None)
    assert (sheet.stage("growing").check_every, sheet.stage("growing").figures("Malus")) == (None, None)
    assert sheet.text == SHEET


def test_the_stages_of_the_closed_bag_and_the_steps_that_start_their_clocks() -> None:
    sheet = load_handbook().sheets["hypocotyl-closed-bag"]
    assert [(stage.key, stage.ends, stage.started_by, stage.ended_by) for stage in sheet.stages] == [
        ("callusing", "by growth", "graft", None),
        ("swollen", "by growth", "graft", None),
        ("leafing", "by growth", "graft", None),
        ("weaning", "by you", "vent", "pot"),
        ("potted", "by growth", "pot", None),
        ("settled", "by you", None, "harden"),
        ("hardening", "by you", "harden", "plant"),
        ("planted", None, None, None),
    ]
    assert sheet.stage("leafing").act_within is not None
    assert (sheet.take_at, sheet.take_from_day) == ("settled", 30)


def test_chestnut_sprouts_in_the_cold_from_the_day_it_is_put_there() -> None:
    species = load_handbook().species["Castanea"]
    assert species.chill is not None
    assert species.chill.sprouts_in_cold
    assert [(stage.key, stage.started_by, stage.ended_by) for stage in species.seed_stages] == [
        ("in hand", None, "chill"),
        ("chilling", "chill", "bring-out"),
        ("sprouting", "chill", None),
        ("pulled", None, None),
    ]
