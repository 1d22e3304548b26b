"""Whatever is typed wrongly ends in one clear sentence, the right exit code and an unchanged ledger.

What the sentences must say and the exit codes are those of surface.md; the table is beside this file.
"""

from __future__ import annotations

import json
import re
import shlex
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from cli_bench import Session, small_book
from graftwright.ledger.codes import is_code
from house import ROOT

if TYPE_CHECKING:
    from pathlib import Path

TABLE = (ROOT / "tests" / "unit" / "wrong_inputs.txt").read_text(encoding="utf-8")
CASES = re.findall(r"^\$ (.*)\n(\d+) (.*)$", TABLE, re.MULTILINE)


def other(character: str) -> str:
    return "8" if character != "8" else "9"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> tuple[Session, dict[str, str]]:
    session, codes = small_book(tmp_path_factory.mktemp("wrong") / "book.graftwright")
    bag = codes["bag1"]
    codes["bag1_typo"] = bag[:2] + other(bag[2]) + bag[3:]
    codes["bag1_swap"] = bag[1] + bag[0] + bag[2:]
    codes["notebook"] = str(session.notebook)
    return session, codes


@pytest.fixture
def own(book: tuple[Session, dict[str, str]], tmp_path: Path) -> tuple[Session, dict[str, str]]:
    """Return a copy of the book, to be written in."""
    session, codes = book
    path = tmp_path / "book.graftwright"
    shutil.copy(session.notebook, path)
    return Session(path, session.today, seed=2, ids=session.ids), codes


def proof(session: Session) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(session.run("verify", "--json").out)
    return found


@pytest.mark.parametrize(("typed", "exit_code", "sentence"), CASES, ids=[case[0] for case in CASES])
def test_a_wrong_input(
    book: tuple[Session, dict[str, str]], typed: str, exit_code: str, sentence: str
) -> None:
    session, codes = book
    before = proof(session)
    words = [word.format(**codes) for word in shlex.split(typed)]
    told = session.run(*words)
    assert hidden(told.err, codes) == sentence + "\n"
    assert (told.exit_code, told.out) == (int(exit_code), "")
    for at in (0, len(words)):
        as_json = session.run(*words[:at], "--json", *words[at:])
        error = json.loads(as_json.out)["error"]
        assert as_json.out.count("\n") == 1
        assert (as_json.exit_code, as_json.err) == (told.exit_code, told.err)
        assert told.err.startswith(error["sentence"])
        assert error["do"] in told.err
        assert set(error) == {"code", "sentence", "where", "do"}
    assert proof(session) == before
    assert before["problems"] == []


def hidden(line: str, codes: dict[str, str]) -> str:
    """Put the names of the codes back; a place of the book that has no name in the table stays PLACE."""
    for name, code in codes.items():
        line = line.replace(code, f"{{{name}}}")
    return re.sub(r"\b[0-9A-Z]{5}-[0-9A-Z]\b", lambda code: known(code[0]), line)


def known(code: str) -> str:
    return code if code == "K7QF4-Z" or not is_code(code.replace("-", "")) else "PLACE"


def test_the_table_has_every_kind_of_exit_code_that_typing_can_cause() -> None:
    assert {int(code) for _, code, _ in CASES} == {2, 12, 13, 20}


def test_every_sentence_ends_and_fits_one_line() -> None:
    assert [sentence for _, _, sentence in CASES if not re.search(r"[.?]$|--help$", sentence)] == []


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (
            "nothing",
            "There is no notebook there. ({path}) Make one with: graftwright new, or look with: demo.",
        ),
        ("text", "This is not a notebook. ({path}) Name the right file with --notebook."),
        ("empty", "This is not a notebook. ({path}) Name the right file with --notebook."),
        ("folder", "This is not a notebook. ({path}) Name the right file with --notebook."),
    ],
)
@pytest.mark.parametrize(
    "command", [("today",), ("verify",), ("show", "K7QF4-Z"), ("record", "note", "x", "--note", "y")]
)
def test_a_notebook_that_is_none(tmp_path: Path, make: str, sentence: str, command: tuple[str, ...]) -> None:
    path = tmp_path / "thing"
    if make == "folder":
        path.mkdir()
    elif make != "nothing":
        path.write_text("nuts" if make == "text" else "")
    told = Session(path, "2027-04-18").run(*command)
    assert (told.exit_code, told.out, told.err) == (13, "", sentence.format(path=path) + "\n")


def test_a_demo_is_not_made_over_a_notebook_of_ones_own(own: tuple[Session, dict[str, str]]) -> None:
    session, _ = own
    told = session.run("demo", "--again")
    assert told.exit_code == 13
    assert told.err == f"This is no demo and is not overwritten. ({session.notebook}) Name another file.\n"


def test_one_id_with_two_contents_is_refused(own: tuple[Session, dict[str, str]]) -> None:
    session, codes = own
    id_ = "01J00000000000000000ABCDEF"
    first = session.run("record", "note", codes["bag1"], "--note", "warm", "--id", id_)
    again = session.run("record", "note", codes["bag1"], "--note", "warm", "--id", id_)
    other_ = session.run("record", "note", codes["bag1"], "--note", "cold", "--id", id_)
    assert (first.exit_code, again.exit_code, other_.exit_code) == (0, 0, 20)
    assert again.out == first.out.rstrip("\n") + " (it was there already; nothing was added)\n"
    assert other_.err == (
        f"An entry with the id {id_} is there already and says something else. Send the new entry with a new id.\n"
    )


@pytest.mark.parametrize(
    "name",
    ['Tiny "Bell"', "<b>bold</b>", "O'Hara", "\N{SNOWMAN} \N{CJK UNIFIED IDEOGRAPH-6F22}", "a=b", "x" * 300],
)
def test_odd_names_are_kept_as_they_were_typed(own: tuple[Session, dict[str, str]], name: str) -> None:
    session, _ = own
    told = session.run("record", "receive", "5", "--what", "seed", "--of", name)
    assert told.exit_code == 0
    assert f"received 5 nuts of {name}\n" in told.out
    assert f"new: variety {name}\n" in told.out
    assert proof(session)["problems"] == []
