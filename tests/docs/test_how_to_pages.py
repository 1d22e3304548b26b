"""The commands in the manual can be typed, and what its pages promise happens."""

from __future__ import annotations

import re
import shlex
from typing import TYPE_CHECKING

import click
import pytest

from cli_bench import made, small_book
from graftwright.cli.entry_options import draft
from graftwright.cli.main import graftwright
from graftwright.cli.record import EntryCommand
from graftwright.ledger.entries import read_said
from house import ROOT

if TYPE_CHECKING:
    from pathlib import Path

PAGES = sorted([*(ROOT / "docs" / "how-to").glob("*.md"), *(ROOT / "docs" / "explanation").glob("*.md")])
LINES = [
    (page.stem, line)
    for page in PAGES
    for block in re.findall(r"```text\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL)
    for line in block.splitlines()
    if line.startswith("graftwright ")
]


@pytest.mark.parametrize(("page", "line"), LINES, ids=[f"{page}: {line}" for page, line in LINES])
def test_a_command_of_the_manual_can_be_typed(page: str, line: str) -> None:
    assert page
    command: click.Command = graftwright
    words = shlex.split(line)
    ctx = click.Context(command, info_name=words.pop(0))
    while isinstance(command, click.Group):
        found = command.get_command(ctx, words.pop(0))
        assert found is not None, line
        command = found
    inner = command.make_context(command.name, list(words), parent=ctx)
    if isinstance(command, EntryCommand):
        said = draft(command.kind, inner.params)
        assert said.subject or command.kind.name in {"graft", "receive", "describe"}
        read_said(command.kind.name, said.said or {})


def test_there_are_commands_on_the_pages() -> None:
    assert len(LINES) > 25
    assert {page for page, _ in LINES} >= {
        "put-a-mistake-right",
        "be-away",
        "same-thing-twice",
    }


def test_a_loss_of_an_earlier_day_told_after_the_check_is_counted_once(tmp_path: Path) -> None:
    session, codes = small_book(tmp_path / "book.graftwright")
    bag = codes["bag1"]
    made(
        session, "record", "check", bag, "--seen", "callusing=1", "--reason", "mould=1", "--day", "2027-04-13"
    )
    late = made(session, "record", "lose", bag, "1", "--reason", "mould", "--day", "2027-04-12")
    assert late["derived_again"] == [10]
    assert made(session, "show", codes["batch"])["counts"]["gone"] == {"mould": 1}


def test_an_entry_forgotten_and_told_late_names_what_counts_differently(tmp_path: Path) -> None:
    session, codes = small_book(tmp_path / "book.graftwright")
    made(session, "record", "check", codes["bag1"], "--seen", "callusing=1", "--reason", "mould=1")
    told = session.run("record", "lose", codes["bag1"], "1", "--reason", "mould", "--day", "2027-04-10")
    assert "  entry 10 now counts differently\n" in told.out


def test_a_recount_is_no_loss(tmp_path: Path) -> None:
    session, codes = small_book(tmp_path / "book.graftwright")
    made(session, "record", "check", codes["bag1"], "--seen", "callusing=3", "--miscounted", "1")
    assert session.run("show", codes["batch"]).out.splitlines()[1] == "6 made · 1 more at recount · 7 growing"


def test_days_never_at_the_bench_get_no_tasks(tmp_path: Path) -> None:
    session, _ = small_book(tmp_path / "book.graftwright")
    made(session, "record", "describe", "--what", "site", "--free-days", "sat sun")
    days = {
        line["day"]
        for line in made(session, "today", "--date", "2027-04-04")["lines"]
        if line["state"] != "coming"
    }
    assert days <= {"2027-04-03", "2027-04-04"}


def test_a_backup_is_proved_brought_back_and_nothing_is_written_over(tmp_path: Path) -> None:
    session, codes = small_book(tmp_path / "book.graftwright")
    copy = tmp_path / "backups" / "bench.graftwright"
    assert session.run("backup", str(copy)).out == f"{copy}: 9 entries, proved.\n"
    made(session, "record", "note", codes["bag1"], "--note", "after the backup")
    assert session.run("backup", str(copy)).exit_code == 13
    told = session.run("restore", str(copy))
    assert re.fullmatch(r"Brought back .*/book\.graftwright\. What was there is now .*until-.*\.\n", told.out)
    assert made(session, "verify", "--windows")["entries"] == 9
