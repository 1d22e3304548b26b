"""Cases of the ledger as a grower would tell them: what was entered, and what the book then says."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from graftwright.errors import Refusal
from graftwright.ledger.aside import KeptAside
from ledger_bench import NOTEBOOKS, Bench
from ledger_rules import check_all_rules

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOM = """
    1 | 2027-01-05 | describe | shelf | what place; place_kind shelf
    2 | 2027-01-05 | describe | sill  | what place; place_kind shelf
    3 | 2027-01-10 | receive  | nuts  | what seed; count 60; place shelf
    4 | 2027-01-12 | receive  | wood  | what scionwood; count 80; of Amber Early
"""
FORTY = (
    ROOM
    + """
    5 | 2027-03-01 | graft    | batch | count 40; scion wood; stock nuts; sheet closed-bag; place shelf
"""
)
TEN = (
    ROOM
    + """
    5 | 2027-03-01 | graft    | batch | count 10; scion wood; stock nuts; sheet closed-bag; place shelf
"""
)
CODED = (
    TEN
    + """
    6 | 2027-03-02 | codes    | batch |
"""
)


@pytest.fixture(params=NOTEBOOKS)
def bench(request: pytest.FixtureRequest) -> Iterator[Bench]:
    with NOTEBOOKS[request.param]() as notebook:
        bench = Bench(notebook)
        yield bench
        check_all_rules(notebook)


# --- places ------------------------------------------------------------------------------------


def test_forty_grafts_in_twenty_bags_one_bag_carried_one_check_of_one_bag(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 40; scion wood; stock nuts; sheet closed-bag; place shelf; bags 20
    6 | 2027-03-04 | carry | bag 7 | to sill
    7 | 2027-03-09 | check | bag 7 | seen callusing 1; dead mould 1
    """)
    assert bench.tally("batch") == {"made": 40, "callusing": 39, "lost mould": 1}
    assert bench.tally("nuts") == {"received": 60, "in hand": 20, "used batch": 40}
    assert bench.tally("wood") == {"received": 80, "in hand": 40, "used batch": 40}
    places = bench.where("batch")
    assert places.pop("bag 7") == {"callusing": 1}
    assert places == {f"bag {n}": {"callusing": 2} for n in range(1, 21) if n != 7}
    with bench.notebook.writing() as page:
        page.look_up("", [bench.code("bag 7"), bench.code("bag 8")])
        carried, stayed = page.thing(bench.code("bag 7")), page.thing(bench.code("bag 8"))
        assert carried is not None
        assert stayed is not None
        assert carried.get("within", at="2027-03-03 9") == bench.code("shelf")
        assert carried.get("within", at="2027-03-04 9") == bench.code("sill")
        assert stayed.get("within") == bench.code("shelf")


def test_grafts_that_do_not_divide_evenly_among_bags(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 5; scion wood; stock nuts; sheet closed-bag; place shelf; bags 3
    """)
    assert bench.where("batch") == {f"bag {n}": {"callusing": n_in} for n, n_in in [(1, 2), (2, 2), (3, 1)]}


def test_a_batch_over_places_and_some_of_it_carried(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 40; scion wood; stock nuts; sheet closed-bag; places shelf 30, sill 10
    6 | 2027-03-05 | carry | batch | count 5; place shelf; to sill
    7 | 2027-03-06 | lose  | batch | reasons mould 12; place sill
    - | 2027-03-07 | lose  | batch | reasons mould 4; place sill
        refused: batch has 3 there, not 4.
    8 | 2027-03-08 | carry | batch | to sill
    - | 2027-03-09 | carry | batch | to sill
        refused: Nothing of batch is left that this could mean.
    - | 2027-03-09 | check | batch | place shelf; seen callusing 1
        refused: batch does not stand in shelf but in: sill.
    """)
    assert bench.where("batch") == {"sill": {"callusing": 28}}


def test_places_that_do_not_take_all_grafts(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    - | 2027-03-01 | graft | batch | count 40; scion wood; stock nuts; sheet plain; places shelf 30, sill 9
        refused: The places take 39 of 40 grafts.
    """)


def test_a_shelf_cannot_stand_in_what_stands_in_it(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | describe | room  | what place; place_kind room
    6 | 2027-02-02 | carry    | shelf | to sill
    7 | 2027-02-03 | carry    | sill  | to room
    - | 2027-02-04 | carry    | room  | to shelf
        refused: room cannot stand in shelf: that stands in it.
    - | 2027-02-04 | carry    | sill  | to sill
        refused: sill cannot stand in sill: that stands in it.
    8 | 2027-02-05 | carry    | shelf | to room
    9 | 2027-02-06 | carry    | sill  | to shelf
    """)


def test_a_ring_of_places_is_found_however_late_its_first_piece_is_told(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | describe | room  | what place; place_kind room; within sill
    6 | 2027-02-01 | describe | frame | what place; place_kind frame
    7 | 2027-02-01 | describe | crate | what place; place_kind box; within frame
    8 | 2027-02-08 | carry    | sill  | to crate
    - | 2027-02-05 | carry    | frame | to room
        refused: It cannot stand because of entry 8: sill cannot stand in crate: that stands in it.
    9 | 2027-02-09 | describe | shelf | what place; within frame
    - | 2027-02-05 | describe | frame | what place; within shelf
        refused: It cannot stand because of entry 9: shelf cannot stand in frame: that stands in it.
    """)


def test_two_boxes_that_changed_places(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
     6 | 2027-03-02 | describe | inner | what place; place_kind box
     7 | 2027-03-02 | describe | outer | what place; place_kind box
     8 | 2027-03-03 | carry    | batch | to inner
     9 | 2027-03-05 | carry    | inner | to outer
    10 | 2027-03-08 | carry    | inner | to sill
    11 | 2027-03-10 | carry    | outer | to inner
    12 | 2027-03-12 | check    | batch | seen swollen 10
    """)
    assert bench.where("batch") == {"inner": {"swollen": 10}}


