"""Names that come and go with the entries that say them, lots that keep their identity, numbers without end."""

from __future__ import annotations

from typing import Any

import pytest

from cli_bench import Session, small_book
from graftwright.errors import Trouble
from graftwright.ledger.kinds import COUNTS, KINDS, OUTCOMES, SHARES
from ledger_bench import ROOM, TEN, LedgerBench, in_memory

LONG = "9" * 5000


def found(bench: LedgerBench, word: str) -> str | None:
    """Return what a carry to that word would mean: how every place is found."""
    with bench.notebook.writing() as page:
        page.look_up("", [word])
        thing = page.find(word)
        return thing.code if thing and thing.exists else None


# nuts that lie in two places


def test_nuts_in_two_places_are_chilled_where_they_lie(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-01-15 | carry | nuts | count 20; to sill
    6 | 2027-01-20 | chill | nuts |
    """)
    assert bench.where("nuts") == {"shelf": {"chilling": 40}, "sill": {"chilling": 20}}
    bench.write("7 | 2027-02-20 | bring-out | nuts | count 50; place shelf")
    assert sum(n for place in bench.where("nuts").values() for n in place.values()) == 60
    assert bench.where("nuts")["shelf"]["sprouting"] == 50


def test_some_of_the_nuts_in_two_places_stay_in_hand(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    5 | 2027-01-15 | carry | nuts | count 20; to sill
    6 | 2027-01-20 | chill | nuts | count 45
    7 | 2027-01-21 | chill | nuts |
    - | 2027-01-22 | chill | nuts |
        refused: Nothing of nuts is left at 'in hand' that this could mean.
    """)
    assert bench.where("nuts") == {"shelf": {"chilling": 40}, "sill": {"chilling": 20}}


# one lot, one identity


def test_nothing_of_another_variety_or_genus_joins_a_lot(bench: LedgerBench) -> None:
    bench.write(ROOM)
    bench.write("""
    - | 2027-01-20 | receive    | wood | what scionwood; count 5; of Long Meadow
        refused: wood is a lot of another variety or genus; a lot has one identity.
    - | 2027-01-20 | cut-scions | wood | count 5; of Long Meadow
        refused: wood is a lot of another variety or genus; a lot has one identity.
    5 | 2027-01-20 | receive    | wood | what scionwood; count 5; of Amber Early
    6 | 2027-01-20 | receive    | more | what seed; count 5; genus Castanea
    - | 2027-01-21 | receive    | more | what seed; count 5; genus Juglans
        refused: more is a lot of another variety or genus; a lot has one identity.
    7 | 2027-01-12 | correct 5: receive | wood | what scionwood; count 6; of Amber Early
    """)
    assert bench.tally("wood") == {"received": 86, "in hand": 86}


# numbers


@pytest.mark.parametrize("number", ["77", "1000001", "999999999999"])
def test_an_entry_that_does_not_exist_cannot_be_crossed_out(bench: LedgerBench, number: str) -> None:
    bench.write(f"""{TEN}
    - | 2027-12-01 | cross-out | | numbers {number}; reason no such
        refused: There is no entry {number}.
    """)


FIELDS = [(kind.name, field) for kind in KINDS.values() for field in kind.fields]


@pytest.mark.parametrize(("kind", "field"), FIELDS, ids=lambda one: one if isinstance(one, str) else one.name)
def test_five_thousand_digits_in_any_field_are_refused_in_one_sentence(kind: str, field: Any) -> None:
    value: Any = LONG
    if field.holds in {COUNTS, SHARES, OUTCOMES}:
        value = {(field.choices or ("callusing",))[0]: LONG}
    said = {"what": "place"} if kind == "describe" else {}
    with in_memory() as notebook:
        bench = LedgerBench(notebook)
        bench.write(TEN)
        with pytest.raises(Trouble) as raised:
            bench.enter(kind, bench.code("batch"), "2027-04-01", **{**said, field.name: value})
    assert len(str(raised.value)) < 900
    assert LONG[:100] not in str(raised.value)


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return small_book(tmp_path_factory.mktemp("numbers") / "book.graftwright")[0]


@pytest.mark.parametrize(
    "words",
    [
        ("show", LONG), ("correct", LONG), ("correct", "9", LONG), ("cross-out", LONG, "--reason", "x"),
        ("today", "--date", LONG), ("away", LONG, LONG), ("record", "check", LONG),
        ("record", "vent", "x", "--day", LONG),
        ("record", "receive", LONG, "--what", "seed"), ("record", "graft", "1", "--bags", LONG),
        ("record", "lose", "x", LONG, "--reason", "mould"), ("plan", "size", LONG), ("air", LONG, LONG),
        ("record", "describe", "--what", "site", "--latitude", LONG), ("mix", LONG),
    ],
    ids=lambda words: " ".join(word[:9] for word in words),
)  # fmt: skip
def test_five_thousand_digits_anywhere_are_answered_in_a_line(
    session: Session, words: tuple[str, ...]
) -> None:
    told = session.run(*words)
    assert told.exit_code in {2, 10, 12, 20}
    assert "Traceback" not in told.err


# names that come and go


def test_a_name_given_by_an_entry_that_is_crossed_out_is_gone(bench: LedgerBench) -> None:
    bench.enter("describe", "", "2027-01-05", what="place", name="Sill", place_kind="shelf")
    sill = bench.entries()[0].subject
    bench.enter("describe", "Sill", "2027-02-01", what="place", name="Window")
    assert (found(bench, "Window"), found(bench, "Sill")) == (sill, None)
    bench.enter("cross-out", numbers=[2], reason="It was the other one.")
    assert (found(bench, "Window"), found(bench, "Sill")) == (None, sill)
    bench.enter("describe", "", "2027-02-02", what="place", name="Window")
    assert found(bench, "Window") == bench.entries()[3].subject != sill


def test_an_emptied_name_is_free_for_something_else(bench: LedgerBench) -> None:
    bench.enter("receive", "", "2027-01-05", what="seed", count=5, of="Sill")
    assert found(bench, "Sill") == "sill"
    bench.enter("cross-out", numbers=[1], reason="It was a place.")
    assert found(bench, "Sill") is None
    with pytest.raises(Trouble, match="has the code or name Sill"):
        bench.enter("note", "Sill", "2027-02-01", note="Cold.")
    bench.enter("describe", "", "2027-01-06", what="place", name="Sill", place_kind="shelf")
    shelf = bench.entries()[2].subject
    assert found(bench, "Sill") == shelf
    bench.enter("receive", "", "2027-01-07", what="seed", count=5, place="Sill")
    assert bench.entries()[3].said["place"] == shelf


@pytest.mark.parametrize("name", ["---", "…", "  .  "])
def test_a_name_of_signs_alone_is_refused(bench: LedgerBench, name: str) -> None:
    with pytest.raises(Trouble, match="is no name: it has neither a letter nor a figure"):
        bench.enter("receive", "", "2027-01-05", what="seed", count=5, of=name)
    assert bench.entries() == []
