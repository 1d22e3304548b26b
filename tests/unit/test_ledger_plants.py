"""Plants with codes of their own, and the stages they walk."""

from __future__ import annotations

from ledger_bench import CODED, ROOM, TEN, LedgerBench


# --- plants with codes of their own -----------------------------------------------------------------
def test_plants_are_part_of_their_batch(bench: LedgerBench) -> None:
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


def test_plants_named_in_a_check_all_of_them_and_all_but(bench: LedgerBench) -> None:
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


def test_a_death_of_a_plant_told_late_by_another_phone(bench: LedgerBench) -> None:
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


def test_one_plant_is_never_two(bench: LedgerBench) -> None:
    bench.write(CODED)
    bench.write("""
    - | 2027-03-09 | check | plant 1 | seen swollen 2; miscounted 1
        refused: plant 1 is one plant and cannot be 2.
    7 | 2027-03-09 | lose  | plant 1 | reasons mould 1
    8 | 2027-03-12 | check | plant 1 | seen swollen 1; miscounted 1
    """)
    assert bench.tally("plant 1") == {"lost mould": 1, "recount": 1, "swollen": 1}


def test_codes_for_a_bag_are_for_the_grafts_in_it(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 4; scion wood; stock nuts; sheet plain; place shelf; bags 2
    6 | 2027-03-02 | codes | bag 2 |
    """)
    assert bench.where("plant 1") == {"bag 2": {"grafted": 1}}
    assert bench.where("plant 2") == {"bag 2": {"grafted": 1}}
    assert len(bench.entries()[5].given["plant_codes"]) == 2


# --- stages -----------------------------------------------------------------------------------------
def test_along_the_stages_and_back(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
     6 | 2027-04-01 | pot       | batch | to sill
     - | 2027-04-02 | pot       | batch
        refused: None of batch stands before 'potted'.
     7 | 2027-04-20 | settle    | batch | count 8
     - | 2027-05-10 | harden    | batch | count 6
        refused: The grafts of batch there stand at several stages: potted · settled.
     8 | 2027-05-10 | harden    | batch | stage settled; count 6
     9 | 2027-05-12 | step-back | batch | back_to settled; count 2; reason frost
    10 | 2027-06-01 | plant     | batch | stage hardening
    11 | 2027-06-02 | lose      | batch | stage planted; reasons browsed 1
    - | 2027-06-02 | lose      | batch | stage planted; reasons browsed 4
        refused: batch has 3 at 'planted', not 4.
    """)
    assert bench.tally("batch") == {
        "made": 10, "potted": 2, "settled": 4, "planted": 3, "lost browsed": 1,
    }  # fmt: skip


def test_a_step_that_a_sheet_does_not_have_is_noted(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet plain; place shelf
    6 | 2027-04-01 | pot   | batch | to sill
    """)
    assert bench.where("batch") == {"sill": {"grafted": 10}}


def test_all_of_them_means_all_that_are_there_then(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-04-01 | pot  | batch |
    7 | 2027-03-15 | lose | batch | reasons mould 3
    """)
    assert bench.tally("batch") == {"made": 10, "potted": 7, "lost mould": 3}


def test_a_plant_found_dead_is_dead_wherever_it_was_carried_before(bench: LedgerBench) -> None:
    bench.write(CODED)
    bench.write("""
    7 | 2027-03-12 | check | batch | place shelf; plants plant 1 = mould, plant 2 = leafing; seen swollen 8
    8 | 2027-03-10 | carry | batch | plants plant 1, plant 2; to sill
    """)
    assert bench.tally("plant 1") == {"lost mould": 1}
    assert bench.where("plant 2") == {"sill": {"leafing": 1}}


# --- codes for all that have none -------------------------------------------------------------------
def test_codes_without_a_number_are_for_those_that_had_none_by_then(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-10 | lose  | batch | reasons mould 3
    7 | 2027-03-12 | codes | batch |
    8 | 2027-03-11 | correct 7: codes | batch |
    9 | 2027-03-10 | correct 8: codes | batch |
    """)
    first, second, third = (bench.entries()[n].given["plant_codes"] for n in (6, 7, 8))
    assert first == second == third
    assert bench.tally("batch") == {"made": 10, "callusing": 7, "lost mould": 3}


def test_codes_told_late_are_for_all_that_were_there(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-10 | give  | batch | to_whom a friend
    - | 2027-03-11 | codes | batch |
        refused: Nothing of batch is left that this could mean.
    7 | 2027-03-05 | codes | batch |
    """)
    assert len(bench.entries()[6].given["plant_codes"]) == 10
    assert bench.tally("batch") == {"made": 10, "given a friend": 10}


def test_codes_in_a_month_are_given_on_its_first_day_with_grafts(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-20 | graft | batch | count 4; scion wood; stock nuts; sheet plain; place shelf
    6 | 2027-03    | codes | batch |
    7 | 2027-03    | correct 6: codes | batch |
    """)
    assert [e.day for e in bench.entries()[5:]] == ["2027-03-20", "2027-03-20"]
    assert bench.entries()[5].given["plant_codes"] == bench.entries()[6].given["plant_codes"]


# --- more grafts than anybody knew of when they got codes -------------------------------------------
def test_more_grafts_told_after_all_were_coded_checked_and_potted_are_those_without_codes(
    bench: LedgerBench,
) -> None:
    bench.write(CODED)
    bench.write("""
    7 | 2027-03-12 | check | batch | seen leafing 10
    8 | 2027-03-20 | pot   | batch | count 10; to sill
    9 | 2027-03-01 | correct 5: graft | batch | count 12; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.where("batch") == {"shelf": {"callusing": 2}, "sill": {"potted": 10}}
    assert bench.tally("plant 1") == {"potted": 1}
    bench.write(
        "10 | 2027-03-01 | correct 9: graft | batch | count 10; scion wood; stock nuts; sheet closed-bag; place shelf"
    )
    assert bench.where("batch") == {"sill": {"potted": 10}}


def test_more_grafts_told_after_all_the_coded_ones_died_live_on(bench: LedgerBench) -> None:
    bench.write(CODED)
    bench.write("""
    7 | 2027-03-12 | lose | batch | reasons mould 10
    8 | 2027-03-01 | correct 5: graft | batch | count 12; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.tally("batch") == {"made": 12, "callusing": 2, "lost mould": 10}
    assert bench.tally("plant 10") == {"lost mould": 1}


def test_more_grafts_told_in_several_places_leave_the_coded_ones_where_they_are(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet closed-bag; places shelf 6, sill 4
    6 | 2027-03-02 | codes | batch |
    7 | 2027-03-12 | check | batch | seen swollen 6; place shelf
    8 | 2027-03-12 | check | batch | seen leafing 4; place sill
    """)
    before = [bench.where(f"plant {n}") for n in range(1, 11)]
    bench.write(
        "9 | 2027-03-01 | correct 5: graft | batch | count 13; scion wood; stock nuts; sheet closed-bag; "
        "places shelf 8, sill 5"
    )
    assert bench.where("batch") == {
        "shelf": {"callusing": 2, "swollen": 6},
        "sill": {"callusing": 1, "leafing": 4},
    }
    assert [bench.where(f"plant {n}") for n in range(1, 11)] == before


def test_codes_told_before_a_death_by_number_do_not_say_which_died(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-12 | lose  | batch | reasons mould 5
    - | 2027-03-02 | codes | batch | count 4
        refused: It cannot stand because of entry 6: The plants of batch have codes of their own.
    """)
