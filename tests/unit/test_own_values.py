"""A grower's own values told in the notebook: what they move, what takes them back, and what the door refuses."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from math import log
from typing import TYPE_CHECKING, Any

import pytest

from bench import SHEETS, Bench
from graftwright.actions.enter import Desk, enter
from graftwright.actions.own import experience_of, laid, own_values
from graftwright.actions.ports import Draft
from graftwright.actions.say import entry_sentence
from graftwright.errors import ValueComplaint
from graftwright.handbook import OwnValue, load_handbook
from graftwright.handbook.schema import EXPERIENCES as EXPERIENCES_OF_THE_HANDBOOK
from graftwright.ledger.kinds import EXPERIENCES
from graftwright.ledger.things import OWN, PRACTICE

if TYPE_CHECKING:
    from graftwright.ledger.entries import Entry

SHEET = "hypocotyl-closed-bag"
PACE = "callusing.for.Castanea.pace.days_at_optimum"
OPTIMUM = "response.callus.optimum"


def adopt(bench: Bench, of: str = SHEET, **said: Any) -> Entry:
    entry = bench.enter("adopt", "", of=of, **said).entry
    assert entry is not None
    return entry


def swollen(bench: Bench, batch: str) -> float:
    found = next(one for one in bench.group(batch).milestones if one.name == "swollen")
    assert found.half is not None
    assert found.half.likely is not None
    return found.half.likely


@pytest.fixture
def bench() -> Bench:
    return Bench()


@pytest.fixture
def batch(bench: Bench) -> str:
    return bench.grafts(20, "2027-04-03", bags=10, place=bench.shelf(22.5))[0]


def test_days_of_one_s_own_stretch_the_window_by_as_much(bench: Bench, batch: str) -> None:
    """At one temperature the days to a milestone are in proportion to the days at the optimum (thermal time)."""
    before = swollen(bench, batch)
    adopt(bench, path=PACE, value="13.5 days", scope="three batches")
    assert swollen(bench, batch) / before == pytest.approx(13.5 / 10, rel=1e-3)
    assert bench.forecast(batch).rests_on["own"] == [f"{SHEET} {PACE}"]


def progress(temperature: float, base: float, optimum: float, ceiling: float) -> float:
    """Wang & Engel (1998, Agricultural Systems 58:1-24): share of the fastest progress."""
    alpha = log(2) / log((ceiling - base) / (optimum - base))
    t, o = (temperature - base) ** alpha, (optimum - base) ** alpha
    return (2 * t * o - t * t) / (o * o)


def test_an_optimum_of_one_s_own_slows_what_stands_below_it(bench: Bench, batch: str) -> None:
    before = swollen(bench, batch)
    callus = load_handbook().species["Castanea"].responses["callus"]
    adopt(bench, "Castanea", path=OPTIMUM, value="27")
    slower = progress(22.5, callus.base, callus.optimum, callus.ceiling) / progress(
        22.5, callus.base, 27, callus.ceiling
    )
    assert slower > 1.1
    assert swollen(bench, batch) / before == pytest.approx(slower, rel=1e-3)


def test_a_value_reaches_seed_too(bench: Bench) -> None:
    nuts = bench.new("receive", "2026-10-18", what="seed", count=40, genus="Castanea", place=bench.shelf(3))
    bench.enter("chill", nuts, "2026-11-01")
    (before,) = bench.group(nuts).tasks
    adopt(bench, "Castanea", path="chill.minimum_days", value="70")
    (after,) = bench.group(nuts).tasks
    assert "chill is met on 2026-12-31" in before.why  # 60 days on
    assert "chill is met on 2027-01-10" in after.why  # 70 days on
    assert bench.forecast(nuts).rests_on["own"] == ["Castanea chill.minimum_days"]


def test_a_later_value_takes_the_place_of_an_earlier_one_whenever_it_is_told(
    bench: Bench, batch: str
) -> None:
    before = swollen(bench, batch)
    bench.enter("adopt", "", "2027-04-10", of=SHEET, path=PACE, value="12")
    bench.enter("adopt", "", "2027-04-05", of=SHEET, path=PACE, value="20")
    assert swollen(bench, batch) / before == pytest.approx(1.2, rel=1e-3)


@pytest.mark.parametrize("way", ["back", "cross-out"])
def test_taken_back_the_windows_are_as_they_were(bench: Bench, batch: str, way: str) -> None:
    before = bench.forecast(batch)
    told = adopt(bench, path=PACE, value="13.5")
    assert bench.forecast(batch) != before
    if way == "back":
        adopt(bench, path=PACE, back="yes")
    else:
        bench.enter("cross-out", "", numbers=[told.number], reason="not ours")
    assert bench.forecast(batch) == before


def test_crossing_out_a_going_back_brings_the_own_value_back(bench: Bench, batch: str) -> None:
    adopt(bench, path=PACE, value="13.5")
    own = bench.forecast(batch)
    back = adopt(bench, path=PACE, back="yes")
    bench.enter("cross-out", "", numbers=[back.number], reason="ours after all")
    assert bench.forecast(batch) == own


def test_a_corrected_value_counts_as_corrected(bench: Bench, batch: str) -> None:
    before = swollen(bench, batch)
    told = adopt(bench, path=PACE, value="13.5")
    correct(bench, told, {"of": SHEET, "path": PACE, "value": "12"})
    assert swollen(bench, batch) / before == pytest.approx(1.2, rel=1e-3)


def test_a_value_corrected_to_another_page_moves_both(bench: Bench, batch: str) -> None:
    before = bench.forecast(batch)
    told = adopt(bench, path=PACE, value="13.5")
    correct(bench, told, {"of": "plain", "path": "sheet.take_from_day", "value": "40"})
    assert bench.forecast(batch) == before


def correct(bench: Bench, old: Entry, said: dict[str, Any]) -> None:
    bench.told += 1
    draft = Draft("adopt", "", said, old.day, "", f"01TEST{bench.told:020d}", old.number)
    noon = datetime(bench.today.year, bench.today.month, bench.today.day, 12, tzinfo=UTC)
    enter(bench.notebook, Desk(noon, bench.today, lambda: SHEETS, bench.chance), draft)


def test_other_batches_are_left_alone(bench: Bench, batch: str) -> None:
    plain, _ = bench.grafts(4, "2027-04-03", bags=1, place=bench.shelf(), sheet="plain", genus="Malus")
    page = bench.notebook.page
    assert page.batches_of(SHEET) == [batch]
    assert page.batches_of("plain") == [plain]
    assert page.batches_of("Castanea") == [batch]
    assert page.batches_of("Malus") == [plain]
    assert page.batches_of("Quercus") == []


def test_grafts_made_afterwards_use_it_at_once(bench: Bench) -> None:
    adopt(bench, path=PACE, value="13.5")
    late, _ = bench.grafts(20, "2027-04-03", bags=10, place=bench.shelf(22.5))
    assert bench.forecast(late).rests_on["own"] == [f"{SHEET} {PACE}"]


def test_a_value_that_an_older_sheet_has_no_place_for_is_left_out_there(bench: Bench, batch: str) -> None:
    page, look = bench.notebook.page, "callusing.work.2.minutes"
    before = swollen(bench, batch)
    (version,) = (one for one in page.sheets if one.startswith(SHEET))
    stored = page.sheets[version]
    (row,) = re.findall(r" *\{ do = \"look for swelling.*\n", stored.text)
    page.sheets[version] = replace(stored, text=stored.text.replace(row, ""))
    adopt(bench, path=look, value="2")
    assert "own" not in bench.forecast(batch).rests_on
    adopt(bench, path=PACE, value="12")
    assert swollen(bench, batch) / before == pytest.approx(1.2, rel=1e-3)
    assert bench.forecast(batch).rests_on["own"] == [f"{SHEET} {PACE}"]


def test_values_that_fit_only_together_are_laid_in_any_order() -> None:
    """Castanea's callus runs between 10 and 32 °C; an optimum of 35 needs a ceiling above it."""
    species = load_handbook().species["Castanea"]
    optimum, ceiling = OwnValue(OPTIMUM, 35, ""), OwnValue("response.callus.ceiling", 40, "")
    for own in ((optimum, ceiling), (ceiling, optimum)):
        both = laid(species, [*own, OwnValue("response.callus.nothing", 1, "")])
        assert (both.responses["callus"].optimum, both.responses["callus"].ceiling) == (35, 40)
    assert laid(species, [optimum]).responses == species.responses


