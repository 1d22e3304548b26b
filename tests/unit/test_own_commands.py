"""`graftwright handbook own` and `done` as people and scripts meet them; plans count with what they said."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from cli_bench import made, small_book
from wish_texts import WISH

if TYPE_CHECKING:
    from pathlib import Path

    from cli_bench import Session, Told

SHEET = "hypocotyl-closed-bag"
PACE = "callusing.for.Castanea.pace.days_at_optimum"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Session, bytes]:
    """A small notebook, made once; each test begins with its file as it was."""
    session, _ = small_book(tmp_path_factory.mktemp("own") / "book.graftwright")
    return session, session.notebook.read_bytes()


@pytest.fixture
def session(kept: tuple[Session, bytes], tmp_path: Path) -> Session:
    session, content = kept
    session.notebook = tmp_path / "book.graftwright"
    session.notebook.write_bytes(content)
    return session


def own(session: Session, *words: str) -> Told:
    return session.run("handbook", "own", *words)


def test_a_value_of_one_s_own_says_both_and_what_rests_on_it(session: Session) -> None:
    told = own(session, SHEET, PACE, "12", "days", "--scope", "three batches")
    assert (told.exit_code, told.err) == (0, "")
    assert told.out.splitlines() == [
        f"Entry 10, 2027-04-18: {SHEET}: own value 12 days for {PACE} (three batches)",
        "  yours 12 d · sheet 10 d",
        "  the windows of 1 batch rest on it",
    ]
    assert made(session, "verify", "--windows")["problems"] == []


def test_without_words_all_are_listed_beside_the_handbook_s(session: Session) -> None:
    assert own(session).out == "No values of your own. Such as: graftwright handbook own SHEET PATH VALUE\n"
    own(session, SHEET, PACE, "9", "--scope", "three batches")
    own(session, "Castanea", "frost.green_shoots", "-3")
    session.run("handbook", "done", SHEET, "12")
    assert own(session).out.splitlines() == [
        "Castanea",
        "  frost.green_shoots: yours -3 °C · sheet -2 °C (entry 11)",
        SHEET,
        "  some practice (entry 12)",
        f"  {PACE}: yours 9 d · sheet 10 d (entry 10, three batches)",
    ]
    assert own(session, "Castanea").out.splitlines() == [
        "Castanea",
        "  frost.green_shoots: yours -3 °C · sheet -2 °C (entry 11)",
    ]


def test_the_list_for_scripts(session: Session) -> None:
    assert made(session, "handbook", "own") == {"values": [], "practice": []}
    own(session, SHEET, PACE, "9", "--scope", "three batches", "--note", "cold corner")
    session.run("handbook", "done", "plain", "0")
    assert made(session, "handbook", "own") == {
        "values": [
            {"of": SHEET, "path": PACE, "yours": 9, "unit": "d", "handbook": 10, "source": "common practice",
             "scope": "three batches", "note": "cold corner", "entry": 10, "used": True}
        ],
        "practice": [{"of": "plain", "experience": "first_time", "entry": 11}],
    }  # fmt: skip


def test_the_answer_for_scripts_is_that_of_an_entry_with_both_values(session: Session) -> None:
    answer = made(session, "handbook", "own", SHEET, PACE, "12")
    assert (answer["number"], answer["kind"], answer["values"][0]["yours"]) == (10, "adopt", 12)
    assert answer["values"][0]["handbook"] == 10
    assert made(session, "handbook", "done", SHEET, "3")["kind"] == "adopt"


def test_it_is_taken_back(session: Session) -> None:
    own(session, SHEET, PACE, "12")
    told = own(session, SHEET, PACE, "--back")
    assert told.out == f"Entry 11, 2027-04-18: {SHEET}: the handbook's {PACE} again\n"
    assert made(session, "handbook", "own")["values"] == []


def test_the_same_id_counts_once(session: Session) -> None:
    id_ = "01JZZZZZZZZZZZZZZZZZZZZZZZ"
    first, second = (made(session, "handbook", "own", SHEET, PACE, "12", "--id", id_) for _ in range(2))
    assert (first["number"], second["number"], second["repeated"]) == (10, 10, True)


def test_show_and_list_know_the_notebook_s_own_values(session: Session) -> None:
    own(session, SHEET, PACE, "12")
    lines = session.run("handbook", "show", SHEET).out.splitlines()
    at = next(n for n, line in enumerate(lines) if "(yours)" in line)
    assert [line.split()[-5:] for line in lines[at : at + 2]] == [
        ["12", "d", "own", "own", "records"],
        ["10", "d", "practice", "common", "practice"],
    ]
    sheets = made(session, "handbook", "list")["sheets"]
    assert {one["key"]: one["own_values"] for one in sheets if one["own_values"]} == {SHEET: 1}
    assert len(sheets) > 1


@pytest.mark.parametrize(
    ("words", "exit_code", "sentence"),
    [
        (("own", "plian"), 12, "There is no sheet 'plian'. Did you mean 'plain'?"),
        (
            ("own", "plian", PACE, "9"),
            12,
            "There is no sheet or genus 'plian'. (of) Did you mean 'plain'?",
        ),
        (
            ("own", SHEET, "leafing.act_within.day", "2"),
            12,
            f"'{SHEET}' has no value 'leafing.act_within.day'. (path) Did you mean 'leafing.act_within.days'?",
        ),
        (
            ("own", SHEET, PACE, "9", "weeks"),
            12,
            "The unit here is d, not 'weeks'. (value) Convert the numbers to d.",
        ),
        (
            ("own", SHEET, PACE, "-9"),
            12,
            "'days_at_optimum' is -9 d; it must lie between 0.1 and 3660 d. (value) Check the number and its unit.",
        ),
        (
            ("own", SHEET, PACE),
            12,
            ("This is not one value of your own. Say a path with your value, a path that goes back to the "
            "handbook's, or how practised you are."),
        ),
        (
            ("own", SHEET, PACE, "--back"),
            12,
            f"You have no value of your own for '{PACE}' of {SHEET}. (path) All of yours: graftwright handbook own.",
        ),
        (
            ("own", SHEET, PACE, "9", "--scop", "x"),
            2,
            "No such option '--scop'. See: graftwright handbook own --help",
        ),
        (("done", "Castanea", "3"), 12, ("Castanea is a genus; you are practised with a method sheet. (of) "
         "Name the sheet: graftwright handbook list.")),
        (
            ("done", SHEET, "many"),
            12,
            "'many' is no number of grafts. (done) Type 0, 12 or however many it were.",
        ),
    ],
)  # fmt: skip
def test_what_cannot_stand_is_one_sentence(
    session: Session, words: tuple[str, ...], exit_code: int, sentence: str
) -> None:
    told = session.run("handbook", *words)
    assert (told.exit_code, told.out, told.err) == (exit_code, "", f"{sentence}\n")
    for_scripts = session.run("handbook", *words, "--json")
    assert for_scripts.exit_code == exit_code
    assert json.loads(for_scripts.out)["error"]["sentence"] in sentence
    assert made(session, "verify")["entries"] == 9


def plan(session: Session, folder: Path) -> dict[str, Any]:
    wishes = folder / "wishes.toml"
    wishes.write_text(WISH.replace('experience = "practised"\n', ""))
    return made(session, "plan", str(wishes), "--today", "2026-10-20")


def grafts(plan: dict[str, Any]) -> int:
    return sum(one["grafts"] for one in plan["batches"])


def test_a_plan_counts_with_own_values_and_practice(session: Session, tmp_path: Path) -> None:
    first = plan(session, tmp_path)
    session.run("handbook", "done", SHEET, "80")
    practised = plan(session, tmp_path)
    assert grafts(practised) < grafts(first)
    own(session, SHEET, "callusing.for.Castanea.survival.practised.mean", "40 %")
    worse = plan(session, tmp_path)
    assert grafts(worse) > grafts(practised)
    name = f"{SHEET} callusing.for.Castanea.survival.practised.mean"
    assert f"The plan counts with your own: {name}." in worse["notes"]
    assert not any("your own" in said for said in practised["notes"])


def test_an_own_value_that_the_handbook_has_no_place_for_is_listed_as_left_out(session: Session) -> None:
    own(session, "Castanea", "response.callus.ceiling", "40")
    own(session, "Castanea", "response.callus.optimum", "35")
    session.run("cross-out", "10", "--reason", "not ours")
    assert own(session).out.splitlines()[1:] == [
        (
            "  response.callus.optimum: yours 35 · sheet 23 °C; the handbook has no place for yours now, "
            "and it is left out (entry 11)"
        )
    ]