def test_a_place_in_which_something_was_put_does_not_vanish(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft     | batch | count 10; scion wood; stock nuts; sheet plain; place sill
    6 | 2027-03-02 | describe  | room  | what place; place_kind room
    7 | 2027-03-03 | describe  | sill  | what place; within room
    - | 2027-12-01 | cross-out |       | numbers 1; reason wrong
        refused: It cannot stand because of entry 3: Nothing in this notebook has the code or name shelf.
    8 | 2027-12-01 | cross-out |       | numbers 2; reason it was described twice
    - | 2027-12-01 | cross-out |       | numbers 7; reason wrong
        refused: It cannot stand because of entry 5: Nothing in this notebook has the code or name sill.
    - | 2027-12-01 | cross-out |       | numbers 6; reason wrong
        refused: It cannot stand because of entry 7: Nothing in this notebook has the code or name room.
    9 | 2027-12-01 | cross-out |       | numbers 7; reason wrong; with_those_behind yes
    """)
    assert bench.tally("batch") == {}
    assert bench.tally("nuts") == {"received": 60, "in hand": 60}


# --- late, corrected, crossed out ----------------------------------------------------------------


def test_the_check_of_day_ten_entered_before_that_of_day_eight(bench: Bench) -> None:
    bench.write(FORTY)
    bench.write("""
    6 | 2027-03-11 | check | batch | seen callusing 30; dead mould 6; not_looked 4
    7 | 2027-03-09 | check | batch | seen callusing 35; dead mould 5
    """)
    assert bench.deaths(7) == {"mould": 5}
    assert bench.deaths(6) == {"mould": 1}  # five of the six were found two days before
    assert bench.tally("batch") == {"made": 40, "callusing": 34, "lost mould": 6}


def test_received_forty_corrected_to_forty_four_after_thirty_were_used(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; count 40
    2 | 2027-01-12 | receive | wood  | what scionwood; count 80; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 30; scion wood; stock nuts; sheet plain
    4 | 2027-01-10 | correct 1: receive | nuts | what seed; count 44
    """)
    assert bench.tally("nuts") == {"received": 44, "in hand": 14, "used batch": 30}
    old, new = bench.entries()[0], bench.entries()[3]
    assert (old.crossed_by, new.replaces, new.turn) == (4, 1, 1)
    assert old.said == {"what": "seed", "count": 40}  # it stays readable as it was
    assert bench.lines(1) == ()


def test_a_correction_of_a_correction_and_no_second_one(bench: Bench) -> None:
    bench.write(FORTY)
    bench.write("""
    6 | 2027-03-03 | lose           | batch | reasons mould 2
    7 | 2027-03-03 | correct 6: lose | batch | reasons mould 3
    - | 2027-03-03 | correct 6: lose | batch | reasons mould 4
        refused: Entry 6 is already crossed out, by entry 7.
    8 | 2027-03-04 | correct 7: lose | batch | reasons frost 1
    - | 2027-12-01 | cross-out      |       | numbers 7; reason again
        refused: Entry 7 is already crossed out, by entry 8.
    - | 2027-12-01 | cross-out      |       | numbers 77; reason no such
        refused: There is no entry 77.
    9 | 2027-12-01 | cross-out      |       | numbers 8; reason it lived
    - | 2027-12-01 | cross-out      |       | numbers 9; reason it did not
        refused: Entry 9 is a crossing-out and stays.
    """)
    assert bench.tally("batch") == {"made": 40, "callusing": 40}
    assert bench.entries()[7].turn == 6


def test_what_rests_on_an_entry_is_named_and_goes_with_it_when_asked(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
     6 | 2027-03-05 | lose      | batch | reasons mould 4
     7 | 2027-03-06 | pot       | batch | count 6; to sill
     8 | 2027-03-07 | give      | batch | count 2; to_whom a friend
     - | 2027-03-02 | cull      | batch | reasons surplus 3
        refused: It cannot stand because of entry 7: batch has 3, not 6.
     - | 2027-12-01 | cross-out |       | numbers 5; reason never made
        refused: It cannot stand because of entries 6, 7, 8: Nothing in this notebook has the code or name batch.
     9 | 2027-12-01 | cross-out |       | numbers 5; reason never made; with_those_behind yes
    """)
    assert bench.tally("batch") == {}
    assert [e.crossed_by for e in bench.entries()] == [0, 0, 0, 0, 9, 9, 9, 9, 0]


def test_only_what_rests_on_it_goes_with_it(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-05 | lose      | batch | reasons mould 6
    7 | 2027-03-06 | lose      | batch | reasons frost 4
    - | 2027-03-02 | cull      | batch | reasons surplus 5
        refused: It cannot stand because of entry 6: batch has 5, not 6.
    """)