def test_crossing_out_what_another_value_needs_leaves_that_one_out(bench: Bench, batch: str) -> None:
    before = bench.forecast(batch)
    ceiling = adopt(bench, "Castanea", path="response.callus.ceiling", value="40")
    adopt(bench, "Castanea", path=OPTIMUM, value="35")
    bench.enter("cross-out", "", numbers=[ceiling.number], reason="not ours")
    assert bench.forecast(batch) == before
    assert [one.path for one in own_values(bench.notebook.page.thing(f"{OWN}Castanea"))] == [OPTIMUM]


def test_practice_is_kept_and_moves_no_window(bench: Bench, batch: str) -> None:
    before = bench.forecast(batch)
    adopt(bench, experience="first_time")
    adopt(bench, experience="some", note="12 done")
    assert bench.forecast(batch) == before
    assert bench.notebook.page.thing(f"{PRACTICE}{SHEET}").get("experience") == "some"


@pytest.mark.parametrize(
    ("done", "experience"),
    [(0, "first_time"), (1, "some"), (49, "some"), (50, "practised"), (999_999, "practised")],
)
def test_how_many_are_done_says_how_practised(done: int, experience: str) -> None:
    """The borders are common practice, no published source."""
    assert experience_of(done) == experience


def test_the_ledger_and_the_handbook_have_the_same_words_for_practice() -> None:
    assert EXPERIENCES == EXPERIENCES_OF_THE_HANDBOOK


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (
            {"of": "Castenea", "path": OPTIMUM, "value": "24"},
            "There is no sheet or genus 'Castenea'. (of) Did you mean 'Castanea'?",
        ),
        (
            {"of": "Castanea", "path": "response.callus.best", "value": "24"},
            "'Castanea' has no value 'response.callus.best'. (path) Did you mean 'response.callus.base'?",
        ),
        (
            {"of": "Castanea", "path": "x" * 90, "value": "24"},
            f"'Castanea' has no value '{'x' * 60}…'. (path) graftwright handbook show Castanea --json names them all.",
        ),
        (
            {"of": "Castanea", "path": OPTIMUM, "value": "72 F"},
            "The unit here is °C, not 'F'. (value) Convert the numbers to °C.",
        ),
        (
            {"of": "Castanea", "path": OPTIMUM, "value": "700"},
            "'optimum' is 700 °C; it must lie between -60 and 60 °C. (value) Check the number and its unit.",
        ),
        (
            {"of": "Castanea", "path": OPTIMUM, "value": "warm"},
            "'optimum' must be a number. (value) Write it so.",
        ),
        (
            {"of": "Castanea", "path": OPTIMUM, "value": "33"},
            ("In the callus response the optimum (33 °C) is not below the ceiling (32 °C). "
            "(Castanea with own values) Base, optimum and ceiling must ascend."),
        ),
        (
            {"of": "Castanea", "path": OPTIMUM, "back": "yes"},
            ("You have no value of your own for 'response.callus.optimum' of Castanea. (path) "
            "All of yours: graftwright handbook own."),
        ),
        (
            {"of": "Castanea", "experience": "some"},
            ("Castanea is a genus; you are practised with a method sheet. (of) "
            "Name the sheet: graftwright handbook list."),
        ),
        ({"path": OPTIMUM, "value": "24"}, ("adopt: 'of' is missing (The method sheet or genus whose value it is). "
         "(of) Add it.")),
        (
            {"of": SHEET, "experience": "much"},
            "'experience' must be one of: first_time · some · practised, not 'much'. (experience) Type it again.",
        ),
    ],
)  # fmt: skip
def test_what_the_door_refuses(bench: Bench, said: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueComplaint) as told:
        bench.enter("adopt", "", **said)
    assert str(told.value) == sentence
    assert not bench.notebook.page.entries


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"path": PACE},
        {"value": "9"},
        {"back": "yes"},
        {"path": PACE, "value": "9", "back": "yes"},
        {"path": PACE, "experience": "some"},
        {"path": PACE, "value": "9", "experience": "some"},
        {"path": PACE, "back": "no"},
    ],
)
def test_an_entry_says_one_thing_of_one_s_own(bench: Bench, said: dict[str, Any]) -> None:
    with pytest.raises(ValueComplaint) as told:
        bench.enter("adopt", "", of=SHEET, **said)
    assert str(told.value) == (
        "This is not one value of your own. Say a path with your value, a path that goes back to the handbook's, "
        "or how practised you are."
    )


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"path": PACE, "value": "9", "scope": "one batch"}, f"{SHEET}: own value 9 for {PACE} (one batch)"),
        ({"experience": "some", "note": "12 done"}, f"{SHEET}: some practice — 12 done"),
    ],
)
def test_what_is_said_of_it(bench: Bench, said: dict[str, Any], sentence: str) -> None:
    assert entry_sentence(adopt(bench, **said), str) == sentence


def test_what_is_said_of_going_back(bench: Bench) -> None:
    adopt(bench, path=PACE, value="9")
    assert entry_sentence(adopt(bench, path=PACE, back="yes"), str) == f"{SHEET}: the handbook's {PACE} again"
