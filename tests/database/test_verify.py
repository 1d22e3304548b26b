"""The proof finds every kind of damage, names it, and finds nothing where nothing is wrong."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from graftwright.bootstrap import open_book, prove
from graftwright.errors import Unproved

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.actions.verify import Proof


def proof_after(path: Path, *statements: str, windows: bool = False) -> Proof:
    """Change a notebook's file behind the ledger's back, and prove it."""
    with closing(sqlite3.connect(path)) as file, file:
        for statement in statements:
            assert file.execute(statement).rowcount, f"changed nothing: {statement}"
    book = open_book(path)
    try:
        return prove(book, windows=windows)
    finally:
        book.notebook.close()


def asked(path: Path, question: str) -> str:
    with closing(sqlite3.connect(path)) as file:
        return str(file.execute(question).fetchone()[0])


def test_a_season_is_proved_with_its_windows(book_file: Path) -> None:
    proof = proof_after(book_file, windows=True)
    assert (proof.problems, proof.balanced, proof.replay_equal) == ((), True, True)
    assert proof.entries == int(asked(book_file, "SELECT count(*) FROM entries WHERE crossed_by IS NULL"))
    proof.must_hold()


def test_an_empty_notebook_is_proved(tmp_path: Path) -> None:
    from graftwright.bootstrap import make_book

    make_book(tmp_path / "empty.graftwright")
    assert proof_after(tmp_path / "empty.graftwright", windows=True).problems == ()


MOVED = "SELECT min(entry) FROM lines WHERE name = 'there' AND amount > 0"
CROSSED = "SELECT min(number) FROM entries WHERE crossed_by IS NOT NULL"
LIVING = "SELECT min(batch) FROM forecasts WHERE living > 0"
NAMED = "SELECT min(code) FROM things WHERE slug <> ''"
ACCOUNT = "(key, thing, unit, name, detail, place, amount)"


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ((f"UPDATE lines SET amount = amount + 1 WHERE rowid = (SELECT min(rowid) FROM lines WHERE entry = ({MOVED}) "
         "AND name = 'there')"),
         ["entry {moved} does not sum to zero", "entry {moved} has other lines than it should", "the count of"]),
        (f"UPDATE lines SET detail = 'leafing' WHERE entry = ({MOVED}) AND name = 'there'",
         ["entry {moved} has other lines than it should", "the count of"]),
        (f"DELETE FROM lines WHERE entry = ({MOVED})", ["entry {moved} has other lines than it should"]),
        (f"INSERT INTO lines SELECT * FROM lines WHERE entry = ({MOVED})",
         ["entry {moved} has other lines than it should", "the count of"]),
        (f"UPDATE lines SET key = '2027-01-01 1 0000000001' WHERE entry = ({MOVED})",
         ["lines of entry {moved} have a wrong place in the order"]),
        ((f"INSERT INTO lines (entry, {ACCOUNT[1:-1]}) SELECT ({CROSSED}), {ACCOUNT[1:-1]} FROM lines WHERE amount = 0 "
         "LIMIT 1"), ["entry {crossed} is crossed out but has lines"]),
        ("UPDATE balances SET amount = amount + 2 WHERE rowid = (SELECT min(rowid) FROM balances WHERE amount > 0)",
         ["is off by -2"]),
        ("DELETE FROM balances WHERE rowid = (SELECT min(rowid) FROM balances WHERE amount > 0)", ["is off by"]),
        ("UPDATE things SET said = replace(said, 'Alder', 'Elder') WHERE said LIKE '%\"Alder Hill\"%'",
         ["what is stored of alder-hill is not what the entries say", "alder-hill is filed wrongly"]),
        ("UPDATE things SET kind = 'variety' WHERE kind = 'person'", ["is not what the entries say"]),
        (f"UPDATE things SET slug = 'elder' WHERE code = ({NAMED})", ["is filed wrongly"]),
        ("UPDATE things SET latest = '' WHERE kind = 'batch'", ["is filed wrongly"]),
        ("DELETE FROM things WHERE kind = 'person'", ["ilse is missing among the things"]),
        (f"UPDATE entries SET said = json_set(said, '$.count', 999999) WHERE number = ({MOVED})",
         ["entry {moved} has other lines than it should"]),
        (f"UPDATE entries SET said = '[]' WHERE number = ({MOVED})", ["entry {moved} cannot be read"]),
        (f"UPDATE entries SET subject = 'ZZZZZZ' WHERE number = ({MOVED})", ["entry {moved} cannot stand"]),
        (f"UPDATE entries SET key = '2020-01-01 1 0000000001' WHERE number = ({MOVED})",
         ["entry {moved} has a wrong place in the order"]),
        (f"UPDATE entries SET crossed_by = NULL WHERE number = ({CROSSED})", ["entry {crossed}"]),
        (f"UPDATE entries SET crossed_by = (SELECT max(number) FROM entries) WHERE number = ({MOVED})",
         ["entry {moved} is crossed out but has lines"]),
        (f"DELETE FROM entries WHERE number = ({MOVED})",
         ["entry {moved} is missing", "points to entries that are not there"]),
        ("DELETE FROM sheets", ["cannot"]),
    ],
)  # fmt: skip
def test_each_kind_of_damage_is_found(book_file: Path, change: str, found: list[str]) -> None:
    names = {"moved": asked(book_file, MOVED), "crossed": asked(book_file, CROSSED)}
    proof = proof_after(book_file, change)
    for words in found:
        assert any(words.format(**names) in problem for problem in proof.problems), (words, proof.problems)
    assert not (proof.balanced and proof.replay_equal)
    with pytest.raises(Unproved) as raised:
        proof.must_hold()
    assert raised.value.exit_code == 22
    assert raised.value.sentence == f"{len(proof.problems)} problems, the first: {proof.problems[0]}"


def test_a_page_that_was_overwritten_is_found(book_file: Path) -> None:
    data = bytearray(book_file.read_bytes())
    page = int(asked(book_file, "SELECT rootpage FROM sqlite_master WHERE name = 'lines_by_thing'")) - 1
    data[page * 4096 + 200 : page * 4096 + 4000] = b"\x07" * 3800
    book_file.write_bytes(data)
    assert any("the file is damaged" in problem for problem in proof_after(book_file).problems)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (f"UPDATE forecasts SET body = replace(body, '\"likely\":', '\"likely\":1') WHERE batch = ({LIVING})",
         "are not what the entries give"),
        (f"UPDATE forecasts SET body = replace(body, '\"places\":[', '\"places\":[\"X\",') WHERE batch = ({LIVING})",
         "are not what the entries give"),
        (f"DELETE FROM forecasts WHERE batch = ({LIVING})", "has no windows"),
    ],
)  # fmt: skip
def test_altered_windows_are_found_when_asked_for(book_file: Path, change: str, found: str) -> None:
    assert proof_after(book_file, change).problems == ()
    problems = proof_after(book_file, windows=True).problems
    assert [found in problem for problem in problems] == [True]


def test_windows_worked_out_in_another_way_are_left_alone(book_file: Path) -> None:
    body = json.loads(asked(book_file, f"SELECT body FROM forecasts WHERE batch = ({LIVING})"))
    body["rests_on"]["formula"], body["living"] = 0, body["living"] + 1
    with closing(sqlite3.connect(book_file)) as file, file:
        file.execute(f"UPDATE forecasts SET body = ? WHERE batch = ({LIVING})", [json.dumps(body)])
    assert proof_after(book_file, windows=True).problems == ()
