"""What commands answer: the JSON that scripts rely on (contracts of surface.md), and the few lines people read."""

from __future__ import annotations

import json
import shlex
import shutil
from datetime import date
from typing import TYPE_CHECKING, Any

import click
import pytest

from cli_bench import Session, made, small_book
from graftwright.cli.entry_options import draft, option_of
from graftwright.cli.kinds_help import EXAMPLES, GROUPS
from graftwright.cli.main import COMMANDS
from graftwright.cli.record import EntryCommand
from graftwright.ledger.kinds import KINDS, TOLD

if TYPE_CHECKING:
    from pathlib import Path

    from conftest import CommandLine

Book = tuple[Session, dict[str, str]]


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return small_book(tmp_path_factory.mktemp("answers") / "book.graftwright")


@pytest.fixture
def book(shared: Book, tmp_path: Path) -> Book:
    """Return a copy, to be written in."""
    session, codes = shared
    path = tmp_path / "book.graftwright"
    shutil.copy(session.notebook, path)
    return Session(path, session.today, seed=2, ids=session.ids), codes


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Session:
    session = Session(tmp_path_factory.mktemp("demo") / "demo.graftwright", "2027-04-20")
    assert made(session, "demo")["made"] is True
    return session


# contracts


def test_today_for_scripts(demo: Session) -> None:
    value = made(demo, "today")
    assert set(value) >= {"date", "lines"}
    assert value["date"] == "2027-04-20"
    for line in value["lines"]:
        assert set(line) >= {"what", "subject", "place", "state", "window", "reason"}
        assert line["state"] in {"late", "due", "coming"}
        assert list(line["window"]) == ["earliest", "likely", "latest"]
        days = [date.fromisoformat(day) for day in line["window"].values() if day]
        assert days == sorted(days)
        assert line["reason"].endswith(".")


def test_the_demo_has_one_late_check_and_one_entry_kept_aside(demo: Session) -> None:
    late = [line for line in made(demo, "today")["lines"] if line["state"] == "late"]
    assert [line["what"] for line in late] == ["check"]
    (kept,) = made(demo, "aside", "list")["kept_aside"]
    assert (kept["kind"], kept["happened"], kept["by"]) == ("lose", "2027-04-18", "Tam Okello")


@pytest.mark.parametrize("more", [(), ("--windows",)])
def test_verify_for_scripts(demo: Session, more: tuple[str, ...]) -> None:
    last = made(demo, "plan", "--keep")["kept_as"]
    value = made(demo, "verify", *more)
    assert value == value | {"balanced": True, "replay_equal": True, "kept_aside": 1, "problems": []}
    assert value["entries"] == last


def test_show_for_scripts(demo: Session) -> None:
    batch = next(line["subject"] for line in made(demo, "today")["lines"] if line["state"] == "late")
    card = made(demo, "show", batch)
    assert set(card) >= {
        "code", "kind", "title", "sentence", "facts", "counts", "standing", "windows", "due", "history",
    }  # fmt: skip
    there = sum(one["count"] for one in card["standing"])
    assert card["counts"]["came"] == there + sum(card["counts"]["gone"].values())
    assert sum(card["counts"]["there"].values()) == there
    keys = [(told["day"], told["number"]) for told in card["history"]]
    assert keys == sorted(keys, reverse=True)
    for one in card["windows"]:
        assert one["reached"] <= one["of"]
        for window in one["windows"].values():
            days = [date.fromisoformat(day) for day in window.values() if day]
            assert days == sorted(days)


@pytest.mark.parametrize("word", ["mbbrd-v", "MBBRDV", "bag MBBRD-V", "http://bench.local:8765/MBBRDV"])
def test_a_code_is_read_however_it_is_written(demo: Session, word: str) -> None:
    assert made(demo, "show", word)["code"] == "MBBRD-V"


@pytest.mark.parametrize("word", ["Warm shelf", "warm shelf", "WARM-SHELF"])
def test_a_place_is_found_by_its_name(demo: Session, word: str) -> None:
    assert made(demo, "show", word)["title"] == "Warm shelf"


