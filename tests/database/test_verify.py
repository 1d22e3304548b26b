"""The proof finds every kind of damage, names it, and finds nothing where nothing is wrong."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from graftwright.adapters.database.complaints import DamagedNotebook
from graftwright.bootstrap import open_book, prove
from graftwright.errors import Unproved
from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
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
THERE = f"SELECT min(rowid) FROM lines WHERE entry = ({MOVED}) AND name = 'there'"
CROSSED = "SELECT min(number) FROM entries WHERE crossed_by IS NOT NULL"
LIVING = "SELECT min(batch) FROM forecasts WHERE living > 0"
NAMED = "SELECT min(code) FROM things WHERE slug <> ''"
ACCOUNT = "key, thing, unit, name, detail, place, amount"


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (f"UPDATE lines SET amount = amount + 1 WHERE rowid = ({THERE})",
         ["entry {moved} does not sum to zero", "entry {moved} has other lines than it should", "the count of"]),
        (f"UPDATE lines SET detail = 'leafing' WHERE entry = ({MOVED}) AND name = 'there'",
         ["entry {moved} has other lines than it should", "the count of"]),
        (f"DELETE FROM lines WHERE entry = ({MOVED})", ["entry {moved} has other lines than it should"]),
        (f"INSERT INTO lines SELECT * FROM lines WHERE entry = ({MOVED})",
         ["entry {moved} has other lines than it should", "the count of"]),
        (f"UPDATE lines SET key = '2027-01-01 1 0000000001' WHERE entry = ({MOVED})",
         ["lines of entry {moved} have a wrong place in the order"]),
        (f"INSERT INTO lines SELECT ({CROSSED}), {ACCOUNT} FROM lines WHERE amount = 0 LIMIT 1",
         ["entry {crossed} is crossed out but has lines"]),
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
        (f"UPDATE entries SET subject = 'ZZZZZZ' WHERE number = ({MOVED})",
         ["entry {moved} has other lines than it should", "ZZZZZZ is missing among the things"]),
        (f"UPDATE entries SET said = json_set(said, '$.place', 'ZZZZZZ') WHERE number = ({MOVED})",
         ["entry {moved} cannot stand: Nothing in this notebook has the code or name ZZZZZZ."]),
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


def test_an_index_out_of_step_is_found(book_file: Path) -> None:
    change_page(book_file, "things_by_slug", lambda page: page.replace(b"alder", b"elder"))
    problems = proof_after(book_file).problems
    assert any("the file is damaged: " in problem and "things_by_slug" in problem for problem in problems)


def test_a_file_that_cannot_be_read_through_says_so(book_file: Path) -> None:
    change_page(book_file, "lines", lambda page: b"\x07" + page[1:])
    with pytest.raises(DamagedNotebook) as raised:
        proof_after(book_file)
    assert str(raised.value) == (
        f"This notebook is damaged, or the disk it is on. ({book_file}) "
        "Bring back the last backup with: graftwright restore."
    )
    assert raised.value.exit_code == 13


def change_page(path: Path, name: str, change: Callable[[bytes], bytes]) -> None:
    """Change the first page of a table or an index as a failing disk would."""
    data = path.read_bytes()
    start = (int(asked(path, f"SELECT rootpage FROM sqlite_master WHERE name = '{name}'")) - 1) * 4096
    changed = change(data[start : start + 4096])
    assert changed != data[start : start + 4096]
    assert len(changed) == 4096
    path.write_bytes(data[:start] + changed + data[start + 4096 :])


def change_windows(path: Path, change: Callable[[dict[str, Any]], object]) -> None:
    """Change the stored windows of one batch that has some."""
    with closing(sqlite3.connect(path)) as file, file:
        stored = [
            (batch, json.loads(body)) for batch, body in file.execute("SELECT batch, body FROM forecasts")
        ]
        batch, body = next(pair for pair in stored if any(windows(pair[1])))
        change(body)
        file.execute("UPDATE forecasts SET body = ? WHERE batch = ?", [json.dumps(body), batch])


def windows(body: dict[str, Any]) -> Iterator[dict[str, float]]:
    for group in body["groups"]:
        yield from (one["half"] for one in group["milestones"] if one["half"] and one["half"]["likely"])


def later(by: float) -> Callable[[dict[str, Any]], object]:
    def change(body: dict[str, Any]) -> None:
        window = next(windows(body))
        window["likely"] += by

    return change


@pytest.mark.parametrize(
    "change",
    [later(0.001), later(-1), lambda body: body["groups"][0]["places"].append("ZZZZZZ"),
     lambda body: body["groups"].clear(), lambda body: body["rests_on"].update(sheet="plain/1")],
)  # fmt: skip
def test_altered_windows_are_found_when_asked_for(
    book_file: Path, change: Callable[[dict[str, Any]], object]
) -> None:
    change_windows(book_file, change)
    assert proof_after(book_file).problems == ()
    problems = proof_after(book_file, windows=True).problems
    assert ["are not what the entries give" in problem for problem in problems] == [True]


def test_windows_agree_to_a_millionth_of_a_day(book_file: Path) -> None:
    change_windows(book_file, later(1e-8))
    assert proof_after(book_file, windows=True).problems == ()


def test_windows_that_are_gone_are_found_when_asked_for(book_file: Path) -> None:
    batch = asked(book_file, LIVING)
    proof = proof_after(book_file, f"DELETE FROM forecasts WHERE batch = '{batch}'", windows=True)
    assert proof.problems == (f"{shown(batch)} has no windows",)


def test_windows_worked_out_in_another_way_are_left_alone(book_file: Path) -> None:
    change_windows(book_file, lambda body: body.update(living=99, rests_on=body["rests_on"] | {"formula": 0}))
    assert proof_after(book_file, windows=True).problems == ()
