"""The health of every file that comes with the program."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from graftwright.handbook import load_handbook
from graftwright.handbook.fields import GRADES, UNPUBLISHED
from graftwright.handbook.load import DATA

if TYPE_CHECKING:
    from graftwright.handbook import Figure, Sheet, Species

HANDBOOK = load_handbook()
THINGS: list[Sheet | Species] = [*HANDBOOK.sheets.values(), *HANDBOOK.species.values()]
FIGURES = [(thing.where, figure) for thing in THINGS for figure in thing.values()]
# SI units, units accepted with the SI (BIPM, The International System of Units, table 8), and counts.
UNITS = {"", "°C", "d", "h", "min", "%", "mm", "m", "l", "µmol m⁻² s⁻¹", "grafts", "batches", "buds"}

each_sheet = pytest.mark.parametrize("sheet", HANDBOOK.sheets.values(), ids=lambda sheet: sheet.key)


def wrong(holds: object) -> list[str]:
    """Return the paths of the figures for which a rule does not hold."""
    assert callable(holds)
    return [f"{where}: {figure.path}" for where, figure in FIGURES if not holds(figure)]


def published(figure: Figure) -> bool:
    return figure.origin.source not in UNPUBLISHED


def test_every_file_of_the_folder_is_read() -> None:
    files = {f"handbook/{path.relative_to(DATA).as_posix()}" for path in DATA.glob("*/*.toml")}
    assert {thing.where for thing in THINGS} == files
    assert len(FIGURES) > 250


def test_every_unit_is_known() -> None:
    assert wrong(lambda figure: figure.unit in UNITS) == []


def test_every_grade_is_known_and_none_is_the_growers() -> None:
    assert wrong(lambda figure: figure.origin.grade in set(GRADES) - {"own"}) == []


def test_every_source_exists() -> None:
    known = {*HANDBOOK.sources, "common practice", "first guess"}
    assert wrong(lambda figure: figure.origin.source in known) == []


def test_every_source_is_used() -> None:
    used = {figure.origin.source for _, figure in FIGURES}
    assert set(HANDBOOK.sources) - used == set()


def test_a_value_from_a_publication_states_its_scope() -> None:
    assert wrong(lambda figure: figure.origin.scope if published(figure) else True) == []


def test_only_a_publication_can_be_measured_or_a_review() -> None:
    assert (
        wrong(lambda figure: published(figure) or figure.origin.grade in {"practice", "memory", "assumed"})
        == []
    )


def test_a_source_nobody_saw_gives_memory_only() -> None:
    unseen = {source.key for source in HANDBOOK.sources.values() if source.seen == "not seen"}
    assert unseen
    assert wrong(lambda figure: figure.origin.source not in unseen or figure.origin.grade == "memory") == []


def test_what_is_uncertain_feeds_no_plan_and_is_shown() -> None:
    doubtful = {(where.split("/")[-1], figure.path) for where, figure in FIGURES if figure.origin.doubtful}
    planned = {one for one in doubtful if not one[1].startswith("figure.")}
    assert planned == {
        ("malus.toml", "response.callus.optimum"),
        ("quercus.toml", "response.sprouting.base"),
    }
    assert len(doubtful) == 9
    assert set(HANDBOOK.species["Malus"].responses) == set()  # a response is nothing without its optimum
    assert set(HANDBOOK.species["Quercus"].responses) == {"callus"}


@each_sheet
def test_the_stages_of_a_sheet_form_one_path(sheet: Sheet) -> None:
    assert len(set(sheet.path)) == len(sheet.path)
    assert all(stage.milestone == following.key for stage, following in pairwise(sheet.stages))
    assert sheet.stages[-1].milestone is None
    assert sheet.take_at in sheet.path


@each_sheet
def test_every_task_says_how_long_it_takes_and_when(sheet: Sheet) -> None:
    tasks = [task for stage in sheet.stages for task in stage.work]
    assert tasks
    assert [task for task in tasks if not task.minutes > 0] == []
    assert [task for task in tasks if not (task.at or task.every_days or task.after_days)] == []


@each_sheet
def test_every_stage_but_the_last_says_when_to_look_again(sheet: Sheet) -> None:
    assert [stage.key for stage in sheet.stages[:-1] if not stage.check_every] == []


@each_sheet
def test_every_caution_it_names_is_written(sheet: Sheet) -> None:
    named = {*sheet.caution, *(key for stage in sheet.stages for key in stage.caution)}
    assert named <= set(HANDBOOK.cautions)
    assert {"blades", "disinfectants", "plant-health"} <= named


def test_a_closed_bag_never_goes_without_its_caution() -> None:
    sheet = HANDBOOK.sheets["hypocotyl-closed-bag"]
    closed = sheet.path[: sheet.path.index("potted")]
    assert [key for key in closed if "closed-bag-heat" not in sheet.stage(key).caution] == []


@pytest.mark.parametrize("species", HANDBOOK.species.values(), ids=lambda species: species.genus)
def test_responses_ascend_and_the_seed_has_one_path(species: Species) -> None:
    assert all(one.base < one.optimum < one.ceiling for one in species.responses.values())
    stages = species.seed_stages
    assert all(stage.milestone == following.key for stage, following in pairwise(stages))
    assert species.seed_path in {(), ("in hand", "chilling", "sprouting", "pulled")}


def test_base_optimum_and_ceiling_ascend_even_where_one_is_doubtful() -> None:
    for species in HANDBOOK.species.values():
        names = {path.split(".")[1] for path in species.shown if path.startswith("response.")}
        for name in names:
            base, optimum, ceiling = (
                species.shown[f"response.{name}.{part}"].value for part in ("base", "optimum", "ceiling")
            )
            assert base < optimum < ceiling, (species.genus, name)


def test_means_are_shares_and_worth_is_modest() -> None:
    assert wrong(lambda one: 0 < one.value < 1 if one.path.endswith(".mean") else True) == []
    assert wrong(lambda one: 1 <= one.value <= 100 if one.path.endswith(".worth") else True) == []


@each_sheet
def test_a_look_comes_before_it_is_too_late(sheet: Sheet) -> None:
    late = [
        stage.key
        for stage in sheet.stages
        if stage.act_within and not 1 <= (stage.check_every or 0) <= stage.act_within.days
    ]
    assert late == []


@each_sheet
def test_losses_show_before_a_graft_is_given_up(sheet: Sheet) -> None:
    wrong_order = [
        stage.key
        for stage in sheet.stages
        if stage.loss_shown and stage.give_up_after and not stage.loss_shown.days < stage.give_up_after
    ]
    assert wrong_order == []


@each_sheet
def test_a_stage_is_not_given_up_while_half_may_still_come(sheet: Sheet) -> None:
    early = [
        (stage.key, genus)
        for stage in sheet.stages
        for genus, figures in stage.by_genus.items()
        if figures.pace and stage.give_up_after and not figures.pace.days < stage.give_up_after
    ]
    assert early == []


def test_the_poisonous_look_alike_is_marked_wherever_its_name_is_shown() -> None:
    aesculus, castanea = HANDBOOK.species["Aesculus"], HANDBOOK.species["Castanea"]
    assert "horse-chestnut" in aesculus.caution
    assert "horse-chestnut" in castanea.caution
    assert "poisonous" in aesculus.common


@pytest.mark.parametrize("species", HANDBOOK.species.values(), ids=lambda species: species.genus)
def test_every_genus_says_plant_health_first(species: Species) -> None:
    assert "plant-health" in species.caution
    assert species.plant_health
    assert "Protected varieties" in HANDBOOK.cautions["plant-health"].says


@each_sheet
def test_wax_and_warm_cables_carry_their_cautions(sheet: Sheet) -> None:
    for stage in sheet.stages:
        for task in stage.work:
            named = {*task.caution, *stage.caution}
            assert "seal" not in task.do or "hot-wax" in named, task.do
            assert "warm channel" not in task.do or "electricity" in named, task.do
            assert "cut " not in task.do or "blades" in named, task.do


def test_nothing_that_only_a_licence_may_do_is_told_as_work() -> None:
    told = " ".join(thing.text.lower() for thing in THINGS)
    assert [
        word for word in ("fungicid", "carbendazim", "oxychloride", "hot water", "alcohol") if word in told
    ] == []


def test_seasons_never_differ_more_than_a_share_can_bear() -> None:
    shares = [
        (stage.key, share.rho)
        for stage in [
            *(stage for sheet in HANDBOOK.sheets.values() for stage in sheet.stages),
            *(stage for species in HANDBOOK.species.values() for stage in species.seed_stages),
        ]
        for figures in stage.by_genus.values()
        if figures.survival
        for share in (figures.survival.first_time, figures.survival.some, figures.survival.practised)
    ]
    assert shares
    assert [key for key, rho in shares if not 0 <= rho < 0.5] == []


def test_who_has_done_it_before_loses_fewer() -> None:
    stages = [stage for sheet in HANDBOOK.sheets.values() for stage in sheet.stages]
    survivals = [
        figures.survival for stage in stages for figures in stage.by_genus.values() if figures.survival
    ]
    assert len(survivals) == 29
    assert all(one.first_time.mean < one.some.mean < one.practised.mean for one in survivals)


def test_all_milestones_of_one_clock_share_one_batch_spread() -> None:
    for sheet in HANDBOOK.sheets.values():
        clocks: dict[tuple[str | None, str], set[float]] = {}
        for stage in sheet.stages:
            for genus, figures in stage.by_genus.items():
                if figures.pace:
                    clocks.setdefault((stage.started_by, genus), set()).add(figures.pace.batch_spread)
        assert [clock for clock, spreads in clocks.items() if len(spreads) != 1 or clock[0] is None] == []


def test_the_sheet_of_chestnut_plans_and_the_plain_one_only_records() -> None:
    from graftwright.handbook import untried

    closed_bag, plain = HANDBOOK.sheets["hypocotyl-closed-bag"], HANDBOOK.sheets["plain"]
    castanea = HANDBOOK.species["Castanea"]
    assert untried(closed_bag, castanea, "Castanea") is None
    assert untried(plain, castanea, "Castanea") == (
        "Untried: nobody has said what share of Castanea grafts pass the stage 'grafted', "
        "so there are checks but no windows."
    )
