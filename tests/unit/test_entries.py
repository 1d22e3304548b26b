"""The door of the ledger: every kind of field against what can be typed wrongly into it."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.errors import ValueComplaint
from graftwright.ledger import kinds
from graftwright.ledger.codes import UnknownCode
from graftwright.ledger.days import UnreadableDay
from graftwright.ledger.entries import (
    Entry,
    ForeignField,
    MissingValue,
    Nameless,
    WrongValue,
    key_of,
    read_said,
    read_value,
    slug,
    spellings,
)
from graftwright.ledger.kinds import KINDS, Field, UnknownKind, find_kind

A, B = "VY7QVX", "2PK2ZS"


def field(kind: str, name: str) -> Field:
    found = find_kind(kind).field(name)
    assert found is not None
    return found


def refused(kind: str, name: str, value: Any) -> str:
    with pytest.raises(WrongValue) as told:
        read_value(field(kind, name), value)
    assert told.value.where == name
    return told.value.sentence


# counts

GOOD_COUNTS = [(1, 1), ("1", 1), (" 40 ", 40), ("+7", 7), ("007", 7), (1_000_000, 1_000_000)]


@pytest.mark.parametrize(("typed", "count"), GOOD_COUNTS)
def test_a_count(typed: Any, count: int) -> None:
    assert read_value(field("graft", "count"), typed) == count


@pytest.mark.parametrize(
    "typed",
    [0, "0", -1, "-1", 1.0, 1.5, "1.5", "1,5", "forty", "1e3", "1_000", "-+5", "+-5", "--1", "4 0", "٤", "²"],
)
def test_what_is_no_count(typed: Any) -> None:
    assert refused("graft", "count", typed) == f"'count' must be a whole number of at least 1, not '{typed}'."


@pytest.mark.parametrize("typed", [True, False, [4], {"n": 4}, "0x10", "\x00", float("nan"), float("inf")])
def test_what_is_no_count_at_all(typed: Any) -> None:
    assert refused("graft", "count", typed).startswith("'count' must be a whole number of at least 1, not '")


@pytest.mark.parametrize("typed", [1_000_001, "1000001", 10**30, "9" * 3000])
def test_a_huge_count(typed: Any) -> None:
    assert refused("graft", "count", typed).startswith("'count' must be at most 1000000, not '")


def test_more_digits_than_any_count_has() -> None:
    said = refused("graft", "count", "9" * 100_000)
    assert said == f"'count' must be a whole number of at least 1, not '{'9' * 60}…'."


@pytest.mark.parametrize("name", ["double", "odd", "put_back"])
def test_counts_that_may_be_nought(name: str) -> None:
    assert read_value(field("pull", name), 0) == 0
    assert refused("pull", name, -1) == f"'{name}' must be a whole number of at least 0, not '-1'."


def test_a_recount_may_be_less_than_nought() -> None:
    miscounted = field("check", "miscounted")
    assert [read_value(miscounted, typed) for typed in (-3, "-3", "+2", 0)] == [-3, -3, 2, 0]
    assert refused("check", "miscounted", "a few") == "'miscounted' must be a whole number, not 'a few'."
    assert refused("check", "miscounted", -1_000_001) == (
        "'miscounted' must be a whole number of at least -1000000, not '-1000001'."
    )


# numbers


@pytest.mark.parametrize(
    ("typed", "number"),
    [("20.5", 20.5), ("20,5", 20.5), (-4, -4.0), ("1e2", 100.0), (".5", 0.5), (" 7 ", 7.0), ("3.", 3.0)],
)
def test_a_number(typed: Any, number: float) -> None:
    assert read_value(field("describe", "latitude"), typed) == number


@pytest.mark.parametrize(
    "typed",
    [
        "warm",
        "nan",
        "inf",
        "-inf",
        float("nan"),
        "1e7",
        10**9,
        "1_0",
        "1.234,5",
        "20°",
        True,
        [1],
        "٣",
        "0x1",
        "1e999",
    ],
)
def test_what_is_no_number(typed: Any) -> None:
    assert refused("describe", "latitude", typed) == f"'latitude' must be a number, not '{typed}'."


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("22.5", 22.5), (22.5, 22.5), ("22,5 °C", 22.5), ("-4c", -4.0), ("0", 0.0), (-60, -60.0), (80, 80.0),
        ("32 F", 0.0), ("212°F", None), ("72 f", 22.22), ("-40F", -40.0),  # the fixed points of both scales
    ],
)  # fmt: skip
def test_a_temperature(typed: Any, celsius: float | None) -> None:
    place = field("describe", "temperature_c")
    if celsius is None:
        refused("describe", "temperature_c", typed)
    else:
        assert read_value(place, typed) == celsius


@pytest.mark.parametrize(
    "typed",
    ["warm", "nan", "-61", "80.1", "1e2", "22 K", "2 2", "٢٢", "22.5.1", "--4", True, [22], "9" * 9000],
)
def test_what_is_no_temperature(typed: Any) -> None:
    assert refused("describe", "temperature_c", typed).startswith(
        "'temperature_c' must be a temperature from -60 to 80 °C, such as 22.5 or 72 F, not '"
    )


# texts


def test_text_is_kept_as_written() -> None:
    note = field("note", "note")
    assert read_value(note, "  Saft läuft.\r\nMorgen öffnen.\t ") == "Saft läuft.\nMorgen öffnen."
    assert read_value(note, 7) == "7"
    assert read_value(note, "栗" * 2000) == "栗" * 2000


@pytest.mark.parametrize("typed", ["a\x00b", "a\x1b[2J", "a\x7fb", "a\x85b", "a\rb", "\ud800"])
def test_text_with_control_characters(typed: str) -> None:
    assert refused("note", "note", typed) == "'note' holds control characters."


def test_text_that_is_too_long() -> None:
    assert refused("note", "note", "x" * 2001) == "'note' is 2001 characters long; 2000 fit."


@pytest.mark.parametrize("typed", [True, [1], {"a": 1}])
def test_what_is_no_text(typed: Any) -> None:
    assert refused("note", "note", typed) == f"'note' must be text, not '{typed}'."


# days, yes or no, words


def test_a_day_may_be_to_come_and_is_exact() -> None:
    hold = field("receive", "hold_until")
    assert read_value(hold, "2031-05-01") == "2031-05-01"
    for typed in ("2031-05", "tomorrow", "2031-02-30", 20310501, ["2031-05-01"]):
        with pytest.raises(UnreadableDay):
            read_value(hold, typed)


@pytest.mark.parametrize(
    ("typed", "flag"),
    [
        *[(yes, True) for yes in (True, "yes", "on", "1", 1, "True")],
        *[(no, False) for no in (False, "no", "0", 0)],
    ],
)
def test_yes_or_no(typed: Any, flag: bool) -> None:
    assert read_value(field("receive", "uncounted"), typed) is flag


@pytest.mark.parametrize("typed", ["perhaps", 2, "y", [True]])
def test_neither_yes_nor_no(typed: Any) -> None:
    assert refused("receive", "uncounted", typed) == f"'uncounted' must be yes or no, not '{typed}'."


def test_a_word_of_several() -> None:
    air = field("check", "air")
    assert read_value(air, " misted ") == "misted"
    for typed in ("Misted", "foggy", "wet", 1, ["misted"]):
        assert refused("check", "air", typed) == (
            f"'air' must be one of: wet drops · misted · clear, not '{typed}'."
        )


# words with numbers


def test_words_with_numbers() -> None:
    assert read_value(field("lose", "reasons"), {"mould": "2", " no join ": 1, "frost": 0}) == {
        "mould": 2,
        "no join": 1,
    }
    assert read_value(field("check", "seen"), {"leafing": 0, "callusing": 3}) == {
        "callusing": 3,
        "leafing": 0,
    }
    assert read_value(field("stock-taking", "counted"), {"in hand": 0}) == {"in hand": 0}


def test_a_reason_that_does_not_exist() -> None:
    with pytest.raises(WrongValue) as told:
        read_value(field("cull", "reasons"), {"ugly": 1})
    assert str(told.value) == (
        "'ugly' is not one of the words for 'reasons'. (reasons) "
        "Use one of: weak · crooked · poor union · wrong variety · sick · surplus."
    )


@pytest.mark.parametrize("typed", ["mould", "mould=1", 3, ["mould"], [["mould", 1]], True])
def test_what_is_no_word_with_a_number(typed: Any) -> None:
    assert refused("lose", "reasons", typed) == (
        f"'reasons' must be a word and a number, such as mould=1, not '{typed}'."
    )


@pytest.mark.parametrize("number", [-1, 1.5, "two", None, True, [1], {}])
def test_a_word_with_a_wrong_number(number: Any) -> None:
    assert refused("lose", "reasons", {"mould": number}) == (
        f"'reasons' must be a whole number of at least 0, not '{number}'."
    )


def test_a_word_twice_is_refused_and_not_merged() -> None:
    assert refused("lose", "reasons", {"mould": 1, " mould": 2}) == "'reasons' names mould twice."
    assert refused("check", "plants", {A: "leafing", A.lower(): "mould"}) == "'plants' names VY7QV-X twice."
    assert refused("describe", "species", {"Juglans regia": 0.5, "Juglans regia ": 0.5}) == (
        "'species' names Juglans regia twice."
    )


# codes


def test_codes_in_a_row() -> None:
    plants = field("pot", "plants")
    for typed in (f"{A} {B}", f"{A}, {B}", "vy7qv-x,2PK2Z-S", [A, B], (A.lower(), B)):
        assert read_value(plants, typed) == [A, B]
    assert refused("pot", "plants", f"{A} {A.lower()}") == "'plants' names VY7QV-X twice."
    assert refused("pot", "plants", {A: 1}) == f"'plants' must be text, not '{{'{A}': 1}}'."
    assert read_value(plants, "   ") == []
    for typed in ("VY7QVY", f"{A} nonsense", [A, ""], 5):
        with pytest.raises(UnknownCode):
            read_value(plants, typed)


def test_what_was_seen_of_plants() -> None:
    plants = field("check", "plants")
    assert read_value(plants, {A.lower(): " leafing "}) == {A: "leafing"}
    assert refused("check", "plants", A) == (
        f"'plants' must be a code and what was seen, such as K7QF4-Z=leafing, not '{A}'."
    )
    with pytest.raises(UnknownCode):
        read_value(plants, {"bag": "leafing"})


def test_numbers_of_entries() -> None:
    numbers = field("cross-out", "numbers")
    for typed in (5, "5", [5], ["5"], "5, 5"):
        assert read_value(numbers, typed) == [5]
    assert read_value(numbers, "7 5") == [5, 7]
    for typed in ("five", "0", "-3", [1.5]):
        assert refused("cross-out", "numbers", typed).startswith(
            "'numbers' must be a whole number of at least 1"
        )


# shares


def test_shares_sum_to_one() -> None:
    species = field("describe", "species")
    assert read_value(species, {"Castanea sativa": "0,5", "Castanea crenata": 0.5}) == {
        "Castanea sativa": 0.5,
        "Castanea crenata": 0.5,
    }
    for typed, said in (
        ({"Castanea sativa": 0.9}, "Castanea sativa=0.9"),
        ({"Castanea sativa": 1.5, "Castanea crenata": -0.5}, "Castanea sativa=1.5, Castanea crenata=-0.5"),
    ):
        assert (
            refused("describe", "species", typed) == f"'species' must be shares that sum to 1, not '{said}'."
        )
    assert refused("describe", "species", "Castanea sativa") == (
        "'species' must be species and share, such as Castanea sativa=1, not 'Castanea sativa'."
    )


# whole entries


def test_what_is_left_out_or_blank_is_missing() -> None:
    for blank in ({}, {"note": None}, {"note": ""}, {"note": "  \n"}):
        with pytest.raises(MissingValue) as told:
            read_said("note", blank)
        assert str(told.value) == "note: 'note' is missing (In your own words). (note) Add it."
    for blank in ({}, {"mould": 0}):
        with pytest.raises(MissingValue) as told:
            read_said("lose", {"reasons": blank})
        assert str(told.value) == (
            "lose: 'reasons' is missing (Reason and number, such as mould=1). (reasons) Add it."
        )
    assert read_said("check", {"note": " ", "dead": {"mould": 0}, "plants": ""}) == {}


def test_what_a_kind_knows_nothing_of() -> None:
    with pytest.raises(ForeignField) as told:
        read_said("note", {"note": "warm", "colour": "green"})
    assert str(told.value) == "'note' says nothing of 'colour'. (colour) It can say: note."


def test_a_kind_that_does_not_exist() -> None:
    with pytest.raises(UnknownKind) as told:
        read_said("chek", {})
    assert str(told.value) == ("There is no kind of entry called 'chek'. Did you mean 'check'?")
    with pytest.raises(UnknownKind) as told:
        read_said("xyzzy", {})
    assert (
        str(told.value) == "There is no kind of entry called 'xyzzy'. All of them: graftwright record --help."
    )


def test_every_field_has_a_reader_and_a_help() -> None:
    held = {field.holds for kind in KINDS.values() for field in kind.fields}
    assert held == {
        kinds.TEXT, kinds.CODE, kinds.CODES, kinds.DAY, kinds.FLAG, kinds.CHOICE, kinds.COUNT, kinds.SIGNED,
        kinds.NUMBER, kinds.NUMBERS, kinds.TEMPERATURE, kinds.COUNTS, kinds.OUTCOMES, kinds.SHARES,
        kinds.MADE,
    }  # fmt: skip
    for kind in KINDS.values():
        assert len({field.name for field in kind.fields}) == len(kind.fields)
        assert all(field.help and (field.holds != kinds.CHOICE or field.choices) for field in kind.fields)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**8), 10**8) | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@given(st.sampled_from([(kind, field) for kind in KINDS.values() for field in kind.fields]), JSON)
def test_whatever_is_typed_is_read_or_refused_in_a_sentence(where: tuple[Any, Field], value: Any) -> None:
    kind, wanted = where
    told = None
    try:
        said = read_said(kind.name, {wanted.name: value})
    except ValueComplaint as complaint:
        told = complaint.sentence
    if told is not None:
        assert re.fullmatch(r"\S.{5,700}\S", told)
        assert told.isprintable()
        return
    assert json.loads(json.dumps(said)) == said
    assert read_said(kind.name, said) == said  # one form, and reading it again changes nothing


# names


def test_a_name_becomes_a_key() -> None:
    assert slug("  Große Südwand, Reihe 2 ") == "grosse-südwand-reihe-2"
    assert slug("O'Brien's pot") == "o-brien-s-pot"
    assert slug("栗 一号") == "栗-一号"
    for name in ("", "!!!", " - "):
        assert slug(name) == ""
        with pytest.raises(Nameless):
            key_of(name)


def test_the_sentence_for_a_name_of_signs_alone() -> None:
    with pytest.raises(Nameless) as told:
        key_of("?!")
    assert str(told.value) == "'?!' is no name: it has neither a letter nor a figure. Type its name or code."


def test_what_a_typed_word_can_mean() -> None:
    assert spellings("Bench 2") == ["bench-2"]
    assert spellings("vy7qv-x") == [A, "vy7qv-x"]
    assert spellings(f"http://laptop.local/{A}")[0] == A
    assert spellings("!!!") == []


# what makes two entries the same


def entry(**other: Any) -> Entry:
    own: dict[str, Any] = {
        "id": "01", "kind": "lose", "subject": A, "day": "2027-04-10", "happened": "2027-04-10", "by": "ann",
        "received": "2027-04-10T18:00:00", "said": {"reasons": {"mould": 1}},
    }  # fmt: skip
    return Entry(**(own | other))


def test_the_same_content_whatever_the_notebook_added() -> None:
    same = entry(received="2027-04-11T07:00:00", number=9, turn=4, crossed_by=11, given={"place": B})
    assert entry().content == same.content


@pytest.mark.parametrize(
    "other",
    [
        {"kind": "cull"},
        {"subject": B},
        {"happened": "2027-04-09"},
        {"by": "bo"},
        {"said": {"reasons": {"mould": 2}}},
        {"said": {"reasons": {"mould": 1}, "guess": True}},
        {"replaces": 3},
    ],
)
def test_other_content(other: dict[str, Any]) -> None:
    assert entry().content != entry(**other).content


def test_a_subject_or_day_that_was_given_was_not_said() -> None:
    assert entry(given={"subject": True}).content == entry(subject=B, given={"subject": True}).content
    assert (
        entry(given={"happened": True}).content
        == entry(happened="2027-05-01", given={"happened": True}).content
    )
    assert entry(subject=A, given={"asked": B}).content == entry(subject=B).content


def test_order_is_day_then_rank_then_turn() -> None:
    listed = [
        entry(day="2027-04-09", number=9),
        entry(day="2027-04-10", number=8, kind="receive"),
        entry(day="2027-04-10", number=7, kind="pull"),
        entry(day="2027-04-10", number=6, kind="graft"),
        entry(day="2027-04-10", number=2),
        entry(day="2027-04-10", number=40, turn=3),
        entry(day="2027-04-10", number=100),
        entry(day="2027-04-11", number=1),
    ]
    assert sorted((listed[i] for i in (7, 2, 5, 0, 6, 1, 4, 3)), key=lambda e: e.key) == listed


def test_ranks_are_those_of_the_design() -> None:
    """ledger.md, Order: 1 receipts, 2 seed, wood and stock, 3 grafts, 4 everything else.

    A regraft stands among everything else, so that a stock freed by a failure can be worked again that day.
    """
    ranks = {name: kind.rank for name, kind in KINDS.items()}
    assert {name for name, rank in ranks.items() if rank == 1} == {"receive", "cut-scions"}
    assert {name for name, rank in ranks.items() if rank == 2} == {
        "chill", "bring-out", "return-to-cold", "pull", "discard", "check-wood",
    }  # fmt: skip
    assert {name for name, rank in ranks.items() if rank == 3} == {"graft"}
    assert set(ranks.values()) == {1, 2, 3, 4}
