"""What a grower is told besides: names as on the label, the code that was meant, what was left out."""

from __future__ import annotations

import random
import shutil
from typing import TYPE_CHECKING

import pytest

from bench import Bench
from cli_bench import Session, made, small_book
from graftwright.ledger.codes import ALPHABET, near, new_code

if TYPE_CHECKING:
    from pathlib import Path

Book = tuple[Session, dict[str, str]]


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Book:
    session, codes = small_book(tmp_path_factory.mktemp("sentences") / "book.graftwright")
    made(session, "record", "describe", "Bag 1", "--what", "place", "--name", "Bag 1", "--place-kind", "bag")
    return session, codes


@pytest.fixture
def book(shared: Book, tmp_path: Path) -> Book:
    """Return a copy, to be written in."""
    session, codes = shared
    path = tmp_path / "book.graftwright"
    shutil.copy(session.notebook, path)
    return Session(path, session.today, seed=2, ids=session.ids), codes


def refused(session: Session, *words: str) -> str:
    told = session.run(*words)
    assert told.exit_code in {12, 20}
    return told.err.strip()


def lines(session: Session, *words: str) -> list[str]:
    told = session.run(*words)
    assert (told.exit_code, told.err) == (0, "")
    return told.out.splitlines()


# names as on the label


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("carry", "bag 1", "--to", "Bag 1"), "Bag 1 cannot stand in itself."),
        (("check", "{batch}", "--place", "Bag 1", "--seen", "swollen=1"),
         "{batch} does not stand in Bag 1 but in: {bag1}, {bag2}, {bag3}."),
        (("check", "Bag 1", "--seen", "swollen=1"), "In Bag 1 there is: nothing; 'check' needs one batch or plant."),
        (("carry", "{bag1}", "--to", "Copper Bell"), "Copper Bell is a variety; 'carry' is about a place."),
        (("carry", "{bag1}", "--to", "Bag 12"), "Nothing in this notebook has the code or name Bag 12."),
    ],
)  # fmt: skip
def test_a_sentence_calls_things_as_their_labels_do(
    book: Book, words: tuple[str, ...], sentence: str
) -> None:
    session, codes = book
    bags = dict(zip(("bag1", "bag2", "bag3"), sorted(codes[f"bag{n}"] for n in (1, 2, 3)), strict=True))
    told = refused(session, "record", *(word.format(**codes) for word in words))
    assert told.startswith(sentence.format(**{**codes, **bags}))


def test_a_place_renamed_is_called_by_its_new_name(book: Book) -> None:
    session, _ = book
    made(session, "record", "describe", "Bag 1", "--what", "place", "--name", "Big bag")
    assert refused(session, "record", "carry", "Bag 1", "--to", "Big bag").startswith(
        "Big bag cannot stand in itself."
    )


# the code that was meant


def test_every_wrong_character_and_every_swap_leads_back_to_the_code() -> None:
    chance = random.Random(4)
    for code in (new_code(chance) for _ in range(40)):
        n = chance.randrange(6)
        wrong = code[:n] + chance.choice((ALPHABET + "01ILO").replace(code[n], "")) + code[n + 1 :]
        assert code in near(wrong)
        assert code in near(f"bag {wrong[:5].lower()}-{wrong[5:]}")
        m = chance.randrange(5)
        assert code in near(code[:m] + code[m + 1] + code[m] + code[m + 2 :])
    assert near("Bag 1") == near("") == set()


def test_a_nought_for_another_character_is_asked_after(book: Book) -> None:
    session, codes = book
    typed = "0" + codes["bag1"][1:]
    for words in (("show", typed), ("record", "vent", typed)):
        told = refused(session, *words)
        assert told == f"Nothing in this notebook has the code or name {typed}. Did you mean {codes['bag1']}?"


def test_nobody_is_asked_after_a_code_that_is_nothing_like_any(book: Book) -> None:
    session, _ = book
    assert refused(session, "show", "22222-3").endswith("Read the label again; a code looks like K7QF4-Z.")


# what was left out


def test_potting_without_weaning_stands_and_is_said(book: Book) -> None:
    session, codes = book
    made(session, "record", "check", codes["bag1"], "--seen", "leafing=1", "--seen", "callusing=1")
    told = lines(session, "record", "pot", codes["bag1"], "--to", "Bag 1")
    said = "  straight from callusing and leafing: nobody has noted swollen · weaning; it stands as told"
    assert said in told
    made(session, "record", "check", codes["bag2"], "--seen", "weaning=2")
    assert not [line for line in lines(session, "record", "pot", codes["bag2"]) if "straight from" in line]


