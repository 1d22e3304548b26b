"""Nuts, wood and stocks, deaths and second tries: nothing is counted twice, nothing holds up work."""

from __future__ import annotations

from ledger_bench import ROOM, TEN, LedgerBench


# --- materials do not hold up work ------------------------------------------------------------------
def test_a_graft_of_more_than_nuts_were_counted_and_a_late_receipt(bench: LedgerBench) -> None:
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


def test_two_buds_on_each_scion(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; buds 2; scion wood; stock nuts; sheet plain
    """)
    assert bench.tally("wood") == {"received": 80, "in hand": 60, "used batch": 20}
    assert bench.tally("nuts") == {"received": 60, "in hand": 50, "used batch": 10}


def test_a_bag_nobody_counted_has_no_balance(bench: LedgerBench) -> None:
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


def test_a_lot_is_counted_or_it_is_not(bench: LedgerBench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; uncounted yes
    2 | 2027-01-12 | receive | wood  | what scionwood; count 90; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 10; scion wood; stock nuts; sheet plain
    - | 2027-03-05 | receive | nuts  | what seed; count 20
        refused: nuts is a lot that nobody counted; what was counted cannot join it.
    - | 2027-01-02 | receive | nuts  | what seed; count 20
        refused: nuts is a lot that nobody counted; what was counted cannot join it.
    - | 2027-03-05 | receive | wood  | what scionwood; uncounted yes
        refused: wood was counted; what nobody counted cannot join it.
    - | 2027-03-05 | receive | more  | what seed; uncounted yes; count 20
        refused: A lot is counted or uncounted, not both.
    - | 2027-03-05 | stock-taking | nuts | counted in hand 20
        refused: Nobody counted nuts when it came in, so there is no number to compare with.
    4 | 2027-03-05 | receive | nuts  | what seed; uncounted yes
    - | 2027-01-10 | correct 1: receive | nuts | what seed; count 30
        refused: nuts is a lot that nobody counted; what was counted cannot join it.
    """)
    assert bench.tally("nuts") == {"received": 10, "used batch": 10}


def test_a_receipt_corrected_to_a_number_or_to_none(bench: LedgerBench) -> None:
    bench.write("""
    1 | 2027-01-10 | receive | nuts  | what seed; uncounted yes
    2 | 2027-01-12 | receive | wood  | what scionwood; count 90; of Amber Early
    3 | 2027-03-01 | graft   | batch | count 10; scion wood; stock nuts; sheet plain
    4 | 2027-01-10 | correct 1: receive | nuts | what seed; count 30
    5 | 2027-03-02 | stock-taking | nuts | counted in hand 18
    """)
    assert bench.tally("nuts") == {"received": 30, "recount": -2, "in hand": 18, "used batch": 10}
    bench.write("6 | 2027-01-10 | correct 4: receive | nuts | what seed; uncounted yes")
    assert bench.tally("nuts") == {"received": 10, "used batch": 10}


def test_a_double_sprout_gives_one_stock_more(bench: LedgerBench) -> None:
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


def test_what_is_thrown_out_and_counted_again(bench: LedgerBench) -> None:
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


def test_a_late_entry_before_a_stock_taking_shrinks_its_recount(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-10 | stock-taking | nuts | counted in hand 55
    6 | 2027-02-01 | discard      | nuts | reasons rotted 5
    """)
    assert bench.tally("nuts") == {"received": 60, "in hand": 55, "discarded rotted": 5}


def test_a_lot_in_two_places_is_counted_place_by_place(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-01 | carry        | nuts | count 20; to sill
    - | 2027-02-02 | stock-taking | nuts | counted in hand 55
        refused: nuts lies in 2 places: sill, shelf.
    6 | 2027-02-02 | stock-taking | nuts | counted in hand 18; place sill
    - | 2027-02-02 | stock-taking | nuts | counted in hand 18; place batch
        refused: Nothing in this notebook has the code or name batch.
    - | 2027-02-02 | stock-taking | nuts | counted in hand 18; place wood
        refused: wood is a scionwood lot; 'stock-taking' is about a place.
    """)
    assert bench.where("nuts") == {"shelf": {"in hand": 40}, "sill": {"in hand": 18}}


def test_sticks_say_how_many_buds_or_nothing_is_guessed(bench: LedgerBench) -> None:
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


# --- deaths and second tries ------------------------------------------------------------------------
def test_the_last_graft_lost_twice_by_two_phones(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 1; scion wood; stock nuts; sheet plain
    6 | 2027-03-05 | lose  | batch | reasons mould 1
    - | 2027-03-05 | lose  | batch | reasons rotted 1
        aside: batch has 0, not 1.
    """)
    assert bench.tally("batch") == {"made": 1, "lost mould": 1}


def test_failed_and_grafted_again_on_one_day(bench: LedgerBench) -> None:
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


def test_a_nut_that_outlives_its_scion_stays_used(bench: LedgerBench) -> None:
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


def test_stocks_freed_in_two_places_stay_in_their_places(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet plain; places shelf 6, sill 4
    6 | 2027-04-01 | fail  | batch | reasons no join 10
    """)
    assert bench.where("to work again") == {"shelf": {"in hand": 6}, "sill": {"in hand": 4}}


