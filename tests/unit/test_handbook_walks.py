"""Every sheet with every genus it is for, walked from the graft to its last stage by entries alone."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from typing import TYPE_CHECKING

import pytest

from bench import Bench
from graftwright.handbook import load_handbook, untried
from graftwright.handbook.schema import ANY

if TYPE_CHECKING:
    from graftwright.handbook import Sheet, Stage

HANDBOOK = load_handbook()
GRAFTED = date(2027, 3, 2)
PAIRS = [
    (sheet, genus)
    for sheet in HANDBOOK.sheets.values()
    for genus in (HANDBOOK.species if ANY in sheet.genera else sheet.genera)
]


def reason(sheet: Sheet, genus: str) -> str | None:
    return untried(sheet, HANDBOOK.species.get(genus), genus)


def each(pairs: list[tuple[Sheet, str]]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize(
        ("sheet", "genus"), pairs, ids=[f"{sheet.key}-{genus}" for sheet, genus in pairs]
    )


each_pair = each(PAIRS)
each_tried = each([pair for pair in PAIRS if reason(*pair) is None])
each_untried = each([pair for pair in PAIRS if reason(*pair)])


class Walk:
    """A batch of six, brought on stage by stage; `groups` holds what was forecast at each."""

    def __init__(self, sheet: Sheet, genus: str) -> None:
        self.sheet = sheet
        self.bench = Bench(today=date(2033, 1, 1))
        self.day = GRAFTED
        self.batch, (self.bag,) = self.bench.grafts(
            6, GRAFTED.isoformat(), bags=1, place=self.bench.shelf(22.0), sheet=sheet.key, genus=genus
        )
        self.groups = [self.bench.group(self.batch)]
        for stage in sheet.stages[:-1]:
            self.onwards(stage)
            self.groups.append(self.bench.group(self.batch))

    def onwards(self, stage: Stage) -> None:
        """Bring the batch to the next stage: by the sign seen in a check, or by the grower's step."""
        if stage.started_by == "vent":
            self.bench.enter("vent", self.bag, self.day.isoformat())
        self.day += timedelta(days=10)
        if stage.ends == "by you":
            assert stage.ended_by
            self.bench.enter(stage.ended_by, self.batch, self.day.isoformat())
        else:
            self.bench.enter(
                "check", self.batch, self.day.isoformat(), place=self.bag, seen={stage.milestone: 6}
            )


walked = cache(lambda number: Walk(*PAIRS[number]))


def walk(sheet: Sheet, genus: str) -> Walk:
    return walked(next(n for n, one in enumerate(PAIRS) if one[0] is sheet and one[1] == genus))


@each_pair
def test_it_stands_at_each_stage_in_turn(sheet: Sheet, genus: str) -> None:
    assert [group.stages for group in walk(sheet, genus).groups] == [{key: 6} for key in sheet.path]


@each_pair
def test_there_is_a_next_look_with_a_reason_at_every_stage(sheet: Sheet, genus: str) -> None:
    for group in walk(sheet, genus).groups:
        (look,) = [task for task in group.tasks if task.what == "check"]
        assert look.earliest <= look.latest
        assert all(task.why.endswith(".") and len(task.why) > 20 for task in group.tasks)


@each_tried
def test_the_step_that_ends_a_stage_is_offered(sheet: Sheet, genus: str) -> None:
    for stage, group in zip(sheet.stages[:-1], walk(sheet, genus).groups, strict=False):
        wanted = {"vent"} if stage.started_by == "vent" else {stage.ended_by or "check"}
        assert wanted <= {task.what for task in group.tasks}, stage.key


@each_tried
def test_a_stage_with_a_pace_has_windows_and_one_without_has_none(sheet: Sheet, genus: str) -> None:
    for stage, group in zip(sheet.stages[:-1], walk(sheet, genus).groups, strict=False):
        (own,) = [one for one in group.milestones if one.stage == stage.key]
        figures = stage.figures(genus)
        paced = figures is not None and figures.pace is not None
        waits = stage.started_by == "vent"  # its clock starts with a step still to come
        shown = own.half is not None and own.half.likely is not None
        assert shown == paced or waits, stage.key


@each_untried
def test_what_only_records_shows_no_windows_and_says_why(sheet: Sheet, genus: str) -> None:
    found = walk(sheet, genus)
    assert found.bench.forecast(found.batch).untried == reason(sheet, genus)
    assert [group.milestones for group in found.groups] == [()] * len(sheet.stages)


def test_what_is_untried_is_known_by_name() -> None:
    tried = {f"{sheet.key} {genus}" for sheet, genus in PAIRS if not reason(sheet, genus)}
    assert tried == {
        "bench-whip Malus",
        "chip-bud Malus",
        "hot-callus Juglans",
        "hypocotyl-closed-bag Castanea",
        "patch-bud-limb Juglans",
        "stone-graft Mangifera",
    }
