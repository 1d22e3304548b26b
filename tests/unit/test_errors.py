"""Every sentence with which the ledger says no, word by word: what is wrong, where, what to do now."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from graftwright.actions import complete, enter, names
from graftwright.errors import (
    Complaint,
    ContentComplaint,
    FileComplaint,
    NotebookComplaint,
    NotEnoughComplaint,
    Refusal,
    SetAside,
    Trouble,
    Unproved,
    ValueComplaint,
    as_typed,
)
from graftwright.ledger import errors
from graftwright.ledger.kinds import find_kind
from graftwright.ledger.stages import UnknownStage
from graftwright.ledger.things import Saying, Thing

if TYPE_CHECKING:
    from collections.abc import Iterator

A, B, C = "VY7QVX", "2PK2ZS", "4GQJ5H"

SENTENCES: list[tuple[Trouble, str, str, str]] = [
    (
        errors.NothingKnown("south-sill"),
        "unknown_code",
        "Nothing in this notebook has the code or name south-sill.",
        "Read the label again, or type the name as it was given.",
    ),
    (
        errors.NothingKnown(A, "living plant's"),
        "unknown_code",
        "Nothing in this notebook has the living plant's code or name VY7QV-X.",
        "Read the label again, or type the name as it was given.",
    ),
    (
        errors.WrongThing(A, "batch", ("seed", "stock"), "discard"),
        "wrong_thing",
        "VY7QV-X is a batch; 'discard' is about a seed lot or stock lot.",
        "Name the right one.",
    ),
    (
        errors.NotYet(A, "2027-03-01", "2027-03-04"),
        "not_yet",
        "VY7QV-X was not there yet on 2027-03-01: it begins on 2027-03-04.",
        "Type the right day.",
    ),
    (
        errors.TooMany(A, 5, 3),
        "too_many",
        "VY7QV-X has 3, not 5.",
        "Correct the number, or enter first what is missing.",
    ),
    (
        errors.TooMany(A, 5, 3, "at 'potted'"),
        "too_many",
        "VY7QV-X has 3 at 'potted', not 5.",
        "Correct the number, or enter first what is missing.",
    ),
    (
        errors.NothingLeft(A),
        "nothing_left",
        "Nothing of VY7QV-X is left that this could mean.",
        "See what is there with: graftwright show CODE.",
    ),
    (
        errors.NothingLeft(A, "there"),
        "nothing_left",
        "Nothing of VY7QV-X is left there that this could mean.",
        "See what is there with: graftwright show CODE.",
    ),
    (
        errors.OnePlant(A, 2),
        "one_plant",
        "VY7QV-X is one plant and cannot be 2.",
        "Give the others codes of their own.",
    ),
    (
        errors.CountedOrNot(A, counted=True),
        "uncounted",
        "VY7QV-X was counted; what nobody counted cannot join it.",
        "Receive this as a lot of its own.",
    ),
    (
        errors.CountedOrNot(A, counted=False),
        "uncounted",
        "VY7QV-X is a lot that nobody counted; what was counted cannot join it.",
        "Receive this as a lot of its own.",
    ),
    (
        errors.NoBalance(A),
        "uncounted",
        "Nobody counted VY7QV-X when it came in, so there is no number to compare with.",
        "Correct its receipt: what is left and what was used is the number that came in.",
    ),
    (
        errors.PlacesDiffer(39, 40),
        "places",
        "The places take 39 of 40 grafts.",
        "Say how many lie in each place.",
    ),
    (
        errors.FewerThanSeen(A, "2027-03-09", 7, 6),
        "fewer_than_seen",
        "The check of VY7QV-X on 2027-03-09 saw 7 alive, and this leaves only 6.",
        "Correct that check, or this entry.",
    ),
    (
        errors.PastSeen(A, "2027-03-09", "leafing"),
        "past_seen",
        "The check of VY7QV-X on 2027-03-09 saw 'leafing', and some are already further than that.",
        "Use step-back if they went back, or correct one of the two.",
    ),
    (
        errors.DoesNotAddUp(A, 8, 10),
        "adds_up",
        "The check names 8 and VY7QV-X has 10: 2 are missing.",
        "Say which: not looked at, dead, or miscounted.",
    ),
    (
        errors.DoesNotAddUp(A, 9, 10, "there"),
        "adds_up",
        "The check names 9 and VY7QV-X has 10 there: 1 is missing.",
        "Say which: not looked at, dead, or miscounted.",
    ),
    (
        errors.DoesNotAddUp(A, 11, 10),
        "adds_up",
        "The check names 11 and VY7QV-X has 10: 1 too many.",
        "Say which: not looked at, dead, or miscounted.",
    ),
    (
        errors.NoSuchPlace(A, B, (C, "sill")),
        "place",
        "VY7QV-X does not stand in 2PK2Z-S but in: 4GQJ5-H, sill.",
        "Name its place.",
    ),
    (
        errors.NoSuchPlace(A, B, ()),
        "place",
        "VY7QV-X does not stand in 2PK2Z-S but in: nowhere.",
        "Name its place.",
    ),
    (
        errors.WhichPlace(A, (B, C)),
        "which_place",
        "VY7QV-X lies in 2 places: 2PK2Z-S, 4GQJ5-H.",
        "Say which one with --place.",
    ),
    (
        errors.WhichPlace(A, tuple("abcdefgh")),
        "which_place",
        "VY7QV-X lies in 8 places: a, b, c, d, e, f ….",
        "Say which one with --place.",
    ),
    (
        errors.WhichStage(A, ("callusing", "swollen")),
        "which_stage",
        "The grafts of VY7QV-X there stand at several stages: callusing · swollen.",
        "Say at which stage those are.",
    ),
    (
        errors.NamePlants(A),
        "name_plants",
        "The plants of VY7QV-X have codes of their own.",
        "Name the plants, or mean all of them.",
    ),
    (
        errors.NoStageLeft(A, "potted"),
        "stage",
        "None of VY7QV-X stands before 'potted'.",
        "Use step-back to go back, or correct.",
    ),
    (
        UnknownStage("cellar", ("grafted", "growing", "planted")),
        "stage",
        "There is no stage 'cellar' here.",
        "Its stages are: grafted · growing · planted.",
    ),
    (
        errors.InsideItself(A, B),
        "place",
        "VY7QV-X cannot stand in 2PK2Z-S: that stands in it.",
        "Name another place.",
    ),
    (
        errors.AlreadyCrossed(6, 7),
        "crossed",
        "Entry 6 is already crossed out, by entry 7.",
        "Look at entry 7.",
    ),
    (
        enter.CrossesOut(9),
        "crossed",
        "Entry 9 is a crossing-out and stays.",
        "Enter again what was true.",
    ),
    (
        errors.NoSuchEntry(77),
        "number",
        "There is no entry 77.",
        "Look the number up with: graftwright show CODE.",
    ),
    (
        errors.OtherContent("01ABC"),
        "same_id",
        "An entry with the id 01ABC is there already and says something else.",
        "Send the new entry with a new id.",
    ),
    (
        errors.CannotStand({7: errors.TooMany(A, 6, 3)}),
        "cannot_stand",
        "It cannot stand because of entry 7: VY7QV-X has 3, not 6.",
        "Correct or cross out entry 7 first, or in the same act.",
    ),
    (
        errors.CannotStand({9: errors.TooMany(A, 6, 3), 8: errors.NothingKnown(B)}),
        "cannot_stand",
        "It cannot stand because of entries 8, 9: what it made is needed there.",
        "Correct or cross out entries 8, 9 first, or in the same act.",
    ),
    (
        errors.NoSuchDay("spring 2027", errors.TooMany(A, 6, 3)),
        "day",
        "On no day of 'spring 2027' can this stand: VY7QV-X has 3, not 6.",
        "Correct the number, or enter first what is missing.",
    ),
    (
        complete.WhichOne(A, [C, B], find_kind("check")),
        "which_one",
        "In VY7QV-X there is: 2PK2Z-S, 4GQJ5-H; 'check' needs one batch or plant.",
        "Name it by its code.",
    ),
    (
        complete.WhichOne(A, [], find_kind("chill")),
        "which_one",
        "In VY7QV-X there is: nothing; 'chill' needs one seed lot.",
        "Name it by its code.",
    ),
    (
        complete.TakenCode(Thing(A, "plant", B, {"day": (Saying("2027-03-01 4", 6, "2027-03-01"),)})),
        "taken_code",
        "VY7QV-X belongs to a plant already; a code belongs to one thing for ever.",
        "Take the next blank label, or leave the code out and one is given.",
    ),
    (
        complete.NoSubject(find_kind("lose")),
        "subject",
        "'lose' must say what it is about.",
        "Name a batch or plant by its code.",
    ),
    (
        complete.OtherIdentity(A),
        "identity",
        "VY7QV-X is a lot of another variety or genus; a lot has one identity.",
        "Receive this as a lot of its own.",
    ),
    (
        complete.NoDemo(),
        "demo",
        "This notebook is your own and lives today; only a demo has a date of its own.",
        "Leave demo_date out; the demo is made with: graftwright demo.",
    ),
    (
        complete.NoCount("receive"),
        "count",
        "'receive' does not say how many.",
        "Give the number, or sticks with buds_per_stick, or say that it is uncounted.",
    ),
    (
        complete.NoSheet("air-layer", ["plain", "hypocotyl-closed-bag"]),
        "sheet",
        "The handbook has no sheet 'air-layer'.",
        "It has: hypocotyl-closed-bag, plain.",
    ),
    (
        names.WhichLot("Ridge Queen", [C, B], ("scionwood",)),
        "which_lot",
        "Of Ridge Queen there are 2 lots: 2PK2Z-S, 4GQJ5-H.",
        "Name the one by its code.",
    ),
    (
        names.TooManyCodes(10_001),
        "value",
        "One entry gives at most 10000 codes, not 10001.",
        "Enter it in parts.",
    ),
    (
        names.WhichLot("Ridge Queen", [], ("seed", "stock")),
        "which_lot",
        "Nothing is left of any seed lot or stock lot of Ridge Queen.",
        "Receive it first, or name another lot by its code.",
    ),
    (
        complete.NamedTwice(["sill", "VY7QV-X"]),
        "value",
        "'places' names one place twice: sill, VY7QV-X.",
        "Name each once.",
    ),
]


@pytest.mark.parametrize(("trouble", "key", "sentence", "do"), SENTENCES, ids=lambda one: type(one).__name__)
def test_the_sentence(trouble: Trouble, key: str, sentence: str, do: str) -> None:
    assert trouble.sentence == sentence
    assert trouble.do == do
    assert trouble.key == key
    where = f" ({trouble.where})" if trouble.where else ""
    assert str(trouble) == f"{sentence}{where} {do}"
    assert json.loads(json.dumps(trouble.as_json())) == {
        "code": key, "sentence": sentence, "where": trouble.where, "do": do,
    }  # fmt: skip


def own_classes(base: type[Trouble]) -> Iterator[type[Trouble]]:
    for kind in base.__subclasses__():
        yield kind
        yield from own_classes(kind)


def test_every_refusal_of_the_ledger_has_its_sentence_here() -> None:
    here = {"graftwright.ledger.errors", "graftwright.ledger.stages", "graftwright.actions.complete",
            "graftwright.actions.names", "graftwright.actions.enter"}  # fmt: skip
    told = {type(trouble) for trouble, *_ in SENTENCES}
    assert {kind for kind in own_classes(Trouble) if kind.__module__ in here} - told == set()


def test_the_codes_of_this_file_can_be_given() -> None:
    from graftwright.ledger.codes import is_code

    assert all(map(is_code, (A, B, C)))


@pytest.mark.parametrize(
    ("kind", "exit_code", "key"),
    [
        (FileComplaint, 10, "file"),
        (ContentComplaint, 11, "content"),
        (ValueComplaint, 12, "value"),
        (NotebookComplaint, 13, "notebook"),
        (NotEnoughComplaint, 14, "not_enough"),
        (Refusal, 20, "rule"),
        (SetAside, 21, "kept_aside"),
        (Unproved, 22, "verify"),
    ],
)
def test_exit_codes_are_those_of_the_surface(kind: type[Trouble], exit_code: int, key: str) -> None:
    """surface.md: 10 file · 11 content · 12 value · 13 notebook · 14 no number · 20 rule · 21 aside · 22 verify."""
    told = kind("It is so.", where="line 3", do="Do this.")
    assert (told.exit_code, told.key) == (exit_code, key)
    assert str(told) == "It is so. (line 3) Do this."
    assert isinstance(told, Complaint) == (exit_code < 20)


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("  mould ", "mould"),
        ("two\nlines", "two\N{REPLACEMENT CHARACTER}lines"),
        ("\x1b[2J", "\N{REPLACEMENT CHARACTER}[2J"),
        ("x" * 60, "x" * 60),
        ("x" * 61, "x" * 60 + "…"),
        ("栗の木", "栗の木"),
        (7.5, "7.5"),
        ("", ""),
    ],
)
def test_what_was_typed_is_repeated_within_a_line(typed: object, shown: str) -> None:
    assert as_typed(typed) == shown
