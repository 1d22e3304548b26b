"""What changed between two plans, told on plans as they are kept."""

from __future__ import annotations

import json
from copy import deepcopy
from datetime import date
from typing import Any

import pytest

from graftwright.actions.plan import place
from graftwright.actions.plan_changes import changes
from graftwright.actions.plan_json import as_json
from wish_texts import WISH, handbook, wishes


def kept(text: str, today: date = date(2026, 10, 20)) -> dict[str, Any]:
    """A plan as it comes back from where it was stored."""
    value: dict[str, Any] = json.loads(
        json.dumps(as_json(place(wishes(text), handbook(), today), handbook()))
    )
    return value


def batch(**said: Any) -> dict[str, Any]:
    return {
        "wish": 1, "variety": "Amber Early", "for": "", "grafts": 12, "graft_on": "2027-03-28",
        "chill_on": "2026-11-01", "bring_out": "2027-03-14", "ready": "2027-05-30", "warnings": [], "steps": [], **said,
    }  # fmt: skip


def step(on: str) -> dict[str, Any]:
    return {"name": "potted", "on": on, "plants": 5, "minutes": 30.0}


def unmet(**said: Any) -> dict[str, Any]:
    return {
        "wish": 1,
        "variety": "Amber Early",
        "for": "",
        "needed": 12,
        "placed": 5,
        "sentence": "Too little.",
        **said,
    }


def plan(*batches: dict[str, Any], **said: Any) -> dict[str, Any]:
    return {"batches": list(batches), "unmet": [], "warnings": [], "totals": {}, **said}


LATER = batch(graft_on="2027-04-03")
SENTENCES = [
    (plan(batch()), plan(LATER), ["Amber Early: 12 grafts on 3 April instead of 28 March."]),
    (plan(batch()), plan(batch(grafts=14)), ["Amber Early: 14 grafts on 28 March instead of 12."]),
    (plan(batch(grafts=2)), plan(batch(grafts=1, graft_on="2027-04-03")),
     ["Amber Early: 1 graft on 3 April instead of 2 on 28 March."]),
    (plan(batch(graft_on="2026-12-28")), plan(batch(graft_on="2027-01-03")),
     ["Amber Early: 12 grafts on 3 January 2027 instead of 28 December 2026."]),
    (plan(), plan(batch()), ["New: Amber Early, 12 grafts on 28 March."]),
    (plan(batch()), plan(), ["Gone: Amber Early, 12 grafts on 28 March."]),
    (plan(batch()), plan(batch(), LATER), ["New: Amber Early, 12 grafts on 3 April."]),
    (plan(batch()), plan(batch(bring_out="2027-03-20")),
     ["Amber Early: the nuts come out on 20 March instead of 14 March."]),
    (plan(batch(steps=[step("2027-05-01")])), plan(batch(steps=[step("2027-05-08"), step("2027-05-09")])),
     ["Amber Early: potted on 8 May and 9 May instead of 1 May."]),
    (plan(batch(steps=[step("2027-05-01")])), plan(batch()), ["Amber Early: potted on no day instead of 1 May."]),
    (plan(batch(steps=[step("2027-05-01")])), plan(batch(graft_on="2027-04-03", steps=[step("2027-05-08")])),
     ["Amber Early: 12 grafts on 3 April instead of 28 March."]),
    (plan(batch()), plan(batch(ready="2027-06-01")),
     ["Amber Early: the trees are ready on 1 June instead of 30 May."]),
    (plan(batch()), plan(batch(warnings=["chill short by 12 days"])),
     ["Amber Early, new: chill short by 12 days."]),
    (plan(batch(warnings=["chill short by 12 days"])), plan(batch()),
     ["Amber Early, no longer: chill short by 12 days."]),
    (plan(batch(), unmet=[unmet()]), plan(batch()), ["Amber Early: now met."]),
    (plan(batch()), plan(batch(), unmet=[unmet()]), ["Amber Early: no longer met. Too little."]),
    (plan(), plan(unmet=[unmet()]), ["Amber Early: not met. Too little."]),
    (plan(unmet=[unmet()]), plan(), ["Amber Early: no longer wished for."]),
    (plan(unmet=[unmet()]), plan(unmet=[unmet(placed=7)]),
     ["Amber Early: 7 of 12 grafts have a place instead of 5 of 12."]),
    (plan(warnings=["No wood."]), plan(warnings=["No seed."]), ["New: No seed.", "No longer: No wood."]),
    (plan(totals={"nuts": 20, "tie": 12}), plan(totals={"nuts": 24, "tie": 12, "pot": 9}),
     ["In all: nuts 24 instead of 20; pot 9 instead of 0."]),
    (plan(batch(**{"for": "market"})), plan(batch(**{"for": "market"}, grafts=13)),
     ["Amber Early for market: 13 grafts on 28 March instead of 12."]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "told"), SENTENCES, ids=range(len(SENTENCES)))
def test_each_change_is_one_sentence(old: dict[str, Any], new: dict[str, Any], told: list[str]) -> None:
    assert list(changes(old, new)) == told


def test_a_plan_made_again_has_no_changes() -> None:
    assert changes(kept(WISH), kept(WISH)) == ()


def test_another_place_in_the_file_is_no_change() -> None:
    one, other = batch(), batch(variety="Grey Lantern", wish=2)
    assert changes(plan(one, other), plan(other | {"wish": 1}, one | {"wish": 2})) == ()


def test_a_wish_that_is_taken_away_is_gone_and_the_others_stay() -> None:
    two = WISH + WISH.replace("Copper Bell", "Grey Lantern").replace("2027-06-20", "2027-06-10")
    roomy = "[free]\nminutes = 1000\n"
    told = changes(kept(two + roomy), kept(WISH + roomy))
    assert any(said.startswith("Gone: Grey Lantern, ") for said in told)
    assert not any("Copper Bell" in said for said in told)


def test_a_plan_kept_by_an_earlier_version_is_still_read() -> None:
    old = deepcopy(kept(WISH))
    for row in old["batches"]:
        del row["for"], row["steps"]
    del old["notes"]
    assert changes(old, kept(WISH)) == ()


def test_less_wood_is_told_with_the_sentence_of_the_plan() -> None:
    scarce = WISH + '[[wood]]\nvariety = "Copper Bell"\nbuds = 2\ncut = 2027-01-30\n'
    told = changes(kept(WISH), kept(scarce))
    assert any(
        said.startswith("Copper Bell: no longer met. Wish 1 (3 Copper Bell): only 2 of ") for said in told
    )
    assert "Copper Bell: now met." in changes(kept(scarce), kept(WISH))
