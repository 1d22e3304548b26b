"""Windows as a grower meets them: what a check, a warmer shelf, a carried bag and a late venting do to them.

The days of common practice stand in handbook.md and in the sheet ('common practice', no published source).
"""

from __future__ import annotations

from datetime import date

import pytest

from bench import Bench
from graftwright.ledger.windows import Group, Window


def half(group: Group, milestone: str) -> Window:
    found = next(one for one in group.milestones if one.name == milestone)
    assert found.half is not None
    return found.half


def likely(group: Group, milestone: str) -> float:
    day = half(group, milestone).likely
    assert day is not None
    return day


@pytest.mark.parametrize("temperature_c", [22.0, 22.5, 23.0])
def test_medians_are_consistent_with_common_practice(temperature_c: float) -> None:
    """Consistency with common practice at 22 to 23 °C, not a measurement."""
    bench = Bench()
    batch, _ = bench.grafts(20, "2027-04-03", bags=10, place=bench.shelf(temperature_c))
    group = bench.group(batch)
    for milestone, first, last in (
        ("swollen", 9, 11), ("leafing", 14, 16), ("weaning", 16, 18), ("potted", 24, 28), ("settled", 38, 42),
    ):  # fmt: skip
        assert first <= likely(group, milestone) <= last, milestone


def test_without_a_temperature_the_sheet_s_own_is_assumed_and_said() -> None:
    bench = Bench()
    batch, _ = bench.grafts(8, "2027-04-03", bags=4, place=bench.shelf())
    assert bench.group(batch).temperature == "assumed 22.5 °C"


def test_too_cold_nothing_moves_on_and_it_says_so() -> None:
    bench = Bench()
    batch, _ = bench.grafts(8, "2027-04-03", bags=4, place=bench.shelf(6))
    swollen = bench.group(batch).milestones[0]
    assert swollen.half == Window(None, None, None)
    assert swollen.stalled == "it is too cold or too hot there: nothing moves on"


def test_a_warmer_shelf_is_earlier() -> None:
    bench = Bench()
    cool, _ = bench.grafts(8, "2027-04-03", bags=4, place=bench.shelf(18))
    warm, _ = bench.grafts(8, "2027-04-03", bags=4, place=bench.shelf(23))
    assert likely(bench.group(warm), "swollen") < likely(bench.group(cool), "swollen") - 1


def test_a_temperature_said_later_moves_the_windows_of_what_stands_there() -> None:
    bench = Bench()
    shelf = bench.shelf()
    batch, _ = bench.grafts(8, "2027-04-03", bags=4, place=shelf)
    before = likely(bench.group(batch), "swollen")
    bench.enter("describe", shelf, "2027-04-05", what="place", temperature_c=17)
    assert likely(bench.group(batch), "swollen") > before + 1


def test_a_check_that_sees_nothing_yet_makes_it_later_and_narrower() -> None:
    bench = Bench()
    batch, bags = bench.grafts(12, "2027-04-03", bags=6, place=bench.shelf(22.5))
    before = half(bench.group(batch), "swollen")
    for bag in bags:
        bench.enter("check", batch, "2027-04-13", place=bag, seen={"callusing": 2})
    after = half(bench.group(batch), "swollen")
    assert after.likely > before.likely  # type: ignore[operator]
    assert after.latest - after.earliest < before.latest - before.earliest  # type: ignore[operator]


def test_a_bag_carried_to_a_cooler_shelf_walks_by_itself() -> None:
    bench = Bench()
    warm, cool = bench.shelf(23), bench.shelf(16)
    batch, bags = bench.grafts(6, "2027-04-03", bags=3, place=warm)
    bench.enter("carry", bags[0], "2027-04-06", to=cool)
    by_places = {group.places: group for group in bench.forecast(batch).groups}
    assert set(by_places) == {(bags[0],), tuple(sorted(bags[1:], key=bags.index))} or len(by_places) == 2
    alone = next(group for places, group in by_places.items() if places == (bags[0],))
    others = next(group for places, group in by_places.items() if bags[0] not in places)
    assert likely(alone, "swollen") > likely(others, "swollen")