def test_an_entry_for_scripts(book: Book) -> None:
    session, codes = book
    value = made(session, "record", "check", codes["bag1"], "--seen", "swollen=1", "--reason", "mould=1")
    assert (value["kind"], value["subject"], value["day"]) == ("check", codes["batch"], "2027-04-18")
    assert (value["repeated"], value["derived_again"]) == (False, [])
    assert sum(line["amount"] for line in value["lines"] if line["unit"] == "graft") == 0
    assert value["words"][0].startswith("Entry 10, 2027-04-18: ")


def _people(session: Session, *words: str) -> str:
    told = session.run(*words)
    assert (told.exit_code, told.err) == (0, "")
    return told.out


@pytest.mark.parametrize("at", [0, 1, 2, 3])
def test_json_may_stand_anywhere(demo: Session, at: int) -> None:
    words = ["today", "--date", "2027-04-20"]
    told = demo.run(*words[:at], "--json", *words[at:])
    assert json.loads(told.out)["date"] == "2027-04-20"


# what a grower types, the quick way


def test_a_grower_s_quick_ways(book: Book) -> None:
    session, codes = book
    swollen = _people(session, "record", "check", codes["bag1"], "2", "--seen", "swollen")
    assert f"{codes['batch']} Copper Bell: check, bag {codes['bag1']}: 2 swollen\n" in swollen
    lost = _people(session, "record", "lose", codes["bag1"], "1", "--reason", "mould")
    assert f"lost in bag {codes['bag1']}: 1 mould\n" in lost
    came = _people(session, "record", "receive", "12", "--what", "stock", "--genus", "castanea")
    assert "received 12 stocks\n" in came


def test_an_answer_says_what_was_written_how_they_stand_and_what_comes_next(book: Book) -> None:
    session, codes = book
    first, tally, following, waiting = _people(
        session, "record", "check", codes["bag1"], "--seen", "swollen=1", "--reason", "mould=1"
    ).splitlines()
    assert first == (
        f"Entry 10, 2027-04-18: {codes['batch']} Copper Bell: check, bag {codes['bag1']}: 1 swollen · dead: 1 mould"
    )
    assert tally == "  6 made · 1 mould · 5 growing"
    assert following == (
        f"Next: check bag {codes['bag1']}, Mon 2027-04-19. Half should show 'the first leaves open' about "
        "2027-04-19; left longer than 5 days, drops stand on the young leaves and mould starts."
    )
    assert waiting == f"Waiting, too: check bag {codes['bag2']} and 1 more."


def test_new_things_are_named_with_their_codes(book: Book) -> None:
    session, codes = book
    told = _people(session, "record", "graft", "4", "--scion", codes["wood"], "--stock", codes["nuts"], "--sheet",
                   "hypocotyl-closed-bag", "--place", "Warm shelf", "--bags", "2", "--by", "Ada Lark")  # fmt: skip
    kinds = [line.split()[1:-1] for line in told.splitlines() if line.startswith("  new: ")]
    assert [kind[0] for kind in kinds] == ["batch", "person", "bags"]


def test_more_used_than_counted_is_said(book: Book) -> None:
    session, codes = book
    told = _people(session, "record", "graft", "8", "--scion", codes["wood"], "--stock", codes["nuts"], "--sheet",
                   "plain", "--buds", "2")  # fmt: skip
    assert f"  recount: 2 more buds than were counted in {codes['wood']}\n" in told


def test_a_genus_the_handbook_does_not_know_is_said_at_once(book: Book) -> None:
    session, _ = book
    told = _people(session, "record", "receive", "12", "--what", "seed", "--genus", "Castania")
    assert "  no windows: the handbook knows nothing of the seed of Castania\n" in told


def test_potted_and_still_in_the_bag_is_asked_about(book: Book) -> None:
    session, codes = book
    told = _people(session, "record", "pot", codes["bag1"])
    assert (
        f"  they are still noted in bag {codes['bag1']}; if not: "
        f"graftwright record carry {codes['batch']} --place {codes['bag1']} --to PLACE\n"
    ) in told


def test_days_away_name_the_windows_that_nobody_can_move(book: Book) -> None:
    session, _ = book
    told = _people(session, "away", "2027-04-19", "2027-05-02")
    assert told.startswith(
        "Entry 10, 2027-04-18: away 2027-04-19 to 2027-05-02\nWhile you are gone:\n  half of "
    )
    none = _people(session, "away", "2029-04-19", "2029-05-02")
    assert none.endswith("  No window has its likely day in these days.\n")