def test_crossing_out_a_loss_after_a_check(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-05 | lose      | batch | reasons mould 3
    7 | 2027-03-09 | check     | batch | seen swollen 6; dead rotted 1
    8 | 2027-12-01 | cross-out |       | numbers 6; reason it was another bag
    """)
    # nobody looked at the three that are back: they stay where they were
    assert bench.tally("batch") == {"made": 10, "swollen": 6, "callusing": 3, "lost rotted": 1}


def test_corrected_to_fewer_grafts_than_a_check_saw(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 7; not_looked 3
    - | 2027-03-01 | correct 5: graft | batch | count 6; scion wood; stock nuts; sheet closed-bag; place shelf
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 7 alive, and this leaves only 6.
    7 | 2027-03-01 | correct 5: graft | batch | count 8; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.tally("batch") == {"made": 8, "swollen": 7, "callusing": 1}


def test_a_correction_carries_on_the_codes_of_what_it_replaces(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 4; scion wood; stock nuts; sheet plain; place shelf; bags 2
    6 | 2027-03-03 | check | bag 2 | seen grafted 2
    7 | 2027-03-04 | codes | batch | place bag 1; count 1
    """)
    bags, plant = [bench.code("bag 1"), bench.code("bag 2")], bench.code("plant 1")
    bench.write("""
    8 | 2027-03-01 | correct 5: graft | batch | count 6; scion wood; stock nuts; sheet plain; place shelf; bags 3
    9 | 2027-03-04 | correct 7: codes | batch | place bag 1; count 2
    """)
    assert bench.entries()[7].given["new_bags"][:2] == bags
    assert bench.entries()[8].given["plant_codes"][0] == plant
    assert bench.where("batch") == {"bag 1": {"grafted": 2}, "bag 2": {"grafted": 2}, "bag 3": {"grafted": 2}}


def test_a_lot_given_its_code_keeps_it_and_its_variety_when_corrected(bench: Bench) -> None:
    first = bench.enter("receive", day="2027-01-10", what="scionwood", count=40, of="Amber Early").entry
    assert first is not None
    again = bench.enter(
        "receive", day="2027-01-10", what="scionwood", count=44, of="Amber Early", replaces=1
    ).entry
    assert again is not None
    assert again.subject == first.subject
    with bench.notebook.writing() as page:
        page.look_up("", ["amber-early", "ann"])
        variety, person = page.thing("amber-early"), page.thing("ann")
        assert variety is not None
        assert (variety.name, variety.kind) == ("Amber Early", "variety")
        assert person is not None
        assert (person.name, person.kind) == ("Ann", "person")


def test_a_label_bound_to_the_wrong_batch_is_put_right(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-01 | graft            | other | count 5; scion wood; stock nuts; sheet plain; place sill
    7 | 2027-03-02 | codes            | batch | plants tag
    - | 2027-03-02 | codes            | other | plants tag
        refused: tag belongs to a plant already; a code belongs to one thing for ever.
    8 | 2027-03-02 | correct 7: codes | other | plants tag
    """)
    assert bench.where("tag") == {"sill": {"grafted": 1}}
    assert bench.tally("batch") == {"made": 10, "callusing": 10}


def test_a_code_is_not_taken_over_under_cover_of_a_correction(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-02 | graft            | other | count 5; scion wood; stock nuts; sheet plain; place sill
    - | 2027-03-02 | correct 6: graft | batch | count 5; scion wood; stock nuts; sheet plain; place sill
        refused: batch belongs to a batch already; a code belongs to one thing for ever.
    7 | 2027-03-02 | correct 6: graft | third | count 5; scion wood; stock nuts; sheet plain; place sill
    """)


def test_an_entry_that_says_nothing_new_about_what_stands_behind_it_changes_nothing(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    """)
    late = bench.enter("note", bench.code("batch"), "2027-03-02", note="cold night")
    assert late.derived_again == ()
    assert bench.tally("batch") == {"made": 10, "swollen": 10}


# --- the order of a day --------------------------------------------------------------------------


@pytest.mark.parametrize("ids", [("A1", "B2", "C3"), ("C3", "A1", "B2"), ("B2", "C3", "A1")])
def test_three_entries_of_one_day_without_a_time_stand_as_they_were_entered(
    bench: Bench, ids: tuple[str, ...]
) -> None:
    bench.write(TEN)
    batch = bench.code("batch")
    bench.enter("check", batch, "2027-03-09", id_=ids[0], seen={"callusing": 9}, dead={"mould": 1})
    bench.enter("lose", batch, "2027-03-09", id_=ids[1], reasons={"frost": 2})
    bench.enter("check", batch, "2027-03-09", id_=ids[2], seen={"swollen": 7})
    assert bench.tally("batch") == {"made": 10, "swollen": 7, "lost mould": 1, "lost frost": 2}


def test_a_check_in_the_morning_and_a_loss_in_the_afternoon(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09T08:00 | check | batch | seen callusing 10
    7 | 2027-03-09T17:00 | lose  | batch | reasons mould 1
    8 | 2027-03-10       | check | batch | seen callusing 9
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 9, "lost mould": 1}


def test_a_graft_entered_before_what_it_used_that_day(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; count 5
    2 | 2027-01-12 | receive | wood  | what scionwood; count 80; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 8; scion wood; stock nuts; sheet plain
    4 | 2027-03-01 | receive | nuts  | what seed; count 5
    """)
    assert bench.tally("nuts") == {"received": 10, "in hand": 2, "used batch": 8}


# --- materials do not hold up work ---------------------------------------------------------------


def test_a_graft_of_more_than_nuts_were_counted_and_a_late_receipt(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; count 37
    2 | 2027-01-12 | receive | wood  | what scionwood; count 30; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 40; scion wood; stock nuts; sheet plain
    """)
    assert bench.tally("nuts") == {"received": 37, "recount": 3, "used batch": 40}
    assert bench.tally("wood") == {"received": 30, "recount": 10, "used batch": 40}
    bench.write("4 | 2027-01-20 | receive | nuts | what seed; count 3")
    assert bench.tally("nuts") == {"received": 40, "used batch": 40}
    bench.write("5 | 2027-03-20 | receive | wood | what scionwood; count 10; of Amber Early")
    assert bench.tally("wood") == {"received": 40, "recount": 10, "in hand": 10, "used batch": 40}


def test_two_buds_on_each_scion(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; buds 2; scion wood; stock nuts; sheet plain
    """)
    assert bench.tally("wood") == {"received": 80, "in hand": 60, "used batch": 20}
    assert bench.tally("nuts") == {"received": 60, "in hand": 50, "used batch": 10}