def test_grafts_carried_away_and_back_are_as_warm_as_a_bag_that_went_the_same_way() -> None:
    bench = Bench()
    warm, cool = bench.shelf(22.5), bench.shelf(12)
    alone, (own,) = bench.grafts(6, "2027-04-03", bags=1, place=warm)
    inside, (bag,) = bench.grafts(6, "2027-04-03", bags=1, place=warm)
    stayed, _ = bench.grafts(6, "2027-04-03", bags=1, place=warm)
    for day, to in (("2027-04-06", cool), ("2027-04-11", own)):
        bench.enter("carry", alone, day, to=to)
        bench.enter("carry", bag, day, to=cool if to == cool else warm)
    assert half(bench.group(alone), "swollen") == half(bench.group(inside), "swollen")
    assert likely(bench.group(alone), "swollen") > likely(bench.group(stayed), "swollen") + 3


def test_ready_since_goes_along_when_grafts_are_carried_to_another_bag() -> None:
    bench = Bench()
    shelf = bench.shelf(22.5)
    batch, (bag,) = bench.grafts(2, "2027-04-03", bags=1, place=shelf)
    bench.enter("check", batch, "2027-04-19", place=bag, seen={"weaning": 2})
    bench.enter("carry", batch, "2027-04-20", to=shelf)
    vent = next(one for one in bench.group(batch).tasks if one.what == "vent")
    assert (vent.earliest, vent.latest) == ("2027-04-19", "2027-04-22")


def test_a_check_that_names_no_place_is_about_the_one_they_are_in_now() -> None:
    bench = Bench()
    shelf = bench.shelf(22.5)
    looks = []
    for place in (None, shelf):
        batch, _ = bench.grafts(6, "2027-04-03", bags=1, place=shelf)
        bench.enter("carry", batch, "2027-04-05", to=shelf)
        bench.enter("check", batch, "2027-04-13", place=place, seen={"callusing": 2, "swollen": 4})
        looks.append(bench.group(batch).looks)
    assert looks[0] == looks[1] == (("2027-04-13", {"callusing": 2, "swollen": 4}),)


def test_nuts_that_come_into_an_empty_lot_have_not_been_chilled() -> None:
    bench = Bench()
    said = {"what": "seed", "genus": "Castanea", "place": bench.shelf(3)}
    nuts = bench.new("receive", "2026-10-18", count=10, **said)
    bench.enter("chill", nuts, "2026-11-01")
    bench.enter("discard", nuts, "2026-12-01", reasons={"rotted": 10})
    bench.enter("receive", nuts, "2027-01-10", count=20, **said)
    bench.enter("chill", nuts, "2027-01-11")
    (task,) = bench.group(nuts).tasks
    assert task.why.startswith("20 nuts in the cold since 2027-01-11")


def test_a_late_venting_makes_potting_late_by_as_much() -> None:
    bench = Bench()
    batches = []
    for vented in ("2027-04-20", "2027-04-27"):
        batch, bags = bench.grafts(2, "2027-04-03", bags=1, place=bench.shelf(22.5))
        bench.enter("check", batch, "2027-04-20", place=bags[0], seen={"weaning": 2})
        bench.enter("vent", bags[0], vented)
        batches.append(batch)
    on_time, late = (likely(bench.group(batch), "potted") for batch in batches)
    assert late - on_time == pytest.approx(7, abs=1e-9)


def test_the_next_check_is_by_the_sheet_and_sooner_where_weaning_could_be_missed() -> None:
    bench = Bench()
    batch, bags = bench.grafts(2, "2027-04-03", bags=1, place=bench.shelf(22.5))
    task = next(one for one in bench.group(batch).tasks if one.what == "check")
    assert (task.earliest, task.latest) == ("2027-04-04", "2027-04-06")
    assert task.why == "There since 2027-04-03; every 3 days: look for swelling, mould and moisture."
    bench.enter("check", batch, "2027-04-18", place=bags[0], seen={"leafing": 2})
    task = next(one for one in bench.group(batch).tasks if one.what == "check")
    assert date.fromisoformat(task.latest) <= date(2027, 4, 20)


