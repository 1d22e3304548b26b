"""Random wish files: a plan that keeps every rule, or sentences; never an unexplained failure."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.actions.plan import place
from graftwright.actions.plan_changes import changes
from graftwright.actions.plan_check import broken_rules
from graftwright.actions.plan_greedy import Ground, lay_out
from graftwright.actions.plan_json import as_json
from graftwright.cli.plan_table import table
from graftwright.errors import Trouble
from wish_texts import handbook, wishes

TODAY = date(2026, 11, 1)
DAYS = st.integers(-60, 330).map(lambda n: TODAY + timedelta(days=n))
VARIETY = st.sampled_from(["Copper Bell", "Grey Lantern"])
WISHES = st.fixed_dictionaries({
    "variety": VARIETY, "trees": st.integers(1, 25), "by": DAYS, "sure": st.sampled_from([0.5, 0.9, 0.99]),
    "sheet": st.sampled_from(["hypocotyl-closed-bag"] * 4 + ["plain"]),
    "species": st.sampled_from(["Castanea"] * 4 + ["Quercus"]),
    "experience": st.sampled_from(["first_time", "some", "practised"]),
}, optional={"for": st.sampled_from(["own ground", "market"])})  # fmt: skip
SEED = st.fixed_dictionaries(
    {"species": st.just("Castanea"), "count": st.integers(0, 300), "received": DAYS},
    optional={"floated": st.booleans(), "chilled": DAYS},
)
WOOD = st.fixed_dictionaries({"variety": VARIETY, "buds": st.integers(0, 120), "cut": DAYS})
AWAY = st.tuples(DAYS, st.integers(0, 60)).map(
    lambda one: {"from": one[0], "to": one[0] + timedelta(days=one[1])}
)
TABLES = {
    "site": st.fixed_dictionaries({}, optional={"last_frost": DAYS}),
    "free": st.fixed_dictionaries({
        "weekdays": st.sampled_from([["sat"], ["sat", "sun"], ["mon", "wed", "fri"]]),
        "minutes": st.sampled_from([2, 30, 180, 600]),
    }),
    "room": st.fixed_dictionaries({
        "callusing_c": st.sampled_from([5, 16, 22.5, 35]), "refrigerator_c": st.sampled_from([-2, 3, 8]),
    }),
    "wish": st.lists(WISHES, min_size=1, max_size=4), "seed": st.lists(SEED, max_size=2),
    "wood": st.lists(WOOD, max_size=3), "away": st.lists(AWAY, max_size=2),
}  # fmt: skip


def written(tables: dict[str, Any]) -> str:
    lines = []
    for name, rows in tables.items():
        for row in rows if isinstance(rows, list) else [rows]:
            lines.append(f"[[{name}]]" if isinstance(rows, list) else f"[{name}]")
            lines += [f"{key} = {_value(value)}" for key, value in row.items()]
    return "\n".join(lines)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return value.isoformat() if isinstance(value, date) else repr(value).replace("'", '"')


def prove(tables: dict[str, Any]) -> None:
    """The plan keeps every rule, says everything in sentences, and can be kept and compared."""
    asked = wishes(written(tables))
    made = place(asked, handbook(), TODAY)
    assert broken_rules(made, asked, handbook()) == []
    kept = json.loads(json.dumps(as_json(made, handbook()), allow_nan=False))
    assert changes(kept, kept) == ()
    assert max(map(len, table(kept)), default=0) <= 100
    clashing = [one.clash for one in made.unmet if one.clash]
    for clash in set(clashing):
        ground = Ground(asked, handbook(), TODAY)
        assert lay_out(ground, clash).unmet
        assert all(not lay_out(ground, set(clash) - {number}).unmet for number in clash)


@settings(max_examples=25, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.fixed_dictionaries(TABLES))
def test_every_plan_keeps_the_rules(tables: dict[str, Any]) -> None:
    prove(tables)


@pytest.mark.long
@settings(max_examples=600, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.fixed_dictionaries(TABLES))
def test_very_many_plans_keep_the_rules(tables: dict[str, Any]) -> None:
    prove(tables)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.text(max_size=200))
def test_any_text_gives_a_sentence(text: str) -> None:
    with pytest.raises(Trouble) as caught:
        wishes(text)
    assert "wishes.toml" in str(caught.value)


KEYS = st.sampled_from(
    [
        "variety",
        "trees",
        "by",
        "sure",
        "sheet",
        "count",
        "received",
        "weekdays",
        "minutes",
        "from",
        "tres",
        "wether",
    ]
)
VALUES = st.one_of(
    st.integers(), st.booleans(), DAYS, st.floats(allow_nan=False, allow_infinity=False), st.just("2027"),
    st.lists(st.integers(), max_size=2),
)  # fmt: skip
TABLE_NAMES = st.sampled_from(["site", "wish", "seed", "wood", "free", "away", "room", "wishes"])
ROW = st.dictionaries(KEYS, VALUES)
JUNK = st.dictionaries(TABLE_NAMES, st.lists(ROW, min_size=1, max_size=2) | ROW)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(JUNK)
def test_any_values_under_any_keys_give_a_sentence(tables: dict[str, Any]) -> None:
    with pytest.raises(Trouble) as caught:
        wishes(written(tables))
    assert "wishes.toml" in str(caught.value)
    assert caught.value.do