def test_a_bag_nobody_counted_has_no_balance(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; uncounted yes
    2 | 2027-01-12 | receive | wood  | what scionwood; uncounted yes; of Amber Early
    3 | 2027-02-01 | chill   | nuts  | count 50
    4 | 2027-02-20 | pull    | nuts  | count 12; double 2
    5 | 2027-03-01 | graft   | batch | count 10; scion wood; stock nuts; sheet plain
    6 | 2027-03-02 | discard | nuts  | reasons rotted 4
    """)
    assert bench.tally("nuts") == {"received": 14, "used batch": 10, "discarded rotted": 4}
    assert bench.tally("wood") == {"received": 10, "used batch": 10}


def test_counted_from_the_second_receipt_on(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; uncounted yes
    2 | 2027-01-12 | receive | wood  | what scionwood; count 90; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 10; scion wood; stock nuts; sheet plain
    4 | 2027-03-05 | receive | nuts  | what seed; count 20
    5 | 2027-03-06 | graft   | other | count 15; scion wood; stock nuts; sheet plain
    6 | 2027-01-20 | receive | nuts  | what seed; count 4
    """)
    # ten came out of a bag nobody had counted until four were counted in January
    assert bench.tally("nuts") == {
        "received": 24, "recount": 6, "in hand": 5, "used batch": 10, "used other": 15,
    }  # fmt: skip


def test_a_double_sprout_gives_one_stock_more(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-01-20 | chill     | nuts  |
    6 | 2027-02-15 | bring-out | nuts  | count 50
    7 | 2027-02-25 | pull      | nuts  | count 20; double 3; odd 1; put_back 25
    8 | 2027-03-01 | graft     | batch | count 22; scion wood; stock nuts; sheet plain
    9 | 2027-03-02 | return-to-cold | nuts | count 5
    """)
    assert bench.tally("nuts") == {
        "received": 60, "recount double sprout": 3,
        "chilling": 15, "sprouting": 25, "pulled": 1, "used batch": 22,
    }  # fmt: skip
    bench.write("""
    - | 2027-03-03 | pull | nuts | count 2; double 3
        refused: nuts has 2 pulled, not 3.
    """)


def test_what_is_thrown_out_and_counted_again(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | discard      | nuts | reasons grub 2, rotted 3
    6 | 2027-02-02 | check-wood   | wood | reasons mouldy 5
    7 | 2027-02-03 | check-wood   | wood |
    8 | 2027-02-04 | stock-taking | nuts | counted in hand 50
    9 | 2027-02-05 | stock-taking | wood | counted in hand 77
    10 | 2027-02-06 | give        | nuts | count 8; to_whom a neighbour
    """)
    assert bench.tally("nuts") == {
        "received": 60, "recount": -5, "in hand": 42, "discarded grub": 2, "discarded rotted": 3,
        "given a neighbour": 8,
    }  # fmt: skip
    assert bench.tally("wood") == {"received": 80, "recount": 2, "in hand": 77, "discarded mouldy": 5}


def test_a_late_entry_before_a_stock_taking_shrinks_its_recount(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-10 | stock-taking | nuts | counted in hand 55
    6 | 2027-02-01 | discard      | nuts | reasons rotted 5
    """)
    assert bench.tally("nuts") == {"received": 60, "in hand": 55, "discarded rotted": 5}


def test_a_lot_in_two_places_is_counted_place_by_place(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | carry        | nuts | count 20; to sill
    - | 2027-02-02 | stock-taking | nuts | counted in hand 55
        refused: nuts lies in 2 places: sill, shelf.
    6 | 2027-02-02 | stock-taking | nuts | counted in hand 18; place sill
    - | 2027-02-02 | stock-taking | nuts | counted in hand 18; place batch
        refused: Nothing in this notebook has the code or name batch.
    - | 2027-02-02 | stock-taking | nuts | counted in hand 18; place wood
        refused: wood is a scionwood; 'stock-taking' is about a place.
    """)
    assert bench.where("nuts") == {"shelf": {"in hand": 40}, "sill": {"in hand": 18}}


def test_sticks_say_how_many_buds_or_nothing_is_guessed(bench: Bench) -> None:
    bench.write("""
    1 | 2027-01-12 | receive    | wood | what scionwood; sticks 6; buds_per_stick 5; of Amber Early
    2 | 2027-01-12 | cut-scions | more | sticks 2; buds_per_stick 4; of Amber Early
    - | 2027-01-12 | receive    | none | what scionwood; sticks 6
        refused: 'receive' does not say how many.
    - | 2027-01-12 | cut-scions | none | of Amber Early
        refused: 'cut-scions' does not say how many.
    """)
    assert bench.tally("wood") == {"received": 30, "in hand": 30}
    assert bench.tally("more") == {"received": 8, "in hand": 8}


# --- deaths and second tries ---------------------------------------------------------------------


