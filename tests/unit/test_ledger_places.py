"""Places in the ledger: bags, shelves, what was carried, and rings that cannot be."""

from __future__ import annotations

from ledger_bench import ROOM, TEN, LedgerBench


def test_forty_grafts_in_twenty_bags_one_bag_carried_one_check_of_one_bag(bench: LedgerBench) -> None:
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


def test_grafts_that_do_not_divide_evenly_among_bags(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 5; scion wood; stock nuts; sheet closed-bag; place shelf; bags 3
    """)
    assert bench.where("batch") == {f"bag {n}": {"callusing": n_in} for n, n_in in [(1, 2), (2, 2), (3, 1)]}


def test_a_batch_over_places_and_some_of_it_carried(bench: LedgerBench) -> None:
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


def test_places_that_do_not_take_all_grafts(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    - | 2027-03-01 | graft | batch | count 40; scion wood; stock nuts; sheet plain; places shelf 30, sill 9
        refused: The places take 39 of 40 grafts.
    """)


def test_a_shelf_cannot_stand_in_what_stands_in_it(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | describe | room  | what place; place_kind room
    6 | 2027-02-02 | carry    | shelf | to sill
    7 | 2027-02-03 | carry    | sill  | to room
    - | 2027-02-04 | carry    | room  | to shelf
        refused: room cannot stand in shelf: that stands in it.
    - | 2027-02-04 | carry    | sill  | to sill
        refused: sill cannot stand in itself.
    8 | 2027-02-05 | carry    | shelf | to room
    9 | 2027-02-06 | carry    | sill  | to shelf
    """)


def test_a_ring_of_places_is_found_however_late_its_first_piece_is_told(bench: LedgerBench) -> None:
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


def test_two_boxes_that_changed_places(bench: LedgerBench) -> None:
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


def test_a_place_in_which_something_was_put_does_not_vanish(bench: LedgerBench) -> None:
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