def test_an_untried_genus_records_and_has_a_next_check_but_no_windows() -> None:
    bench = Bench()
    batch, _ = bench.grafts(4, "2027-04-03", bags=2, place=bench.shelf(22), genus="Quercus")
    forecast = bench.forecast(batch)
    assert forecast.untried.startswith("Untried: nobody has said")
    assert bench.group(batch).milestones == ()
    assert [task.what for task in bench.group(batch).tasks] == ["check", "check"]


def test_the_plain_sheet_has_a_next_check_and_no_windows() -> None:
    bench = Bench()
    batch, _ = bench.grafts(4, "2027-04-03", bags=1, place=bench.shelf(), sheet="plain", genus="Malus")
    assert bench.group(batch).milestones == ()
    assert [(task.what, task.latest) for task in bench.group(batch).tasks] == [("check", "2027-04-10")]


def test_ready_to_wean_is_a_task_that_will_not_wait() -> None:
    bench = Bench()
    batch, bags = bench.grafts(2, "2027-04-03", bags=1, place=bench.shelf(22.5))
    bench.enter("check", batch, "2027-04-19", place=bags[0], seen={"weaning": 1, "leafing": 1})
    vent = next(one for one in bench.group(batch).tasks if one.what == "vent" and not one.expected)
    assert (vent.earliest, vent.latest) == ("2027-04-19", "2027-04-22")
    assert "1 is ready to wean since 2027-04-19" in vent.why
    bench.enter("vent", bags[0], "2027-04-20")
    assert not [one for one in bench.group(batch).tasks if one.what == "vent"]
    assert [one.what for one in bench.group(batch).tasks if not one.expected] == ["check", "open", "pot"]


def test_seed_is_to_be_chilled_brought_out_and_pulled() -> None:
    bench = Bench()
    cold, warm = bench.shelf(3), bench.shelf(22)
    nuts = bench.new(
        "receive", "2026-10-18", what="seed", count=40, genus="Castanea", of="Old Hedge", place=cold
    )
    assert [(task.what, task.earliest, task.latest) for task in bench.group(nuts).tasks] == [
        ("chill", "2026-10-18", "2026-10-25")
    ]
    bench.enter("chill", nuts, "2026-11-01")
    (bring_out,) = bench.group(nuts).tasks
    assert (bring_out.what, bring_out.earliest) == ("bring out", "2027-01-25")
    assert "chill is met on 2026-12-31, better from 2027-01-25" in bring_out.why
    bench.enter("bring-out", nuts, "2027-02-06", place=warm)
    (pull,) = bench.group(nuts).tasks
    assert pull.what == "pull"
    assert "2027-02-06" <= pull.earliest <= pull.likely <= "2027-03-01"


def test_a_warmer_refrigerator_brings_sprouts_sooner() -> None:
    days = {}
    for fridge_c in (2, 5):
        bench = Bench()
        nuts = bench.new(
            "receive", "2026-10-18", what="seed", count=40, genus="Castanea", place=bench.shelf(fridge_c)
        )
        bench.enter("chill", nuts, "2026-11-01")
        bench.enter("bring-out", nuts, "2027-02-06", place=bench.shelf(22))
        days[fridge_c] = likely(bench.group(nuts), "pulled")
    assert days[5] < days[2]


@pytest.mark.parametrize("day", ["2027-10-19", "2027-10-21", "2030-05-01"])
def test_grafts_can_be_looked_at_however_long_ago_they_were_made(day: str) -> None:
    bench = Bench(today=date(2030, 6, 1))
    batch, bags = bench.grafts(4, "2027-04-03", bags=2, place=bench.shelf(22.5))
    answer = bench.enter("check", batch, day, place=bags[0], seen={"swollen": 2})
    assert answer.entry is not None
    assert bench.group(batch).looks == ((day, {"swollen": 2}),)


def test_nuts_can_be_pulled_however_long_ago_they_came_in() -> None:
    bench = Bench(today=date(2027, 9, 1))
    nuts = bench.new("receive", "2026-10-10", count=40, what="seed", of="Old Hedge", genus="Castanea")
    bench.enter("chill", nuts, "2026-11-01")
    bench.enter("bring-out", nuts, "2027-03-20")
    bench.enter("pull", nuts, "2027-08-20", count=3)
    assert bench.forecast(nuts).living == 40