def test_the_last_graft_lost_twice_by_two_phones(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 1; scion wood; stock nuts; sheet plain
    6 | 2027-03-05 | lose  | batch | reasons mould 1
    - | 2027-03-05 | lose  | batch | reasons rotted 1
        aside: batch has 0, not 1.
    """)
    assert bench.tally("batch") == {"made": 1, "lost mould": 1}


def test_failed_and_grafted_again_on_one_day(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-01-12 | receive | stocks | what stock; count 12; place sill
    6 | 2027-03-01 | graft   | batch  | count 10; scion wood; stock stocks; sheet plain; place shelf
    7 | 2027-04-01 | fail    | batch  | reasons no join 3
    8 | 2027-04-01 | regraft | second | count 2; scion wood; stock to work again; sheet plain; place sill
    """)
    assert bench.tally("batch") == {"made": 10, "grafted": 7, "lost no join": 3}
    assert bench.tally("stocks") == {"received": 12, "in hand": 2, "used batch": 10}
    assert bench.tally("to work again") == {"used batch": -3, "in hand": 1, "used second": 2}
    assert bench.where("to work again") == {"shelf": {"in hand": 1}}
    assert bench.tally("second") == {"made": 2, "grafted": 2}
    assert bench.tally("wood") == {"received": 80, "in hand": 68, "used batch": 10, "used second": 2}


def test_a_nut_that_outlives_its_scion_stays_used(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet plain; places shelf 6, sill 4
    6 | 2027-04-01 | fail  | batch | reasons no join 1, rotted 1; place sill
    7 | 2027-04-02 | fail  | batch | reasons no join 2; place shelf; lot to work again
    """)
    assert bench.tally("nuts") == {"received": 60, "in hand": 50, "used batch": 10}
    assert bench.tally("to work again") == {"made": 4, "in hand": 4}
    assert bench.where("to work again") == {"sill": {"in hand": 2}, "shelf": {"in hand": 2}}
    assert bench.tally("batch") == {"made": 10, "grafted": 6, "lost no join": 3, "lost rotted": 1}


def test_stocks_freed_in_two_places_stay_in_their_places(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet plain; places shelf 6, sill 4
    6 | 2027-04-01 | fail  | batch | reasons no join 10
    """)
    assert bench.where("to work again") == {"shelf": {"in hand": 6}, "sill": {"in hand": 4}}


def test_a_crossed_out_failure_takes_its_second_try_along(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | fail      | batch  | reasons no join 3
    7 | 2027-04-01 | regraft   | second | count 2; scion wood; stock to work again; sheet plain; place sill
    8 | 2027-04-02 | lose      | second | reasons mould 1
    - | 2027-12-01 | cross-out |        | numbers 6; reason they grew
        refused: It cannot stand because of entries 7, 8: Nothing in this notebook has the code or name to work again.
    9 | 2027-12-01 | cross-out |        | numbers 6; reason they grew; with_those_behind yes
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 10}
    assert bench.tally("second") == {}
    assert bench.tally("wood") == {"received": 80, "in hand": 70, "used batch": 10}


def test_a_corrected_failure_keeps_its_lot(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | fail           | batch  | reasons no join 3
    7 | 2027-04-01 | regraft        | second | count 2; scion wood; stock to work again; sheet plain; place sill
    8 | 2027-04-01 | correct 6: fail | batch | reasons no join 2
    """)
    assert bench.tally("to work again") == {"made": 2, "used second": 2}


def test_culled_is_no_death(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | cull | batch | reasons weak 1, surplus 2
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 7, "culled weak": 1, "culled surplus": 2}


# --- checks --------------------------------------------------------------------------------------


def test_a_check_that_does_not_add_up(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    - | 2027-03-09 | check | batch | seen callusing 8
        refused: The check names 8 and batch has 10: 2 are missing.
    - | 2027-03-09 | check | batch | seen callusing 9
        refused: The check names 9 and batch has 10: 1 is missing.
    - | 2027-03-09 | check | batch | seen callusing 11
        refused: The check names 11 and batch has 10: 1 too many.
    - | 2027-03-09 | check | batch | place shelf; seen callusing 6, swollen 5; dead mould 1
        refused: The check names 12 and batch has 10 there: 2 too many.
    - | 2027-03-09 | check | batch
        refused: The check names 0 and batch has 10: 10 are missing.
    6 | 2027-03-09 | check | batch | seen callusing 8; not_looked 2
    7 | 2027-03-10 | check | batch | seen callusing 8; dead mould 2
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 8, "lost mould": 2}


def test_a_check_that_counted_otherwise_than_the_book(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 9; dead mould 3; miscounted 2
    7 | 2027-03-12 | check | batch | seen leafing 5; dead mould 1; miscounted -3
    """)
    assert bench.tally("batch") == {"made": 10, "recount": -1, "leafing": 5, "lost mould": 4}


