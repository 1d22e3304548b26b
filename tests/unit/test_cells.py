"""Cells worked out by hand: two milestones, checks at ln P = (x, x - 1)."""

from __future__ import annotations

import numpy as np
import pytest

from graftwright.science.cells import cells, evenly, quotas
from graftwright.science.checks import Check
from graftwright.science.clock import Clock, Milestone

INF = np.inf
CLOCK = Clock((Milestone("swollen", 10.0, 0.2), Milestone("leafing", 15.0, 0.2)), 0.1)


def known(plants, *checks):
    """Map limits to living and lost plants; check i lies at ln P = i + 1 for the first milestone."""
    read = [Check(float(i), *check) for i, check in enumerate(checks)]
    found = cells(CLOCK, plants, read, [np.array([i + 1.0, i]) for i in range(len(read))])
    rows = zip(found.lower.tolist(), found.upper.tolist(), found.alive, found.lost, strict=True)
    return {(*lower, *upper): (int(alive), int(lost)) for lower, upper, alive, lost in rows}


def test_without_checks_all_plants_share_one_cell():
    assert known(5) == {(-INF, -INF, INF, INF): (5, 0)}


def test_no_plants_have_no_cells():
    assert known(0) == {}


def test_each_plant_lies_between_the_last_check_without_and_the_first_with():
    assert known(10, ((3, 0), 10), ((7, 3), 10), ((10, 9), 10)) == {
        (-INF, 0, 1, 1): (3, 0),
        (1, 1, 2, 2): (4, 0),
        (2, 1, 3, 2): (2, 0),
        (2, 2, 3, INF): (1, 0),
    }


def test_a_later_check_that_takes_a_milestone_back_is_believed():
    assert known(4, ((2, 0), 4), ((0, 0), 4)) == {(2, 1, INF, INF): (4, 0)}


def test_those_not_looked_at_stay_as_they_were():
    assert known(4, ((0, 0), 4), ((1, 0), 2)) == {
        (1, 0, INF, INF): (2, 0),
        (1, 1, 2, INF): (1, 0),
        (2, 1, INF, INF): (1, 0),
    }


def test_a_plant_lost_keeps_what_was_known_of_it_when_last_seen():
    found = known(10, ((4, 0), 10), ((6, 2), 8, (1, 1)))
    lost = {limits: gone for limits, (_, gone) in found.items() if gone}
    assert lost == {(1, 0, INF, INF): 1, (-INF, 0, 1, INF): 1}
    assert sum(alive for alive, _ in found.values()) == 8


def test_a_loss_of_unknown_stage_may_be_any_plant():
    found = known(9, ((3, 0), 9), ((0, 0), 0, (), 3))
    assert sorted(gone for _, gone in found.values()) == [1, 2]


def test_a_plant_lost_from_a_stage_no_check_saw_was_there_when_last_seen():
    assert known(2, ((0, 0), 2), ((0, 0), 1, (0, 1))) == {(1, 0, 1, INF): (0, 1), (2, 1, INF, INF): (1, 0)}


def test_all_lost_leaves_nobody_alive():
    found = known(3, ((0, 0), 3), ((0, 0), 0, (3,)))
    assert found == {(1, 0, INF, INF): (0, 3)}


@pytest.mark.parametrize(
    ("there", "seen", "passed", "taken"),
    [
        ([4, 6], 5, [2], [3, 2]),  # in proportion would be 3 of those that had passed; the check has 2
        ([4, 6], 5, [5], [2, 3]),
        ([4, 6], 10, [6], [4, 6]),
        ([4, 6], 8, [1], [4, 4]),  # impossible without contradiction: as few as can be
        ([7, 0, 3], 4, [1, 1], [3, 0, 1]),
        ([0, 0], 0, [0], [0, 0]),
    ],
)
def test_a_check_of_some_takes_stages_in_proportion_but_not_against_its_counts(there, seen, passed, taken):
    assert quotas(np.array(there), seen, passed) == taken


@pytest.mark.parametrize(("count", "taken"), [(0, []), (1, [2]), (2, [1, 3]), (5, [0, 1, 2, 3, 4])])
def test_even_choice_from_five(count, taken):
    assert evenly(count, np.arange(5)).tolist() == taken