def test_a_crossed_out_failure_takes_its_second_try_along(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | fail      | batch  | reasons no join 3
    7 | 2027-04-01 | regraft   | second | count 2; scion wood; stock to work again; sheet plain; place sill
    8 | 2027-04-02 | lose      | second | reasons mould 1
    - | 2027-12-01 | cross-out |        | numbers 6; reason they grew
        refused: It cannot stand because of entries 7, 8: what it made is needed there.
    9 | 2027-12-01 | cross-out |        | numbers 6; reason they grew; with_those_behind yes
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 10}
    assert bench.tally("second") == {}
    assert bench.tally("wood") == {"received": 80, "in hand": 70, "used batch": 10}


def test_a_corrected_failure_keeps_its_lot(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | fail           | batch  | reasons no join 3
    7 | 2027-04-01 | regraft        | second | count 2; scion wood; stock to work again; sheet plain; place sill
    8 | 2027-04-01 | correct 6: fail | batch | reasons no join 2
    """)
    assert bench.tally("to work again") == {"made": 2, "used second": 2}


def test_culled_is_no_death(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | cull | batch | reasons weak 1, surplus 2
    """)
    assert bench.tally("batch") == {"made": 10, "callusing": 7, "culled weak": 1, "culled surplus": 2}


def test_nuts_given_away_do_not_hold_up_a_graft_told_late(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-02-20 | carry          | nuts  | count 20; to sill
    6 | 2027-02-21 | chill          | nuts  | count 10
    7 | 2027-02-22 | give           | nuts  | count 30; to_whom a neighbour
    8 | 2027-02-23 | bring-out      | nuts  |
    9 | 2027-02-24 | return-to-cold | nuts  |
    10 | 2027-02-25 | give          | nuts  | to_whom a friend
    - | 2027-02-26 | give           | nuts  | to_whom a friend
        refused: Nothing of nuts is left that this could mean.
    - | 2027-02-26 | bring-out      | nuts  |
        refused: Nothing of nuts is left at 'chilling' that this could mean.
    11 | 2027-02-01 | graft         | batch | count 60; scion wood; stock nuts; sheet plain; place shelf
    """)
    # ten more were chilled and twenty more given than were counted; the friend got all that was left: none
    assert bench.tally("nuts") == {"received": 60, "recount": 30, "used batch": 60, "given a neighbour": 30}
    assert bench.tally("batch") == {"made": 60, "grafted": 60}


def test_some_given_and_carried_from_a_bag_nobody_counted(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-01-10 | receive | acorns | what seed; uncounted yes
    6 | 2027-02-01 | carry   | acorns | to sill
    7 | 2027-02-02 | give    | acorns | count 25; to_whom a neighbour
    8 | 2027-02-03 | give    | acorns | to_whom a friend
    """)
    assert bench.tally("acorns") == {"received": 25, "given a neighbour": 25}


def test_stocks_freed_and_stocks_that_nobody_counted_do_not_mix(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | fail    | batch         | reasons no join 3
    7 | 2027-04-02 | give    | to work again | count 1; to_whom a friend
    - | 2027-04-20 | receive | to work again | what stock; uncounted yes
        refused: to work again was counted; what nobody counted cannot join it.
    8 | 2027-04-20 | receive | to work again | what stock; count 5
    """)
    assert bench.tally("to work again") == {"received": 5, "made": 3, "in hand": 7, "given a friend": 1}


def test_stocks_go_back_to_the_bag_that_nobody_counted(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
     5 | 2027-03-01 | receive | stocks | what stock; uncounted yes
     6 | 2027-03-02 | graft   | batch  | count 10; scion wood; stock stocks; sheet plain; place shelf
     7 | 2027-04-01 | fail    | batch  | reasons no join 3; lot stocks
     8 | 2027-04-02 | regraft | second | count 2; scion wood; stock stocks; sheet plain; place sill
     9 | 2027-03-02 | graft   | nutty  | count 5; scion wood; stock nuts; sheet plain; place shelf
    10 | 2027-04-01 | fail    | nutty  | reasons no join 2; lot stocks
     - | 2027-02-28 | fail    | batch  | reasons no join 1; lot stocks
        refused: batch was not there yet on 2027-02-28: it begins on 2027-03-02.
    """)
    # ten taken and three of them back, two taken again; two that grew from nuts came in besides
    assert bench.tally("stocks") == {"received": 7, "made": 2, "used batch": 7, "used second": 2}


def test_stocks_cannot_join_a_lot_that_came_later(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-20 | receive | stocks | what stock; uncounted yes
    - | 2027-04-10 | fail    | batch  | reasons no join 3; lot stocks
        refused: stocks was not there yet on 2027-04-10: it begins on 2027-04-20.
    """)
