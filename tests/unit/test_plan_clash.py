"""Wishes that cannot all be met: a set of which any one may be left out, and none need be left out besides."""

from __future__ import annotations

from datetime import date

import pytest

from graftwright.actions.plan import place
from graftwright.actions.plan_clash import MOST_WISHES
from graftwright.actions.plan_greedy import Ground, lay_out
from wish_texts import WISH, handbook, wishes

TODAY = date(2026, 10, 20)
OTHER = WISH.replace("Copper Bell", "Grey Lantern")
WOOD = '[[wood]]\nvariety = "Copper Bell"\nbuds = {buds}\ncut = 2027-01-30\n'


def clashes(text: str) -> dict[int, tuple[int, ...]]:
    """The sets that are named, each proved by laying out it, and it without each of its wishes."""
    asked = wishes(text)
    ground = Ground(asked, handbook(), TODAY)
    named = {one.wish: one.clash for one in place(asked, handbook(), TODAY).unmet}
    for clash in filter(None, named.values()):
        assert lay_out(ground, clash).unmet
        for number in clash:
            assert lay_out(ground, set(clash) - {number}).unmet == ()
    return named


def needed() -> int:
    (batch,) = place(wishes(WISH), handbook(), TODAY).batches
    return batch.grafts


def test_two_wishes_for_wood_that_is_enough_for_one_clash() -> None:
    assert clashes(WISH + OTHER + WISH + WOOD.format(buds=needed() + 1)) == {1: (1, 3), 3: (1, 3)}


def test_three_wishes_of_which_any_two_can_be_met_clash_together() -> None:
    named = clashes(3 * WISH + OTHER + WOOD.format(buds=3 * needed() - 1))
    assert set(named.values()) == {(1, 2, 3)}


def test_a_wish_that_fails_alone_clashes_with_nobody() -> None:
    assert clashes(WISH + WISH + WOOD.format(buds=1)) == {1: (), 2: ()}
    impossible = WISH.replace("2027-06-20", "2026-10-25")
    assert clashes(impossible + WISH) == {1: ()}


def test_three_wishes_for_two_free_days_clash() -> None:
    seed = '[[seed]]\nspecies = "Castanea"\ncount = 500\nreceived = 2026-10-20\nchilled = 2026-12-01\n'
    few = f'[free]\nweekdays = ["thu"]\nminutes = {3 * needed()}\n'
    away = "[[away]]\nfrom = {}\nto = {}\n"
    weeks = away.format("2026-10-01", "2027-03-10") + away.format("2027-03-27", "2027-12-23")
    assert clashes(WISH + OTHER + WISH + seed + few + weeks) == {3: (1, 2, 3)}  # only 18 and 25 March will do


def test_the_sentence_names_them() -> None:
    made = place(wishes(WISH + WISH + WOOD.format(buds=needed() + 1)), handbook(), TODAY)
    for one in made.unmet:
        assert one.sentence.endswith(" Wishes 1, 2 clash: leave out any one of them and the rest can be met.")


@pytest.mark.parametrize("count", [MOST_WISHES, MOST_WISHES + 1])
def test_very_many_wishes_are_not_searched(count: int) -> None:
    made = place(wishes(count * WISH + WOOD.format(buds=needed() + 1)), handbook(), TODAY)
    given_up = f"More than {MOST_WISHES} wishes: which of them clash was not looked for."
    assert (given_up in made.warnings) == (count > MOST_WISHES)
    assert any(one.clash for one in made.unmet) == (count <= MOST_WISHES)
