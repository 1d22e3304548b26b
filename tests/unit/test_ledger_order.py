"""The order of a day, dates partly known, and names that hold from a day on."""

from __future__ import annotations

import pytest

from graftwright.errors import Refusal
from ledger_bench import CODED, TEN, LedgerBench


# --- the order of a day -----------------------------------------------------------------------------
@pytest.mark.parametrize("ids", [("A1", "B2", "C3"), ("C3", "A1", "B2"), ("B2", "C3", "A1")])
def test_three_entries_of_one_day_without_a_time_stand_as_they_were_entered(
    bench: LedgerBench, ids: tuple[str, ...]
) -> None:
    bench.write(TEN)
    batch = bench.code("batch")
    bench.enter("check", batch, "2027-03-09", id_=ids[0], seen={"callusing": 9}, dead={"mould": 1})
    bench.enter("lose", batch, "2027-03-09", id_=ids[1], reasons={"frost": 2})
    bench.enter("check", batch, "2027-03-09", id_=ids[2], seen={"swollen": 7})
    assert bench.tally("batch") == {"made": 10, "swollen": 7, "lost mould": 1, "lost frost": 2}


def test_a_check_in_the_morning_and_a_loss_in_the_afternoon(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09T08:00 | check | batch | seen callusing 10
    7 | 2027-03-09T17:00 | lose  | batch | reasons mould 1
    8 | 2027-03-10       | check | batch | seen callusing 9
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 9, "lost mould": 1}


def test_a_graft_entered_before_what_it_used_that_day(bench: LedgerBench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; count 5
    2 | 2027-01-12 | receive | wood  | what scionwood; count 80; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 8; scion wood; stock nuts; sheet plain
    4 | 2027-03-01 | receive | nuts  | what seed; count 5
    """)
    assert bench.tally("nuts") == {"received": 10, "in hand": 2, "used batch": 8}


# --- dates partly known -----------------------------------------------------------------------------
def test_a_month_is_the_first_day_on_which_the_entry_can_stand(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03        | lose | batch | reasons mould 1
    7 | spring 2027    | lose | batch | reasons frost 1
    8 | 2027           | note | batch | note grew on
    9 | winter 2026/27 | note | nuts  | note came moist
    - | winter 2026/27 | lose | batch | reasons frost 1
        refused: On no day of 'winter 2026/27' can this stand:
        batch was not there yet on 2027-02-28: it begins on 2027-03-01.
    """)
    told = {e.number: (e.day, e.happened) for e in bench.entries()[5:]}
    assert told == {
        6: ("2027-03-01", "2027-03"),
        7: ("2027-03-01", "spring 2027"),
        8: ("2027-03-01", "2027"),
        9: ("2027-01-10", "winter 2026/27"),
    }


def test_a_month_after_what_stands_in_the_way(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03-20 | check | batch | seen leafing 7; dead mould 3
    8 | 2027-03    | lose  | batch | reasons mould 5
    """)
    # before the 9th it would leave five of the ten seen; until the 20th five of the seven
    assert bench.entries()[7].day == "2027-03-20"
    assert bench.tally("batch") == {"made": 10, "leafing": 2, "lost mould": 8}


def test_a_month_finds_its_day_before_anything_is_crossed_out_for_it(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03    | lose  | batch | reasons mould 5; with_those_behind yes
    """)
    assert bench.entries()[6].day == "2027-03-09"
    assert bench.entries()[5].crossed_by == 0


# --- names ------------------------------------------------------------------------------------------
def test_a_variety_renamed_from_a_day_on_with_all_that_came_from_it(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.enter("describe", "amber early", "2027-06-01", what="variety", name="Golden Morning")
    bench.enter("receive", day="2027-07-01", what="scionwood", count=5, of="golden morning")
    with bench.notebook.writing() as page:
        page.look_up("", ["amber-early", bench.code("wood"), bench.code("batch")])
        wood, batch = page.thing(bench.code("wood")), page.thing(bench.code("batch"))
        assert wood is not None
        assert batch is not None
        variety = page.thing(wood.get("variety"))
        assert variety is not None
        assert batch.get("scion") == wood.code
        assert variety.get("name", at="2027-05-31 9") == "Amber Early"
        assert variety.get("name", at="2027-06-01 9") == "Golden Morning"
    assert bench.entries()[6].given["variety"] == "amber-early"
    bench.write("8 | 2027-12-01 | cross-out | | numbers 6; reason they kept the old name")
    with bench.notebook.writing() as page:
        page.look_up("", ["amber-early"])
        variety = page.thing("amber-early")
        assert variety is not None
        assert variety.name == "Amber Early"


def test_a_place_found_by_its_name_even_if_that_looks_like_a_code(bench: LedgerBench) -> None:
    bench.write(TEN)
    for n in range(2, 10):
        bench.enter("describe", day="2027-03-01", what="place", place_kind="shelf", name=f"Bench {n}")
    for n in range(2, 10):
        answer = bench.enter("carry", bench.code("batch"), f"2027-03-0{n}", to=f"bench {n}")
        assert answer.entry is not None
        with bench.notebook.writing() as page:
            page.look_up("", [answer.entry.said["to"]])
            place = page.thing(answer.entry.said["to"])
            assert place is not None
            assert place.name == f"Bench {n}"


def test_a_mother_tree_named_by_its_code(bench: LedgerBench) -> None:
    bench.write(CODED)
    answer = bench.enter("cut-scions", day="2027-11-01", count=9, of=bench.code("plant 1").lower())
    assert answer.entry is not None
    assert answer.entry.given["variety"] == bench.code("plant 1")


def test_one_name_for_a_person_and_a_variety(bench: LedgerBench) -> None:
    bench.enter("receive", day="2027-01-10", what="scionwood", count=40, of="Rosa", by="Ann")
    with pytest.raises(Refusal) as told:
        bench.enter("receive", day="2027-01-10", what="seed", count=40, by="Rosa")
    assert str(told.value) == "Rosa is a variety; 'by' is about a person. Name the right one."