def test_an_earlier_entry_explains_what_was_counted_otherwise(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check            | batch | seen swollen 13; miscounted 3
    7 | 2027-03-12 | check            | batch | seen swollen 11; miscounted -2
    8 | 2027-03-10 | give             | batch | count 2; to_whom a friend
    9 | 2027-03-01 | correct 5: graft | batch | count 12; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.tally("batch") == {"made": 12, "recount": 1, "swollen": 11, "given a friend": 2}


LATE_LOSS = (
    TEN
    + """
    6 | 2027-03-09 | check | batch | seen swollen 3; dead mould 1, rotted 2, unknown 1; not_looked 3
"""
)


@pytest.mark.parametrize(
    ("late", "left"),
    [
        ("mould 1", {"rotted": 2, "unknown": 1}),  # the same death
        ("rotted 2", {"mould": 1, "unknown": 1}),
        ("mould 2", {"rotted": 2}),  # one the same, one of unknown reason
        ("frost 1", {"mould": 1, "rotted": 2}),  # of unknown reason
        ("unknown 1, rotted 1", {"mould": 1, "rotted": 1}),  # each the same death
        ("frost 2", {"mould": 1, "rotted": 2}),  # then those nobody looked at
        ("frost 4", {"mould": 1, "rotted": 2}),
        ("frost 5", {"rotted": 2}),  # at last deaths of other reasons
        ("frost 7", {}),
    ],
)
def test_a_late_earlier_loss_and_the_deaths_of_a_check(bench: Bench, late: str, left: dict[str, int]) -> None:
    bench.write(LATE_LOSS + f"7 | 2027-03-05 | lose | batch | reasons {late}")
    assert bench.deaths(6) == left
    lost = sum(int(one.split()[-1]) for one in late.split(","))
    not_looked = 7 - lost - sum(left.values())
    assert bench.tally("batch").get("callusing", 0) == not_looked
    assert bench.tally("batch")["swollen"] == 3


def test_a_late_loss_that_leaves_fewer_than_were_seen_alive(bench: Bench) -> None:
    bench.write(LATE_LOSS)
    bench.write("""
    - | 2027-03-05 | lose | batch | reasons frost 8
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 3 alive, and this leaves only 2.
    """)


def test_a_step_past_what_a_later_check_saw(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 6, leafing 1; not_looked 3
    - | 2027-03-05 | pot   | batch
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 'leafing', and some are already further than that.
    7 | 2027-03-05 | pot   | batch | count 3
    - | 2027-03-06 | pot   | batch | count 1
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 'swollen', and some are already further than that.
    """)
    assert bench.tally("batch") == {"made": 10, "potted": 3, "swollen": 6, "leafing": 1}


def test_a_check_never_moves_a_graft_back(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check     | batch | seen leafing 4; not_looked 6
    - | 2027-03-10 | check     | batch | seen swollen 10
        refused: The check of batch on 2027-03-10 saw 'swollen', and some are already further than that.
    7 | 2027-03-10 | check     | batch | seen swollen 6; not_looked 4
    - | 2027-03-10 | step-back | batch | back_to callusing; count 11; reason frost
        refused: batch has 10, not 11.
    8 | 2027-03-11 | step-back | batch | back_to swollen; count 4; reason leaves flagged
    - | 2027-03-12 | step-back | batch | back_to swollen; reason frost
        refused: Nothing of batch is left that this could mean.
    - | 2027-03-12 | step-back | batch | back_to cellar; reason frost
        refused: There is no stage 'cellar' here.
    9 | 2027-03-12 | check     | batch | seen swollen 10
    """)
    assert bench.tally("batch") == {"made": 10, "swollen": 10}


def test_the_laggards_die_and_those_ahead_are_seen(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 4, callusing 6
    7 | 2027-03-12 | check | batch | seen leafing 3; dead mould 5; not_looked 2
    """)
    assert bench.tally("batch") == {"made": 10, "leafing": 3, "swollen": 1, "callusing": 1, "lost mould": 5}


def test_a_check_of_a_batch_in_two_places_names_its_place_or_says_one_thing_of_all(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet closed-bag; places shelf 6, sill 4
    - | 2027-03-09 | check | batch | seen callusing 9; dead mould 1
        refused: batch lies in 2 places: sill, shelf.
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03-10 | check | batch | place sill; seen swollen 3; dead mould 1
    """)
    assert bench.where("batch") == {"shelf": {"swollen": 6}, "sill": {"swollen": 3}}


def test_some_carried_away_before_a_check_of_the_one_place_there_was(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 6; dead mould 1; not_looked 3
    7 | 2027-03-05 | carry | batch | count 4; to sill
    """)
    assert bench.tally("batch") == {"made": 10, "swollen": 6, "callusing": 3, "lost mould": 1}


def test_a_late_carrying_off_before_the_check_of_a_place(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | place shelf; seen swollen 6; dead mould 1; not_looked 3
    7 | 2027-03-05 | carry | batch | count 3; to sill
    - | 2027-03-05 | carry | batch | place shelf; to sill
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 6 alive, and this leaves only 0.
    """)
    assert bench.where("batch") == {"shelf": {"swollen": 6}, "sill": {"callusing": 3}}


def test_a_check_of_a_bag_is_one_of_the_batch_in_it(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft    | batch | count 4; scion wood; stock nuts; sheet plain; places shelf 2, sill 2
    6 | 2027-03-01 | graft    | other | count 2; scion wood; stock nuts; sheet plain; place sill
    7 | 2027-03-01 | describe | empty | what place; place_kind bag
    8 | 2027-03-02 | check    | shelf | seen growing 2
    - | 2027-03-02 | check    | empty | seen growing 2
        refused: In empty there is: nothing; 'check' needs one batch or plant.
    - | 2027-03-02 | chill    | sill
        refused: In sill there is: nothing; 'chill' needs one seed.
    9 | 2027-03-02 | chill    | shelf | count 10
    """)
    with pytest.raises(Refusal, match=r"^In .* there is: .*, .*; 'check' needs one batch or plant\. Name it"):
        bench.enter("check", bench.code("sill"), "2027-03-02", seen={"growing": 2})
    assert bench.where("batch") == {"shelf": {"growing": 2}, "sill": {"grafted": 2}}


# --- plants with codes of their own --------------------------------------------------------------


def test_plants_are_part_of_their_batch(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-05 | codes | batch | count 4
    7 | 2027-03-06 | lose  | plant 1 | reasons mould 1
    - | 2027-03-07 | lose  | plant 1 | reasons mould 1
        refused: plant 1 has 0, not 1.
    - | 2027-03-04 | lose  | plant 2 | reasons mould 1
        refused: plant 2 was not there yet on 2027-03-04: it begins on 2027-03-05.
    - | 2027-03-07 | lose  | batch | reasons mould 2
        refused: The plants of batch have codes of their own.
    8 | 2027-03-07 | pot   | batch | plants plant 2, plant 3; to sill
    - | 2027-03-07 | pot   | batch | plants plant 1, plant 3
        refused: Nothing in this notebook has the living plant's code or name plant 1.
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 7, "potted": 2, "lost mould": 1}
    assert bench.tally("plant 2") == {"potted": 1}
    assert bench.where("batch") == {"shelf": {"callusing": 7}, "sill": {"potted": 2}}


def test_plants_named_in_a_check_all_of_them_and_all_but(bench: Bench) -> None:
    bench.write(CODED)
    bench.write("""
     7 | 2027-03-09 | check | batch | seen callusing 10
     8 | 2027-03-12 | check | batch | plants plant 1 = mould, plant 2 = leafing; seen swollen 8
     - | 2027-03-13 | check | batch | seen swollen 8; dead mould 1
        refused: The plants of batch have codes of their own.
     - | 2027-03-13 | check | batch | plants plant 1 = swollen; seen swollen 8
        refused: Nothing in this notebook has the living plant's code or name plant 1.
     - | 2027-03-13 | check | batch | plants plant 2 = swollen; seen swollen 8
        refused: The check of batch on 2027-03-13 saw 'swollen', and some are already further than that.
     - | 2027-03-13 | check | batch | plants plant 2 = leafing; seen swollen 9
        refused: The check names 9 and batch has 8: 1 too many.
     9 | 2027-03-13 | check | batch | plants plant 3 = leafing, plant 4 = rotted; not_looked 7
    10 | 2027-03-14 | check | plant 5 | seen leafing 1
    """)
    assert bench.tally("batch") == {
        "made": 10, "swollen": 5, "leafing": 3, "lost mould": 1, "lost rotted": 1,
    }  # fmt: skip
    assert bench.tally("plant 1") == {"lost mould": 1}
    assert bench.tally("plant 3") == {"leafing": 1}


def test_a_death_of_a_plant_told_late_by_another_phone(bench: Bench) -> None:
    bench.write(CODED)
    bench.write("""
    7 | 2027-03-12 | check | batch | plants plant 1 = mould, plant 2 = leafing; seen swollen 8
    8 | 2027-03-10 | lose  | batch | plants plant 1; reasons frost 1
    - | 2027-03-10 | lose  | batch | plants plant 2; reasons frost 1
        refused: It cannot stand because of entry 7:
        The check of plant 2 on 2027-03-12 saw 1 alive, and this leaves only 0.
    """)
    assert bench.deaths(7) == {}
    assert bench.tally("plant 1") == {"lost frost": 1}


def test_one_plant_is_never_two(bench: Bench) -> None:
    bench.write(CODED)
    bench.write("""
    - | 2027-03-09 | check | plant 1 | seen swollen 2; miscounted 1
        refused: plant 1 is one plant and cannot be 2.
    7 | 2027-03-09 | lose  | plant 1 | reasons mould 1
    8 | 2027-03-12 | check | plant 1 | seen swollen 1; miscounted 1
    """)
    assert bench.tally("plant 1") == {"lost mould": 1, "recount": 1, "swollen": 1}


def test_codes_for_a_bag_are_for_the_grafts_in_it(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 4; scion wood; stock nuts; sheet plain; place shelf; bags 2
    6 | 2027-03-02 | codes | bag 2 |
    """)
    assert bench.where("plant 1") == {"bag 2": {"grafted": 1}}
    assert bench.where("plant 2") == {"bag 2": {"grafted": 1}}
    assert len(bench.entries()[5].given["plant_codes"]) == 2


# --- stages --------------------------------------------------------------------------------------


def test_along_the_stages_and_back(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
     6 | 2027-04-01 | pot       | batch | to sill
     - | 2027-04-02 | pot       | batch
        refused: None of batch stands before 'potted'.
     7 | 2027-04-20 | settle    | batch | count 8
     8 | 2027-05-10 | harden    | batch | count 6
     9 | 2027-05-12 | step-back | batch | back_to settled; count 2; reason frost
    10 | 2027-06-01 | plant     | batch | stage hardening
    11 | 2027-06-02 | lose      | batch | stage planted; reasons browsed 1
    - | 2027-06-02 | lose      | batch | stage planted; reasons browsed 4
        refused: batch has 3 at 'planted', not 4.
    """)
    assert bench.tally("batch") == {
        "made": 10, "potted": 2, "settled": 4, "planted": 3, "lost browsed": 1,
    }  # fmt: skip


def test_a_step_that_a_sheet_does_not_have_is_noted(bench: Bench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet plain; place shelf
    6 | 2027-04-01 | pot   | batch | to sill
    """)
    assert bench.where("batch") == {"sill": {"grafted": 10}}


def test_all_of_them_means_all_that_are_there_then(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | pot  | batch |
    7 | 2027-03-15 | lose | batch | reasons mould 3
    """)
    assert bench.tally("batch") == {"made": 10, "potted": 7, "lost mould": 3}


# --- dates partly known --------------------------------------------------------------------------


def test_a_month_is_the_first_day_on_which_the_entry_can_stand(bench: Bench) -> None:
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


def test_a_month_after_what_stands_in_the_way(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03-20 | check | batch | seen leafing 7; dead mould 3
    8 | 2027-03    | lose  | batch | reasons mould 5
    """)
    # before the 9th it would leave five of the ten seen; until the 20th five of the seven
    assert bench.entries()[7].day == "2027-03-20"
    assert bench.tally("batch") == {"made": 10, "leafing": 2, "lost mould": 8}


def test_a_month_finds_its_day_before_anything_is_crossed_out_for_it(bench: Bench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03    | lose  | batch | reasons mould 5; with_those_behind yes
    """)
    assert bench.entries()[6].day == "2027-03-09"
    assert bench.entries()[5].crossed_by == 0


# --- names ---------------------------------------------------------------------------------------


def test_a_variety_renamed_from_a_day_on_with_all_that_came_from_it(bench: Bench) -> None:
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


def test_a_place_found_by_its_name_even_if_that_looks_like_a_code(bench: Bench) -> None:
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


def test_a_mother_tree_named_by_its_code(bench: Bench) -> None:
    bench.write(CODED)
    answer = bench.enter("cut-scions", day="2027-11-01", count=9, of=bench.code("plant 1").lower())
    assert answer.entry is not None
    assert answer.entry.given["variety"] == bench.code("plant 1")


def test_one_name_for_a_person_and_a_variety(bench: Bench) -> None:
    bench.enter("receive", day="2027-01-10", what="scionwood", count=40, of="Rosa", by="Ann")
    with pytest.raises(Refusal) as told:
        bench.enter("receive", day="2027-01-10", what="seed", count=40, by="Rosa")
    assert str(told.value) == "rosa is a variety; 'by' is about a person. Name the right one."


# --- the same entry again ------------------------------------------------------------------------


def test_the_same_id_with_the_same_content_counts_once(bench: Bench) -> None:
    bench.write(TEN)
    batch = bench.code("batch")
    first = bench.enter("lose", batch, "2027-03-05", id_="X", reasons={"mould": 1})
    again = bench.enter("lose", batch, "2027-03-05", id_="X", reasons={"mould": 1})
    otherwise_typed = bench.enter("lose", batch.lower(), "2027-03-05", id_="X", reasons={"mould": "1"})
    assert first.entry is not None
    assert not first.repeated
    assert again.repeated
    assert otherwise_typed.repeated
    assert again.entry == otherwise_typed.entry == first.entry
    assert bench.tally("batch") == {"made": 10, "callusing": 9, "lost mould": 1}


@pytest.mark.parametrize("at_the_door", [True, False])
def test_the_same_id_with_other_content_is_refused(bench: Bench, at_the_door: bool) -> None:
    bench.write(TEN)
    batch = bench.code("batch")
    bench.enter("lose", batch, "2027-03-05", id_="X", reasons={"mould": 1})
    for about, day, number in (
        (batch, "2027-03-05", 2),
        (batch, "2027-03-06", 1),
        ("nowhere", "2027-03-05", 1),
    ):
        with pytest.raises(Refusal) as told:
            bench.enter("lose", about, day, id_="X", at_the_door=at_the_door, reasons={"mould": number})
        assert str(told.value) == (
            "An entry with the id X is there already and says something else. "
            "Send the new entry with a new id."
        )
    assert bench.tally("batch") == {"made": 10, "callusing": 9, "lost mould": 1}


def test_the_same_words_again_when_they_would_mean_something_else_by_now(bench: Bench) -> None:
    bench.write(TEN)
    bench.enter("describe", day="2027-03-01", what="place", place_kind="shelf", name="West window")
    sent = {"at_the_door": False, "id_": "X", "to": "west window"}
    first = bench.enter("carry", bench.code("batch"), "yesterday", **sent)
    assert first.entry is not None
    bench.enter("describe", "west window", "2027-03-02", what="place", name="East window")
    bench.desk = type(bench.desk)(
        bench.desk.now.replace(year=2028),
        bench.desk.today.replace(year=2028),
        bench.desk.sheets,
        bench.desk.chance,
    )
    again = bench.enter("carry", bench.code("batch"), "yesterday", **sent)
    assert again.repeated
    assert again.entry == first.entry


def test_kept_aside_once_and_with_the_same_answer(bench: Bench) -> None:
    bench.write(TEN)
    sent = {"at_the_door": False, "id_": "X", "reasons": {"mould": 11}}
    first = bench.enter("lose", bench.code("batch"), "2027-03-05", **sent)
    assert isinstance(first.aside, KeptAside)
    bench.enter("receive", bench.code("nuts"), "2027-01-11", what="seed", count=1)
    again = bench.enter("lose", bench.code("batch"), "2027-03-05", **sent)
    assert again.repeated
    assert again.aside == first.aside
    with pytest.raises(Refusal, match="says something else"):
        bench.enter("lose", bench.code("batch"), "2027-03-06", **sent)
    assert bench.tally("batch") == {"made": 10, "callusing": 10}


@pytest.mark.parametrize(
    ("kind", "said", "reason"),
    [
        ("lose", {"reasons": {"mould": 11}}, "batch has 10, not 11."),
        ("lose", {"reasons": {"boredom": 1}}, "'boredom' is not one of the words for 'reasons'."),
        ("lose", {}, "lose: 'reasons' is missing (Reason and number, such as mould=1)."),
        ("loose", {"reasons": {"mould": 1}}, "There is no kind of entry called 'loose'."),
        ("carry", {"to": "the moon"}, "Nothing in this notebook has the code or name the-moon."),
    ],
)
def test_nothing_from_an_outbox_is_dropped(
    bench: Bench, kind: str, said: dict[str, object], reason: str
) -> None:
    bench.write(TEN)
    answer = bench.enter(kind, bench.code("batch"), "2027-03-05", at_the_door=False, id_="X", **said)
    assert answer.entry is None
    assert answer.aside is not None
    assert bench.in_words(answer.aside.reason) == reason
    with bench.notebook.writing() as page:
        page.look_up("X", ())
        assert page.answered("X") == answer.aside