def test_nuts_brought_out_without_a_place_are_still_in_the_cold(book: Book) -> None:
    session, _ = book
    nuts = made(session, "record", "receive", "9", "--what", "seed", "--genus", "Castanea", "--place", "Cold box",
                "--day", "2026-10-18")["subject"]  # fmt: skip
    made(session, "record", "chill", nuts, "--day", "2026-11-02")
    told = lines(session, "record", "bring-out", nuts, "--day", "2027-03-01")
    number = told[0].split()[1].rstrip(",")
    assert told[2] == (
        "  they are still noted in Cold box, and reckoned as warm as it is there; "
        f"if not: graftwright correct {number} --place PLACE"
    )
    right = lines(session, "correct", number, "--place", "Warm shelf")
    assert not [line for line in right if "still noted" in line]


def test_only_a_demo_lives_on_a_date_of_its_own(book: Book) -> None:
    session, _ = book
    told = refused(session, "record", "describe", "--what", "settings", "--demo-date", "2027-01-01")
    assert told.startswith("This notebook is your own and lives today; only a demo has a date of its own.")


# a variety in place of its lot


def graft(session: Session, scion: str, stock: str) -> tuple[str, ...]:
    return (
        "record",
        "graft",
        "2",
        "--scion",
        scion,
        "--stock",
        stock,
        "--sheet",
        "plain",
        "--place",
        "Warm shelf",
    )


def test_a_variety_or_a_genus_stands_for_its_one_lot(book: Book) -> None:
    session, codes = book
    told = made(session, *graft(session, "copper bell", "castanea"))
    used = {line["of"] for line in told["lines"] if line["account"] == "used"}
    assert used == {codes["wood"], codes["nuts"]}
    told = made(session, *graft(session, codes["wood"], "Old Hedge"))
    assert codes["nuts"] in {line["of"] for line in told["lines"]}


def test_of_several_lots_one_must_be_named_and_of_none_none_is_guessed(book: Book) -> None:
    session, codes = book
    more = made(session, "record", "receive", "5", "--what", "scionwood", "--of", "Copper Bell")["subject"]
    listed = ", ".join(sorted((codes["wood"], more)))
    assert refused(session, *graft(session, "Copper Bell", codes["nuts"])) == (
        f"Of Copper Bell there are 2 lots: {listed}. Name the one by its code."
    )
    assert refused(session, *graft(session, codes["wood"], "Copper Bell")) == (
        "Nothing is left of any seed lot or stock lot of Copper Bell. "
        "Receive it first, or name another lot by its code."
    )
    assert refused(session, *graft(session, codes["wood"], "Juglans")).startswith(
        "Nothing in this notebook has the code or name Juglans."
    )
    made(session, "record", "check-wood", more, "--reason", "mouldy=5")
    assert codes["wood"] in {
        line["of"] for line in made(session, *graft(session, "Copper Bell", codes["nuts"]))["lines"]
    }


def test_a_lot_that_nobody_counted_counts_as_one(book: Book) -> None:
    session, codes = book
    bag = made(session, "record", "receive", "--what", "stock", "--uncounted", "--of", "Long Fence")[
        "subject"
    ]
    assert bag in {
        line["of"] for line in made(session, *graft(session, codes["wood"], "Long Fence"))["lines"]
    }


# nothing is late that was done as asked


@pytest.mark.parametrize("to_another_place", [False, True])
def test_what_was_pulled_as_asked_is_not_late(*, to_another_place: bool) -> None:
    bench = Bench()
    cold, warm, tray = (
        bench.new("describe", "2026-10-01", what="place", name=name, temperature_c=temperature_c)
        for name, temperature_c in (("Cold", 3), ("Warm", 22), ("Tray", 22))
    )
    nuts = bench.new("receive", "2026-10-18", what="seed", count=40, genus="Castanea", place=cold)
    bench.enter("chill", nuts, "2026-11-01")
    bench.enter("bring-out", nuts, "2027-02-06", place=warm)
    day = next(task for task in bench.group(nuts).tasks if task.what == "pull").latest
    bench.enter("pull", nuts, day, count=30, put_back=10, place=tray if to_another_place else None)
    tasks = [task for group in bench.forecast(nuts).groups for task in group.tasks if task.what == "pull"]
    assert [task.place for task in tasks] == [warm]
    assert tasks[0].earliest > day
    assert tasks[0].since == day
