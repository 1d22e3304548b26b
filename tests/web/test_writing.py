"""Writing on pages: each kind of entry, repeats, refusals beside the question, corrections, crossings-out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from graftwright import bootstrap
from graftwright.ledger.codes import shown
from graftwright.ledger.kinds import KINDS
from web.bench import address, filled, tell

if TYPE_CHECKING:
    from web.conftest import Bench


def check_of(bench: Bench, bag: int) -> str:
    return f"/check/{shown(bench.season.batch)}?place={shown(bench.season.bags[bag])}"


# checks


def test_a_check_is_written_and_today_changes(bench: Bench) -> None:
    late = f"bag {shown(bench.season.bags[2])}"
    assert late in bench.reader.get("/").text.partition("Will not wait")[2].partition("Next check")[0]
    answer = bench.reader.fill(check_of(bench, 2), seen__callusing="1", seen__swollen="1", air="clear")
    assert answer.to.startswith(f"{address(bench.season.bags[2])}?wrote=")
    page = bench.reader.follow(answer)
    assert f"Check, bag {shown(bench.season.bags[2])}: 1 callusing · 1 swollen · air clear." in page.text
    assert late not in bench.reader.get("/").text.partition("Will not wait")[2].partition("Next check")[0]


def test_the_same_form_twice_is_written_once_and_answered_alike(bench: Bench) -> None:
    form = bench.reader.get(check_of(bench, 0))
    first = bench.reader.fill_again(form, seen__swollen="1", dead__mould="1")
    written = bench.entries
    again = bench.reader.fill_again(form, seen__swollen="1", dead__mould="1")
    assert (again.status, again.to, bench.entries) == (303, first.to, written)


def test_the_same_form_twice_counts_once_even_when_all_have_died_of_it(bench: Bench) -> None:
    form = bench.reader.get(check_of(bench, 0))
    first = bench.reader.fill_again(form, gap="dead")
    assert first.status == 303, first.text
    again = bench.reader.fill_again(form, gap="dead")
    assert (again.status, again.to) == (303, first.to)
    assert (
        "nothing is growing there any more" in bench.reader.get(f"/check/{shown(bench.season.bags[0])}").text
    )


def test_the_same_form_with_other_numbers_asks_whether_it_is_new(bench: Bench) -> None:
    form = bench.reader.get(check_of(bench, 0))
    bench.reader.fill_again(form, seen__swollen="2")
    written = bench.entries
    other = bench.reader.fill_again(form, seen__swollen="1", seen__leafing="1")
    assert (other.status, bench.entries) == (409, written)
    assert "You wrote this form down before, with other words or numbers." in other.text
    assert other.page.values["entry_id"] != form.page.values["entry_id"]
    assert bench.reader.fill_again(other).status == 303


@pytest.mark.parametrize(
    ("gap", "says"),
    [("not looked at", "1 swollen · 1 not looked at"), ("dead", "1 swollen · dead: 1 unknown"),
     ("miscounted", "1 swollen · miscounted by -1")],
)  # fmt: skip
def test_what_a_check_leaves_open_is_asked_once(bench: Bench, gap: str, says: str) -> None:
    asked = bench.reader.fill(check_of(bench, 0), seen__callusing="0", seen__swollen="1")
    assert asked.status == 409
    assert "2 grafts were growing and you told of 1. What about the other 1?" in asked.text
    assert asked.page.values["seen-swollen"] == "1"
    page = bench.reader.follow(bench.reader.fill_again(asked, gap=gap))
    assert says in page.text


def test_a_check_of_too_many_asks_whether_there_really_are_more(bench: Bench) -> None:
    asked = bench.reader.send("POST", check_of(bench, 0), filled(
        bench.reader.get(check_of(bench, 0)), seen__callusing="2", seen__swollen="1"))  # fmt: skip
    assert asked.status == 409
    assert "you told of 3. Put the numbers right, or say that there really are 1 more" in asked.text
    page = bench.reader.follow(bench.reader.fill_again(asked, gap="miscounted"))
    assert "miscounted by +1" in page.text


def test_a_check_made_of_an_old_form_is_asked_again_with_the_numbers_of_now(bench: Bench) -> None:
    form = bench.reader.get(check_of(bench, 0))
    tell(bench.book, "lose", bench.season.batch, place=bench.season.bags[0], reasons={"mould": 1})
    asked = bench.reader.fill_again(form, seen__swollen="1", gap="not looked at")
    assert asked.status == 409
    assert "The book has changed since you opened this form: 1 graft is growing there now." in asked.text
    assert bench.reader.fill_again(asked).status == 303


def test_plants_with_codes_are_named_one_by_one(bench: Bench) -> None:
    first, second, _ = bench.season.plants
    answer = bench.reader.fill(f"/check/{shown(bench.season.pears)}", **{
        f"plant-{shown(first)}": "growing", f"plant-{shown(second)}": "dried"})  # fmt: skip
    page = bench.reader.follow(answer)
    assert f"{shown(first)} growing" in page.text
    assert f"{shown(second)} dried" in page.text
    assert "1 not looked at" in page.text
    assert "No longer growing: dried." in bench.reader.get(address(second)).text


def test_a_plant_is_checked_by_its_own_code(bench: Bench) -> None:
    plant = bench.season.plants[0]
    answer = bench.reader.fill(f"/check/{shown(plant)}", **{f"plant-{shown(plant)}": "growing"})
    assert answer.to.startswith(f"{address(plant)}?wrote=")
    assert "growing" in bench.reader.follow(answer).text


def test_a_batch_in_several_bags_asks_which(bench: Bench) -> None:
    page = bench.reader.get(f"/check/{shown(bench.season.batch)}")
    assert "Which one did you look at?" in page.text
    assert all(f"Bag {shown(bag)}" in page.text for bag in bench.season.bags)


def test_a_bag_stands_for_the_batch_in_it(bench: Bench) -> None:
    page = bench.reader.get(f"/check/{shown(bench.season.bags[1])}")
    assert f"bag {shown(bench.season.bags[1])}, Kitchen shelf" in page.text


def test_a_bag_of_two_batches_leads_to_its_page_where_each_is_checked(bench: Bench) -> None:
    tell(bench.book, "carry", bench.season.pears, to=bench.season.bags[0])
    assert bench.reader.get(f"/check/{shown(bench.season.bags[0])}").to == address(bench.season.bags[0])
    html = bench.reader.get(address(bench.season.bags[0])).html
    assert f"/check/{shown(bench.season.batch)}?place={shown(bench.season.bags[0])}" in html
    assert f"/check/{shown(bench.season.plants[0])}?place={shown(bench.season.bags[0])}" in html


@pytest.mark.parametrize("value", ["-1", "x", "1.5", "99999999", "١"])
def test_a_wrong_number_in_a_check_comes_back_beside_its_question(bench: Bench, value: str) -> None:
    before = bench.entries
    answer = bench.reader.fill(check_of(bench, 0), seen__callusing=value, seen__swollen="1")
    assert answer.status in {409, 422}
    assert bench.entries == before
    if answer.status == 422:
        assert "Look again: This must be" in answer.text
    assert answer.page.values["entry_id"]


# every kind of entry


ABOUT = {
    "seed": "nuts", "scionwood": "wood", "batch": "batch", "place": "shelf",
}  # fmt: skip
SENT: dict[str, dict[str, str]] = {
    "graft": {"count": "4", "scion": "wood", "stock": "nuts", "sheet": "plain"},
    "lose": {"reasons-word-1": "mould", "reasons-count-1": "1", "place": "bag"},
    "cull": {"reasons-word-1": "weak", "reasons-count-1": "1", "place": "bag"},
    "fail": {"reasons-word-1": "no join", "reasons-count-1": "1", "place": "bag"},
    "codes": {"count": "2", "place": "bag"},
    "vent": {"opening": "six holes"},
    "open": {},
    "close-again": {},
    "carry": {"to": "sill"},
    "pot": {"place": "bag", "to": "sill"},
    "settle": {"place": "bag"},
    "harden": {"place": "bag"},
    "store": {"place": "bag"},
    "unwrap": {"place": "bag"},
    "head-back": {"place": "bag"},
    "plant": {"place": "bag"},
    "step-back": {"back_to": "callusing", "reason": "no room", "place": "bag"},
    "give": {"to_whom": "Mara Quill", "place": "bag"},
    "receive": {"what": "seed", "count": "12", "genus": "Castanea"},
    "cut-scions": {"count": "9", "of": "Tall Wenna"},
    "chill": {"count": "3"},
    "bring-out": {"count": "3"},
    "return-to-cold": {"count": "3"},
    "pull": {"count": "3", "double": "1"},
    "discard": {"reasons-word-1": "grub", "reasons-count-1": "2"},
    "check-wood": {"reasons-word-1": "mouldy", "reasons-count-1": "2"},
    "stock-taking": {"counted-in_hand": "20"},
    "wish": {
        "variety": "Tall Wenna",
        "count": "6",
        "ready_by": "2027-07-01",
        "sheet": "plain",
        "genus": "Castanea",
    },
    "promise": {"count": "2", "to_whom": "Mara Quill"},
    "note": {"note": "the heater was off"},
    "away": {"from_day": "2027-05-01", "to_day": "2027-05-03"},
    "adopt": {"of": "Castanea", "path": "response.callus.optimum", "value": "24,5", "scope": "two winters"},
}
SUBJECT = {"chill": "nuts", "bring-out": "nuts", "return-to-cold": "nuts", "pull": "nuts", "discard": "nuts",
           "stock-taking": "nuts", "check-wood": "wood", "carry": "bag", "vent": "bag", "open": "bag",
           "close-again": "bag", "graft": "", "wish": "", "receive": "", "cut-scions": "", "away": "",
           "adopt": ""}  # fmt: skip


def codes_of(bench: Bench) -> dict[str, str]:
    season = bench.season
    named = {
        "nuts": season.nuts,
        "wood": season.wood,
        "bag": season.bags[0],
        "sill": season.sill,
        "batch": season.batch,
    }
    return {name: shown(code) for name, code in named.items()}


@pytest.mark.parametrize("kind", SENT)
def test_each_kind_of_entry_is_written_by_its_form(bench: Bench, kind: str) -> None:
    codes = codes_of(bench)
    if kind == "return-to-cold":
        tell(bench.book, "bring-out", bench.season.nuts, count=5)
    subject = codes.get(SUBJECT.get(kind, "batch"), "")
    path = f"/record/{kind}" + (f"?subject={subject}" if subject else "")
    form = bench.reader.get(path)
    assert form.status == 200
    values = {name: codes.get(value, value) for name, value in SENT[kind].items()}
    assert values.keys() <= {given.get("name") for _, given in form.page.tags}, "the form lacks a question"
    answer = bench.reader.send("POST", form.page.action, form.page.values | values)
    assert answer.status == 303, answer.text
    assert "Written down as entry" in bench.reader.follow(answer).text
    assert bootstrap.prove(bench.book, windows=True).problems == ()


def test_every_kind_was_tried() -> None:
    elsewhere = {"check", "cross-out", "describe", "regraft", "plan"}
    assert SENT.keys() == KINDS.keys() - elsewhere


def test_a_stock_that_outlived_its_scion_is_grafted_again(bench: Bench) -> None:
    tell(bench.book, "fail", bench.season.batch, place=bench.season.bags[0], reasons={"no join": 1})
    form = bench.reader.get("/record/regraft")
    lot = next(value for _, given in form.page.tags if (value := given.get("value", "")) and "to work again" in
               form.text and given.get("name") == "stock")  # fmt: skip
    answer = bench.reader.fill_again(
        form, count="1", scion=shown(bench.season.wood), stock=lot, sheet="plain"
    )
    assert bench.reader.follow(answer).status == 200


@pytest.mark.parametrize(
    ("what", "values", "seen"),
    [
        (
            "variety",
            {"name": "Tall Wenna", "species": "Castanea sativa=0.5\nCastanea crenata=0.5"},
            "Tall Wenna",
        ),
        ("place", {"name": "Cold frame", "place_kind": "frame", "temperature_c": "8,5"}, "8.5"),
        ("person", {"name": "Piet Alder"}, "Piet Alder"),
        ("source-tree", {"name": "The tree at the ford"}, "The tree at the ford"),
        (
            "site",
            {"name": "Fenn's new bench", "time_zone": "Europe/Berlin", "free_days": "sat sun"},
            "Europe/Berlin",
        ),
    ],
)
def test_things_are_described(bench: Bench, what: str, values: dict[str, str], seen: str) -> None:
    answer = bench.reader.fill(f"/record/describe?what={what}", **values)
    assert seen in bench.reader.follow(answer).text


def test_settings_are_no_business_of_a_form(bench: Bench) -> None:
    page = bench.reader.get("/record/describe?what=settings")
    assert "What is it?" in page.text
    assert "settings" not in page.html


def test_a_kind_that_needs_a_subject_asks_for_it(bench: Bench) -> None:
    page = bench.reader.get("/record/lose")
    assert "Which one?" in page.text
    assert f"/record/lose?subject={shown(bench.season.batch)}" in page.html


# refusals


def test_a_refusal_comes_back_with_its_sentence_and_what_was_typed(bench: Bench) -> None:
    before = bench.entries
    path = f"/record/lose?subject={shown(bench.season.batch)}&place={shown(bench.season.bags[0])}"
    answer = bench.reader.fill(
        path, **{"reasons-word-1": "mould", "reasons-count-1": "9", "note": "all of them?"}
    )
    assert answer.status == 409
    assert f"{shown(bench.season.batch)} has 2 there, not 9." in answer.text
    assert answer.page.values["note"] == "all of them?"
    assert answer.page.values["reasons-count-1"] == "9"
    assert bench.entries == before


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"reasons-word-1": ""}, "Look again: This is needed."),
        (
            {"reasons-word-1": "mould", "reasons-count-1": "-2"},
            "Look again: This must be a whole number of at least 0",
        ),
        ({"reasons-word-1": "mould", "reasons-word-2": "mould"}, "Look again: This reason is chosen twice."),
        (
            {"reasons-word-1": "mould", "reasons-count-2": "3"},
            "Look again: A number has no reason beside it.",
        ),
        ({"reasons-word-1": "mould", "day": "2027-04-19"}, "19 is still to come (today is 2027-04-18)"),
        ({"reasons-word-1": "mould", "about": "next spring"}, "'next spring' is not a date I can read."),
        (
            {"reasons-word-1": "mould", "note": "x" * 2001},
            "Look again: This is 2001 characters long; 2000 fit.",
        ),
        ({"reasons-word-1": "boredom"}, "Look again: 'boredom' is not one of the words"),
    ],
)
def test_a_wrong_answer_comes_back_beside_its_question(
    bench: Bench, values: dict[str, str], says: str
) -> None:
    before = bench.entries
    answer = bench.reader.fill(f"/record/lose?subject={shown(bench.season.batch)}", **values)
    assert answer.status == 422
    assert says in answer.text
    assert bench.entries == before


def test_an_unknown_or_mistyped_code_comes_back_beside_its_question(bench: Bench) -> None:
    label = {"what": "seed", "count": "3"}
    wrong = bench.reader.fill("/record/receive", label="K7QF4-2", **label)
    assert wrong.status == 422
    assert "Look again: K7QF4-2 is not a code" in wrong.text
    taken = bench.reader.fill("/record/receive", label=shown(bench.season.batch), **label)
    assert taken.status == 409
    assert "belongs to a batch already" in taken.text


def test_a_zone_or_weekday_that_does_not_exist_is_refused_before_it_can_do_harm(bench: Bench) -> None:
    for values, says in (({"time_zone": "Europe/Nowhere"}, "There is no time zone 'Europe/Nowhere'."),
                         ({"free_days": "sat someday"}, "'someday' is no day of the week.")):  # fmt: skip
        answer = bench.reader.fill("/record/describe?what=site", **values)
        assert answer.status == 422
        assert f"Look again: {says}" in answer.text
    assert bench.reader.get("/").status == 200


def test_a_form_without_its_number_is_not_written(bench: Bench) -> None:
    before = bench.entries
    for id_ in ("", "1", "x" * 26, "01JRS0V6Y8ZC3N4K5M6P7Q8R9SX"):
        answer = bench.reader.fill(
            f"/record/note?subject={shown(bench.season.batch)}", note="n", entry_id=id_
        )
        assert answer.status == 422
        assert "This form has lost its number, so nothing was written." in answer.text
    assert bench.entries == before


def test_what_people_write_is_shown_and_never_obeyed(bench: Bench) -> None:
    wicked = "<script>alert(1)</script><b onmouseover=x>"
    names = {"name": f"Wenna {wicked}", "note": wicked}
    bench.reader.follow(bench.reader.fill("/record/describe?what=place", place_kind="shelf", **names))
    bench.reader.follow(
        bench.reader.fill(f"/record/note?subject={shown(bench.season.batch)}", note=wicked, by=wicked)
    )
    with bench.book.notebook.reading() as reading:
        place = next(one.code for one in reading.things_of("place") if "Wenna" in one.name)
    tell(bench.book, "carry", bench.season.bags[0], to=place)
    for path in ("/", address(bench.season.batch), address(bench.season.bags[0]), address(place), "/record/graft",
                 check_of(bench, 0), f"/find?code={wicked}",
                 f"/{wicked}", f"/record/lose?subject={wicked}"):  # fmt: skip
        html = bench.reader.get(path).html
        assert "<script" not in html.lower(), path
        assert "<b onmouseover" not in html, path
    assert "&lt;script&gt;" in bench.reader.get(address(bench.season.batch)).html


# put right


def test_a_check_is_corrected_and_the_old_line_stays_readable(bench: Bench) -> None:
    bag = bench.season.bags[0]
    wrote = int(bench.reader.fill(check_of(bench, 0), seen__swollen="2").to.partition("wrote=")[2])
    form = bench.reader.get(f"/correct/{wrote}")
    assert form.page.values["seen-swollen"] == "2"
    answer = bench.reader.fill_again(form, seen__swollen="1", seen__leafing="1")
    page = bench.reader.follow(answer)
    assert "1 leafing · 1 swollen" in page.text
    old = bench.reader.get(address(bench.season.batch)).html
    assert f"put right by entry {wrote + 1}" in old
    assert re.search(r"<del>Check, bag [^<]*2 swollen</del>", old)
    assert bench.reader.fill_again(form, seen__swollen="1", seen__leafing="1").to == answer.to
    refused = bench.reader.get(f"/correct/{wrote}")
    assert (refused.status, f"Entry {wrote} is already crossed out" in refused.text) == (409, True)
    assert "1 leafing, 1 swollen" in bench.reader.get(address(bag)).text


def test_forty_nuts_become_forty_four_after_some_were_used(bench: Bench) -> None:
    with bench.book.notebook.reading() as reading:
        number = next(e.number for e, _ in reading.told([bench.season.nuts]) if e.kind == "receive")
    form = bench.reader.get(f"/correct/{number}")
    assert (form.page.values["count"], form.page.values["day"]) == ("40", "2027-02-01")
    assert "6 grafted" in form.text.partition("What rests on it")[2]
    page = bench.reader.follow(bench.reader.fill_again(form, count="44"))
    assert "44 nuts came in" in page.text
    assert bootstrap.prove(bench.book, windows=True).problems == ()


def test_crossing_out_names_what_rests_on_it_and_takes_it_along_when_asked(bench: Bench) -> None:
    with bench.book.notebook.reading() as reading:
        graft = next(e.number for e, _ in reading.told([bench.season.batch]) if e.kind == "graft")
    form = bench.reader.get(f"/cross-out/{graft}")
    assert "Check, bag" in form.text.partition("What rests on it")[2]
    assert "Cross out what rests on it too" in form.text
    refused = bench.reader.fill_again(form, reason="never made")
    assert refused.status == 409
    assert "It cannot stand because of entries" in refused.text
    done = bench.reader.fill_again(refused, with_rest="yes")
    assert done.to.startswith("/?wrote=")
    assert "Crossed out" in bench.reader.follow(done).text
    assert bench.reader.get(address(bench.season.batch)).status == 404
    assert bench.reader.fill_again(refused, with_rest="yes").to == done.to
    assert bootstrap.prove(bench.book, windows=True).problems == ()


def test_what_is_crossed_out_keeps_its_reason(bench: Bench) -> None:
    wrote = bench.reader.fill(f"/record/note?subject={shown(bench.season.batch)}", note="frost").to.partition(
        "wrote="
    )[2]
    needed = bench.reader.fill(f"/cross-out/{wrote}")
    assert (needed.status, "This is needed." in needed.text) == (422, True)
    page = bench.reader.follow(bench.reader.fill_again(needed, reason="it was the neighbour's bed"))
    assert "crossed out: it was the neighbour's bed" in page.text
    assert bench.reader.get(f"/cross-out/{wrote}").status == 409


def test_work_in_the_demo_is_dated_by_its_own_date(bench: Bench) -> None:
    form = bench.reader.get(f"/record/note?subject={shown(bench.season.batch)}")
    assert form.page.values["day"] == "2027-04-18"
    assert "18 April" in bench.reader.follow(bench.reader.fill_again(form, note="n")).text
