"""The same entry again, and what is kept aside."""

from __future__ import annotations

import pytest

from graftwright.errors import Refusal
from graftwright.ledger.aside import KeptAside
from ledger_bench import TEN, LedgerBench


def test_the_same_id_with_the_same_content_counts_once(bench: LedgerBench) -> None:
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
def test_the_same_id_with_other_content_is_refused(bench: LedgerBench, at_the_door: bool) -> None:
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


def test_the_same_words_again_when_they_would_mean_something_else_by_now(bench: LedgerBench) -> None:
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


def test_kept_aside_once_and_with_the_same_answer(bench: LedgerBench) -> None:
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
        ("carry", {"to": "the moon"}, "Nothing in this notebook has the code or name the moon."),
    ],
)
def test_nothing_from_an_outbox_is_dropped(
    bench: LedgerBench, kind: str, said: dict[str, object], reason: str
) -> None:
    bench.write(TEN)
    answer = bench.enter(kind, bench.code("batch"), "2027-03-05", at_the_door=False, id_="X", **said)
    assert answer.entry is None
    assert answer.aside is not None
    assert bench.in_words(answer.aside.reason) == reason
    with bench.notebook.writing() as page:
        page.look_up("X", ())
        assert page.answered("X") == answer.aside
