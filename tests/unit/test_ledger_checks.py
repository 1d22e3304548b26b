"""Checks: what was seen, what was dead, and how they give way to what is told late."""

from __future__ import annotations

import pytest

from graftwright.errors import Refusal
from ledger_bench import ROOM, TEN, LedgerBench


def test_a_check_that_does_not_add_up(bench: LedgerBench) -> None:
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


def test_a_check_that_counted_otherwise_than_the_book(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 9; dead mould 3; miscounted 2
    7 | 2027-03-12 | check | batch | seen leafing 5; dead mould 1; miscounted -3
    """)
    assert bench.tally("batch") == {"made": 10, "recount": -1, "leafing": 5, "lost mould": 4}


def test_an_earlier_entry_explains_what_was_counted_otherwise(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check            | batch | seen swollen 13; miscounted 3
    7 | 2027-03-12 | check            | batch | seen swollen 11; miscounted -2
    8 | 2027-03-10 | give             | batch | count 2; to_whom a friend
    9 | 2027-03-01 | correct 5: graft | batch | count 12; scion wood; stock nuts; sheet closed-bag; place shelf
    """)
    assert bench.tally("batch") == {"made": 12, "recount": 1, "swollen": 11, "given a friend": 2}


LATE_LOSS = f"""{TEN}
    6 | 2027-03-09 | check | batch | seen swollen 3; dead mould 1, rotted 2, unknown 1; not_looked 3
"""


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
def test_a_late_earlier_loss_and_the_deaths_of_a_check(
    bench: LedgerBench, late: str, left: dict[str, int]
) -> None:
    bench.write(LATE_LOSS + f"7 | 2027-03-05 | lose | batch | reasons {late}")
    assert bench.deaths(6) == left
    lost = sum(int(one.split()[-1]) for one in late.split(","))
    not_looked = 7 - lost - sum(left.values())
    assert bench.tally("batch").get("callusing", 0) == not_looked
    assert bench.tally("batch")["swollen"] == 3


def test_a_late_loss_that_leaves_fewer_than_were_seen_alive(bench: LedgerBench) -> None:
    bench.write(LATE_LOSS)
    bench.write("""
    - | 2027-03-05 | lose | batch | reasons frost 8
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 3 alive, and this leaves only 2.
    """)


def test_a_step_past_what_a_later_check_saw(bench: LedgerBench) -> None:
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


def test_a_check_never_moves_a_graft_back(bench: LedgerBench) -> None:
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


def test_the_laggards_die_and_those_ahead_are_seen(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 4, callusing 6
    7 | 2027-03-12 | check | batch | seen leafing 3; dead mould 5; not_looked 2
    """)
    assert bench.tally("batch") == {"made": 10, "leafing": 3, "swollen": 1, "callusing": 1, "lost mould": 5}


def test_a_check_of_a_batch_in_two_places_names_its_place_or_says_one_thing_of_all(
    bench: LedgerBench,
) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft | batch | count 10; scion wood; stock nuts; sheet closed-bag; places shelf 6, sill 4
    - | 2027-03-09 | check | batch | seen callusing 9; dead mould 1
        refused: batch lies in 2 places: sill, shelf.
    6 | 2027-03-09 | check | batch | seen swollen 10
    7 | 2027-03-10 | check | batch | place sill; seen swollen 3; dead mould 1
    """)
    assert bench.where("batch") == {"shelf": {"swollen": 6}, "sill": {"swollen": 3}}


def test_some_carried_away_before_a_check_of_the_one_place_there_was(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | seen swollen 6; dead mould 1; not_looked 3
    7 | 2027-03-05 | carry | batch | count 4; to sill
    """)
    assert bench.tally("batch") == {"made": 10, "swollen": 6, "callusing": 3, "lost mould": 1}


def test_a_late_carrying_off_before_the_check_of_a_place(bench: LedgerBench) -> None:
    bench.write(TEN)
    bench.write("""
    6 | 2027-03-09 | check | batch | place shelf; seen swollen 6; dead mould 1; not_looked 3
    7 | 2027-03-05 | carry | batch | count 3; to sill
    - | 2027-03-05 | carry | batch | place shelf; to sill
        refused: It cannot stand because of entry 6:
        The check of batch on 2027-03-09 saw 6 alive, and this leaves only 0.
    """)
    assert bench.where("batch") == {"shelf": {"swollen": 6}, "sill": {"callusing": 3}}


def test_a_check_of_a_bag_is_one_of_the_batch_in_it(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-03-01 | graft    | batch | count 4; scion wood; stock nuts; sheet plain; places shelf 2, sill 2
    6 | 2027-03-01 | graft    | other | count 2; scion wood; stock nuts; sheet plain; place sill
    7 | 2027-03-01 | describe | empty | what place; place_kind bag
    8 | 2027-03-02 | check    | shelf | seen growing 2
    - | 2027-03-02 | check    | empty | seen growing 2
        refused: In empty there is: nothing; 'check' needs one batch or plant.
    - | 2027-03-02 | chill    | sill
        refused: In sill there is: nothing; 'chill' needs one seed lot.
    9 | 2027-03-02 | chill    | shelf | count 10
    """)
    with pytest.raises(Refusal, match=r"^In .* there is: .*, .*; 'check' needs one batch or plant\. Name it"):
        bench.enter("check", bench.code("sill"), "2027-03-02", seen={"growing": 2})
    assert bench.where("batch") == {"shelf": {"growing": 2}, "sill": {"grafted": 2}}
