"""Entries that come late, are corrected or crossed out: what the book then says."""

from __future__ import annotations

from ledger_bench import FORTY, ROOM, TEN, LedgerBench


def test_the_check_of_day_ten_entered_before_that_of_day_eight(bench: LedgerBench) -> None:
    bench.write(FORTY)
    bench.write("""
    6 | 2027-03-11 | check | batch | seen callusing 30; dead mould 6; not_looked 4
    7 | 2027-03-09 | check | batch | seen callusing 35; dead mould 5
    """)
    assert bench.deaths(7) == {"mould": 5}
    assert bench.deaths(6) == {"mould": 1}  # five of the six were found two days before
    assert bench.tally("batch") == {"made": 40, "callusing": 34, "lost mould": 6}


def test_received_forty_corrected_to_forty_four_after_thirty_were_used(bench: LedgerBench) -> None:
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


def test_a_correction_of_a_correction_and_no_second_one(bench: LedgerBench) -> None:
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


def test_what_rests_on_an_entry_is_named_and_goes_with_it_when_asked(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
     6 | 2027-03-05 | lose      | batch | reasons mould 4
     7 | 2027-03-06 | pot       | batch | count 6; to sill
     8 | 2027-03-07 | give      | batch | count 2; to_whom a friend
     - | 2027-03-02 | cull      | batch | reasons surplus 3
        refused: It cannot stand because of entry 7: batch has 3, not 6.
     - | 2027-12-01 | cross-out |       | numbers 5; reason never made
        refused: It cannot stand because of entries 6, 7, 8: what it made is needed there.
     9 | 2027-12-01 | cross-out |       | numbers 5; reason never made; with_those_behind yes
    """)
    assert bench.tally("batch") == {}
    assert [e.crossed_by for e in bench.entries()] == [0, 0, 0, 0, 9, 9, 9, 9, 0]


def test_only_what_rests_on_it_goes_with_it(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-05 | lose      | batch | reasons mould 6
    7 | 2027-03-06 | lose      | batch | reasons frost 4
    - | 2027-03-02 | cull      | batch | reasons surplus 5
        refused: It cannot stand because of entry 6: batch has 5, not 6.
    """)


def test_crossing_out_a_loss_after_a_check(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-05 | lose      | batch | reasons mould 3
    7 | 2027-03-09 | check     | batch | seen swollen 6; dead rotted 1
    8 | 2027-12-01 | cross-out |       | numbers 6; reason it was another bag
    """)
    # nobody looked at the three that are back: they stay where they were
    assert bench.tally("batch") == {"made": 10, "swollen": 6, "callusing": 3, "lost rotted": 1}


def test_corrected_to_fewer_grafts_than_a_check_saw(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 7; not_looked 3
    - | 2027-03-01 | correct 5: graft | batch | count 6; scion wood; stock nuts; sheet closed-bag; place shelf
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 7 alive, and this leaves only 6.
    7 | 2027-03-01 | correct 5: graft | batch | count 8; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.tally("batch") == {"made": 8, "swollen": 7, "callusing": 1}


def test_a_correction_carries_on_the_codes_of_what_it_replaces(bench: LedgerBench) -> None:
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


def test_a_lot_given_its_code_keeps_it_and_its_variety_when_corrected(bench: LedgerBench) -> None:
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


def test_a_label_bound_to_the_wrong_batch_is_put_right(bench: LedgerBench) -> None:
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


def test_a_code_is_not_taken_over_under_cover_of_a_correction(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-02 | graft            | other | count 5; scion wood; stock nuts; sheet plain; place sill
    - | 2027-03-02 | correct 6: graft | batch | count 5; scion wood; stock nuts; sheet plain; place sill
        refused: batch belongs to a batch already; a code belongs to one thing for ever.
    7 | 2027-03-02 | correct 6: graft | third | count 5; scion wood; stock nuts; sheet plain; place sill
    """)


def test_an_entry_that_says_nothing_new_about_what_stands_behind_it_changes_nothing(
    bench: LedgerBench,
) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 10
    """)
    late = bench.enter("note", bench.code("batch"), "2027-03-02", note="cold night")
    assert late.derived_again == ()
    assert bench.tally("batch") == {"made": 10, "swollen": 10}


def test_the_last_entry_corrected_to_more_than_it_would_leave_itself(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-03 | lose            | batch | reasons mould 6
    7 | 2027-03-03 | correct 6: lose | batch | reasons mould 9
    8 | 2027-03-03 | correct 7: lose | batch | reasons mould 10
    """)
    assert bench.tally("batch") == {"made": 10, "lost mould": 10}


def test_a_step_that_found_nothing_finds_again_what_comes_back(bench: LedgerBench) -> None:
    """Told late, a discard leaves nothing to bring out; crossed out, it gives all of them back to the bringing out."""
    bench.write("""
    1 | 2027-01-10 | receive   | nuts | what seed; count 5
    2 | 2027-03-05 | bring-out | nuts |
    3 | 2027-03-04 | discard   | nuts | reasons grub 5
    """)
    assert bench.tally("nuts") == {"received": 5, "discarded grub": 5}
    bench.write("4 | 2027-03-06 | cross-out | | numbers 3; reason another bag")
    assert bench.tally("nuts") == {"received": 5, "sprouting": 5}
