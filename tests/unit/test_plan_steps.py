"""Potting, weaning and planting on free days, the hours of a week, and what floated nuts change."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import ceil
from typing import TYPE_CHECKING

import pytest

from graftwright.actions.plan import place
from graftwright.actions.plan_check import broken_rules
from graftwright.actions.plan_totals import hours
from wish_texts import WISH, handbook, wishes

if TYPE_CHECKING:
    from graftwright.actions.plan_parts import Plan
    from graftwright.handbook import Handbook

TODAY = date(2026, 10, 20)
SEED = '[[seed]]\nspecies = "Castanea"\ncount = 200\nreceived = 2026-10-20\n'


def planned(text: str) -> Plan:
    asked = wishes(text)
    made = place(asked, handbook(), TODAY)
    assert broken_rules(made, asked, handbook()) == []
    return made


def test_steps_that_cannot_wait_lie_on_free_days_in_their_windows() -> None:
    (batch,) = planned(WISH + '[free]\nweekdays = ["wed", "sat"]\nminutes = 300\n').batches
    windows = {one.name: one for one in batch.windows}
    assert [step.name for step in batch.steps] == ["weaning", "potted", "planted"]
    for step in batch.steps:
        assert step.on.strftime("%a") in {"Wed", "Sat"}
        assert windows[step.name].earliest <= step.on <= windows[step.name].latest
    counts = {one.name: one.expected for one in batch.counts}
    potted = batch.steps[1]
    assert potted.plants == ceil(counts["weaning"])
    assert potted.minutes == pytest.approx(6 * potted.plants)  # six minutes each, by the sheet


def test_potting_goes_on_on_the_next_free_day_and_what_does_not_fit_is_told() -> None:
    made = planned(
        WISH.replace("= 3", "= 25")
        + '[free]\nweekdays = ["sat"]\nminutes = 60\n[[away]]\nfrom = 2026-10-20\nto = 2027-02-25\n'
    )
    potted = [step for batch in made.batches for step in batch.steps if step.name == "potted"]
    spent = {step.on: sum(one.minutes for one in potted if one.on == step.on) for step in potted}
    assert len(spent) > 1
    assert max(spent.values()) <= 60
    told = [
        said
        for batch in made.batches
        for said in batch.warnings
        if said.startswith("planted: the free days ")
    ]
    assert told
    assert all(" have minutes for " in said and said.endswith(" plants") for said in told)


def test_away_through_a_window_is_a_warning_with_the_days_away() -> None:
    away = '[[away]]\nfrom = 2027-04-12\nto = 2027-06-16\n[free]\nweekdays = ["sat"]\n'
    wood = (
        '[[wood]]\nvariety = "Copper Bell"\nbuds = 99\ncut = 2027-04-01\n'  # leaves 3 and 10 April to graft
    )
    made = planned(WISH + away + wood)
    said = [one for batch in made.batches for one in batch.warnings]
    assert any(one.startswith("weaning: no free day from ") for one in said)
    assert any(one.endswith(", you are away 2027-04-12 to 2027-06-16") for one in said)


def test_old_wood_and_short_chill_and_frost_are_told() -> None:
    wood = '[[wood]]\nvariety = "Copper Bell"\nbuds = 99\ncut = 2027-01-01\n'
    late = SEED.replace("2026-10-20", "2027-01-25")
    frost = "[site]\nlast_frost = 2027-05-25\n"
    (batch,) = planned(WISH + wood + late + frost).batches
    age = (batch.graft_on - date(2027, 1, 1)).days
    assert age > 90
    assert (
        f"wood cut on 2027-01-01 is {age} days old by then and may be past dormancy, it keeps 90 to 120 days: "
        "look at it well"
    ) in batch.warnings
    assert batch.bring_out
    assert batch.chill_on
    chilled = (batch.bring_out - batch.chill_on).days
    assert f"chill short by {85 - chilled} days: 85 are better than {chilled}" in batch.warnings
    grown = next(one for one in batch.windows if one.name == "settled").likely
    assert f"hardening: {grown} is before the last frost on 2027-05-25, it waits" in batch.warnings


def test_all_work_of_the_sheet_is_in_the_hours() -> None:
    made = planned(WISH)
    (batch,) = made.batches
    days = {one.name: one.likely for one in batch.windows}
    alive = {one.name: one.expected for one in batch.counts}
    assert batch.chill_on
    assert batch.bring_out

    def looks(first: date, last: date, every: int) -> int:
        return (last - first).days // every

    # Minutes as the sheet and the species say them, added up by hand.
    out = (batch.graft_on - batch.bring_out).days
    nuts = batch.nuts * (0.1 + 0.05 * looks(batch.chill_on, batch.bring_out, 14) + 0.2 * -(-out // 3)) + 10
    bags = {stage: alive[stage] / 2 for stage in alive}
    closed = batch.grafts * 3 + batch.grafts / 2 * looks(batch.graft_on, days["swollen"], 3)
    closed += bags["callusing"] * looks(days["swollen"], days["leafing"], 3)
    closed += bags["swollen"] * looks(days["leafing"], days["weaning"], 2)
    weaned = bags["leafing"] * looks(days["weaning"], days["potted"], 1)
    potted = (
        alive["weaning"]
        * 0.5
        * (looks(days["potted"], days["settled"], 4) + looks(days["potted"], days["settled"], 7))
    )
    settled = alive["potted"] * (1 + 0.5 * looks(days["settled"], days["hardening"], 7))
    hardened = alive["settled"] * 0.5 * looks(days["hardening"], days["planted"], 2)
    steps = ceil(alive["leafing"]) * 0.5 + ceil(alive["weaning"]) * 6 + ceil(alive["settled"]) * 20
    minutes = nuts + closed + weaned + potted + settled + hardened + steps
    told = hours(made, handbook())
    assert sum(told.values()) == pytest.approx(minutes / 60, abs=0.005 * len(told))
    assert list(told) == sorted(told)


def test_work_that_is_done_already_is_in_no_hours() -> None:
    chilled = SEED + "chilled = 2026-10-01\n"
    early = min(hours(planned(WISH + chilled), handbook()))
    assert early >= "2026-W43"  # the week of the day it is planned on


def test_floated_nuts_need_no_floating_and_the_plan_says_so() -> None:
    plain, floated = planned(WISH + SEED), planned(WISH + SEED + "floated = true\n")
    first = "2026-W43"
    (batch,) = floated.batches
    saved = hours(plain, handbook())[first] - hours(floated, handbook())[first]
    assert saved == pytest.approx(0.1 * batch.nuts / 60, abs=0.011)
    assert list(floated.notes) == [
        "The nuts of Castanea are floated: the count stands for sound nuts, and no time for floating is planned."
    ]
    (said,) = plain.notes
    assert said == (
        "The nuts of Castanea are not all floated: how many are hollow stands in no sheet, so the plan takes every one "
        "as sound. Float them and give the count of those that sank."
    )


def test_where_a_share_of_sound_nuts_is_known_floated_nuts_lose_no_more() -> None:
    known = with_sound_share(handbook(), 0.5)
    plans = [place(wishes(WISH + SEED + said), known, TODAY) for said in ("", "floated = true\n")]
    (plain,), (floated,) = (made.batches for made in plans)
    assert floated.nuts == planned(WISH + SEED).batches[0].nuts
    assert plain.nuts > 1.7 * floated.nuts  # half of them are hollow
    assert plans[0].notes == ()
    assert plans[1].notes == (
        "The nuts of Castanea are floated: no loss for hollow ones is reckoned, and no time for floating is planned.",
    )


def with_sound_share(known: Handbook, mean: float) -> Handbook:
    """The handbook with a share of sound nuts among those in hand."""
    species = known.species["Castanea"]
    first, chilling, *rest = species.seed_stages
    figures = chilling.by_genus["Castanea"]
    assert figures.survival
    share = replace(figures.survival.practised, mean=mean, worth=1000.0, rho=0.0001)
    sound = replace(figures, pace=None, survival=replace(figures.survival, practised=share))
    stages = (replace(first, by_genus={"Castanea": sound}), chilling, *rest)
    return replace(known, species={"Castanea": replace(species, seed_stages=stages)})
