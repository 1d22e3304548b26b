"""Season: a wish is written, the plan is made and kept, and the page says what changed; no scripts needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright import bootstrap
from web.bench import tell

if TYPE_CHECKING:
    from web.conftest import Bench


def wanted(bench: Bench, **said: str) -> None:
    told = {"variety": "Grey Marron", "count": "2", "ready_by": "2027-09-30", "sheet": "hypocotyl-closed-bag",
            "genus": "Castanea", "sure": "0.5"}  # fmt: skip
    answer = bench.reader.fill("/record/wish", **{**told, **said})
    assert answer.status == 303, answer.text
    assert answer.to.startswith("/season?wrote=")


def test_an_empty_season_says_what_it_is_for(bench: Bench) -> None:
    page = bench.reader.get("/season").text
    assert "Nothing is wanted yet. Say how many trees" in page
    assert "No plan is kept." in page


def test_a_wish_gets_its_chance_and_can_be_changed_and_dropped(bench: Bench) -> None:
    wanted(bench)
    page = bench.reader.get("/season")
    assert "6 grafted, 6 living, 0 finished; expect" in page.text
    number = bench.entries
    assert f'href="/correct/{number}"' in page.html
    assert bench.reader.fill(f"/correct/{number}", count="3").status == 303
    assert "3 Grey Marron by 30 September" in bench.reader.get("/season").text
    assert bench.reader.fill(f"/cross-out/{bench.entries}", reason="no room").status == 303
    assert "Nothing is wanted yet." in bench.reader.get("/season").text


def test_the_plan_is_made_kept_and_made_again(bench: Bench) -> None:
    wanted(bench)
    first = bench.reader.fill("/season")
    assert first.status == 303
    page = bench.reader.follow(first).text
    assert "Written down as entry" in page
    assert "Kept on Sunday 18 April 2027, entry" in page
    assert "Make the plan again" in page
    assert "The wishes have changed" not in page
    wanted(bench, count="4", ready_by="2028-09-30")
    assert "The wishes have changed since this plan was made." in bench.reader.get("/season").text
    page = bench.reader.follow(bench.reader.fill("/season")).text
    assert "What changed" in page
    assert "The wishes have changed" not in page
    assert bootstrap.prove(bench.book, windows=True).problems == ()


def test_the_same_form_twice_keeps_one_plan(bench: Bench) -> None:
    wanted(bench)
    form = bench.reader.get("/season")
    first = bench.reader.fill_again(form)
    written = bench.entries
    assert bench.reader.fill_again(form).to == first.to
    assert bench.entries == written


def test_promises_are_listed_with_their_risk(bench: Bench) -> None:
    tell(bench.book, "promise", "grey-marron", count=6, to_whom="Runa Thistle")
    assert "6 Grey Marron promised to Runa Thistle: AT RISK," in bench.reader.get("/season").text


def test_a_wish_by_a_name_that_is_no_variety_is_answered_beside_the_question(bench: Bench) -> None:
    answer = bench.reader.fill("/record/wish", variety="Sill", count="2", ready_by="2027-09-30", sheet="plain",
                               genus="Castanea")  # fmt: skip
    assert answer.status in {400, 409, 422}
    assert "is about a variety" in answer.text