def test_a_correction_keeps_what_it_does_not_say(book: Book) -> None:
    session, codes = book
    made(
        session,
        "record",
        "check",
        codes["bag1"],
        "--seen",
        "swollen=1",
        "--reason",
        "mould=1",
        "--air",
        "misted",
    )
    told = _people(session, "correct", "10", "--reason", "no join=1")
    assert told.startswith("Entry 11, in place of entry 10, 2027-04-18: ")
    assert "1 swollen · dead: 1 no join · air misted\n" in told
    assert "[crossed out by entry 11]" in " ".join(_people(session, "show", codes["batch"]).split())


def test_crossing_out_takes_along_what_rests_on_it_only_when_asked(book: Book) -> None:
    session, codes = book
    refused = session.run("cross-out", "4", "--reason", "never came")
    assert refused.exit_code == 20
    assert "--with-those-that-follow" in refused.err
    told = _people(session, "cross-out", "4", "--reason", "never came", "--with-those-that-follow")
    assert "crossed out 4: never came\n" in told
    assert session.run("show", codes["nuts"]).exit_code == 20
    assert made(session, "verify")["problems"] == []


def test_one_entry_is_one_in_the_proof(tmp_path: Path) -> None:
    session = Session(tmp_path / "book.graftwright", "2027-01-01")
    made(session, "new", "--name", "Hazel Row", "--time-zone", "UTC")
    assert _people(session, "verify") == (
        "1 entry proved: balanced, and derived again they give what is stored. 0 kept aside.\n"
    )
    assert _people(session, "today").endswith("Nothing is due, and nothing comes within two weeks.\n")


# help


@pytest.mark.parametrize("words", [(name,) for name in COMMANDS] + [("record", kind) for kind in KINDS])
def test_every_command_and_kind_has_help(tmp_path: Path, words: tuple[str, ...]) -> None:
    told = Session(tmp_path / "none", "2027-01-01").bare(*words, "--help")
    assert (told.exit_code, told.err) == (0, "")
    assert told.out.startswith(f"Usage: graftwright {' '.join(words)} ")
    assert max(map(len, told.out.splitlines())) <= 80


def test_every_kind_stands_in_one_group_and_has_an_example() -> None:
    listed = [name for names in GROUPS.values() for name in names]
    assert sorted(listed) == sorted(KINDS)
    assert EXAMPLES.keys() == TOLD.keys()


@pytest.mark.parametrize("kind", TOLD.values(), ids=list(TOLD))
def test_the_help_of_a_kind_names_all_it_can_say_and_its_example_can_be_typed(kind: Any) -> None:
    command = EntryCommand(kind)
    help_ = command.get_help(click.Context(command))
    shown = {option_of(field.name) for field in kind.fields} - {"--demo-date"}
    assert [option for option in sorted(shown) if option not in help_] == []
    _, *words = shell(EXAMPLES[kind.name])
    typed = command.make_context(kind.name, words).params
    said = draft(kind, typed)
    assert said.kind == kind.name
    assert not (said.said or {}).keys() - {field.name for field in kind.fields}


def shell(line: str) -> list[str]:
    return shlex.split(line)


# the whole program, as a process of its own


def test_the_program_itself(cli: CommandLine) -> None:
    shown = cli("--version")
    assert (shown.returncode, shown.stdout) == (0, "graftwright, version 0.1.0\n")
    wrong = cli("record", "check", "K7QF4-X", "--seen", "swollen=2", "--json")
    assert wrong.returncode == 13
    assert json.loads(wrong.stdout)["error"]["sentence"] == "There is no notebook there."
    assert "Traceback" not in wrong.stderr


def test_standard_output_closed_early_is_no_error(cli: CommandLine) -> None:
    made_ = cli("new", "--name", "Hazel Row", "--time-zone", "UTC")
    assert made_.returncode == 0
    assert made_.stdout.endswith("Begin with: graftwright record receive, or graftwright serve.\n")
    asked = cli("today", env={"GRAFTWRIGHT_NOTEBOOK": made_.stdout.split()[1].rstrip(".")})
    assert asked.returncode == 0
    assert asked.stdout.startswith("Hazel Row · ")
