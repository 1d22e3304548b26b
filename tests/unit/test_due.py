"""What is late, due and coming: each case is a small table a grower can read.

The rules are the program's own (ledger.md, surface.md); the calendar is checked against the standard library's.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.ledger.due import COMING, DUE, LATE, WEEKDAYS, FreeDays, due_lines, in_order
from graftwright.ledger.windows import Task

WEEKEND = FreeDays(("sat", "sun"))
EVERY_DAY = FreeDays()


def check(earliest: str, latest: str) -> Task:
    return Task("check", "K7QF4Z", "BAG", "2027-04-10", earliest, latest, "Every 3 days.")


def step(earliest: str, latest: str) -> Task:
    return Task("vent", "K7QF4Z", "BAG", "2027-04-10", earliest, latest, "Ready.")


def state_on(task: Task, free: FreeDays, day: str) -> tuple[str, str]:
    lines = due_lines([task], free, date.fromisoformat(day))
    return (lines[0].state, lines[0].day.isoformat()) if lines else ("nothing", "")


# 2027-04-10 is a Saturday, so the weekends are 10-11, 17-18 and 24-25 April.
@pytest.mark.parametrize(
    ("task", "free", "day", "state", "on"),
    [
        # a check is put as late as it may be, on a free day
        (check("2027-04-11", "2027-04-13"), EVERY_DAY, "2027-04-12", COMING, "2027-04-13"),
        (check("2027-04-11", "2027-04-13"), EVERY_DAY, "2027-04-13", DUE, "2027-04-13"),
        (check("2027-04-11", "2027-04-13"), EVERY_DAY, "2027-04-14", LATE, "2027-04-13"),
        (check("2027-04-11", "2027-04-19"), WEEKEND, "2027-04-18", DUE, "2027-04-18"),
        (check("2027-04-11", "2027-04-19"), WEEKEND, "2027-04-19", LATE, "2027-04-18"),
        # no free day left: late from the first day on
        (check("2027-04-12", "2027-04-15"), WEEKEND, "2027-04-11", COMING, "2027-04-15"),
        (check("2027-04-12", "2027-04-15"), WEEKEND, "2027-04-12", LATE, "2027-04-15"),
        # a step is for the first free day, and late only after the last day it can wait for
        (step("2027-04-14", "2027-04-18"), WEEKEND, "2027-04-16", COMING, "2027-04-17"),
        (step("2027-04-14", "2027-04-18"), WEEKEND, "2027-04-17", DUE, "2027-04-17"),
        (step("2027-04-14", "2027-04-18"), WEEKEND, "2027-04-18", DUE, "2027-04-17"),
        (step("2027-04-14", "2027-04-18"), WEEKEND, "2027-04-19", LATE, "2027-04-17"),
        # one that can wait is never late
        (step("2027-04-14", ""), EVERY_DAY, "2027-05-30", DUE, "2027-04-14"),
    ],
)
def test_the_day_and_state_of_a_task(task: Task, free: FreeDays, day: str, state: str, on: str) -> None:
    assert state_on(task, free, day) == (state, on)


def test_days_away_move_a_check_before_the_trip() -> None:
    away = FreeDays(away=((date(2027, 4, 12), date(2027, 4, 18)),))
    task = check("2027-04-11", "2027-04-14")
    assert state_on(task, EVERY_DAY, "2027-04-10")[1] == "2027-04-14"
    assert state_on(task, away, "2027-04-10")[1] == "2027-04-11"


def test_a_task_that_falls_wholly_into_a_trip_says_so() -> None:
    away = FreeDays(away=((date(2027, 4, 12), date(2027, 4, 18)),))
    (line,) = due_lines([check("2027-04-12", "2027-04-14")], away, date(2027, 4, 12))
    assert line.state == LATE
    assert (
        line.reason
        == "Every 3 days. No day at the bench is left for it: you are away 2027-04-12 to 2027-04-18."
    )


@pytest.mark.parametrize(("day", "lines"), [("2027-04-16", 1), ("2027-04-18", 1), ("2027-04-19", 0)])
def test_what_was_expected_comes_no_more_when_its_window_has_passed(day: str, lines: int) -> None:
    task = Task("vent", "K7QF4Z", "BAG", "2027-04-10", "2027-04-13", "2027-04-18", "Expected.", "2027-04-16",
                expected=True)  # fmt: skip
    assert len(due_lines([task], EVERY_DAY, date.fromisoformat(day))) == lines


def test_days_away_never_move_a_window_but_flag_it() -> None:
    task = Task(
        "vent",
        "K7QF4Z",
        "BAG",
        "2027-04-10",
        "2027-04-13",
        "2027-04-17",
        "Expected.",
        "2027-04-15",
        expected=True,
    )
    away = FreeDays(away=((date(2027, 4, 12), date(2027, 4, 18)),))
    (at_home,) = due_lines([task], EVERY_DAY, date(2027, 4, 10))
    (gone,) = due_lines([task], away, date(2027, 4, 10))
    assert gone.window == at_home.window == (date(2027, 4, 13), date(2027, 4, 15), date(2027, 4, 17))
    assert gone.reason == "Expected. You are away 2027-04-12 to 2027-04-18 then."


def test_what_lies_behind_two_weeks_is_not_listed_yet() -> None:
    assert state_on(check("2027-05-01", "2027-05-10"), EVERY_DAY, "2027-04-10") == ("nothing", "")


DAYS = st.integers(0, 40).map(lambda n: date(2027, 4, 1) + timedelta(days=n))
SPANS = st.tuples(DAYS, st.integers(0, 9)).map(lambda span: (span[0], span[0] + timedelta(days=span[1])))
FREE = st.builds(
    FreeDays,
    st.sets(st.sampled_from(WEEKDAYS), min_size=1).map(
        lambda chosen: tuple(d for d in WEEKDAYS if d in chosen)
    ),
    st.lists(SPANS, max_size=2).map(tuple),
)
TASKS = st.builds(
    lambda what, span, since, open_ended: Task(
        what, "K7QF4Z", "BAG", since.isoformat(), span[0].isoformat(), "" if open_ended else span[1].isoformat(), "Why."
    ),
    st.sampled_from(["check", "vent", "pot"]), SPANS, DAYS, st.booleans(),
)  # fmt: skip


@given(TASKS.filter(lambda task: task.what != "check" or task.latest), FREE, DAYS)
def test_with_no_new_record_a_later_date_never_turns_late_into_not_due(
    task: Task, free: FreeDays, day: date
) -> None:
    rank = {"nothing": 0, COMING: 0, DUE: 1, LATE: 2}
    states = [rank[state_on(task, free, (day + timedelta(days=n)).isoformat())[0]] for n in range(30)]
    assert states == sorted(states)


@given(
    st.lists(TASKS.filter(lambda task: task.what != "check" or task.latest), max_size=6),
    FREE,
    DAYS,
    st.randoms(),
)
def test_the_order_of_recording_does_not_matter(
    tasks: list[Task], free: FreeDays, day: date, chance: object
) -> None:
    shuffled = list(tasks)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert in_order(due_lines(tasks, free, day), []) == in_order(due_lines(shuffled, free, day), [])


@given(TASKS, FREE, DAYS)
def test_every_line_has_its_reason_and_a_check_falls_on_a_free_day_or_is_late(
    task: Task, free: FreeDays, day: date
) -> None:
    for line in due_lines([task], free, day):
        assert line.reason.startswith("Why.")
        if task.what == "check" and task.latest and line.state != LATE:
            assert free.is_free(line.day) or "No day at the bench" in line.reason
