"""Every page over a real book: what it says in each state, and what it says of what is not there."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from graftwright.handbook.load import load_handbook
from graftwright.ledger.codes import shown
from graftwright.ledger.kinds import KINDS
from graftwright.web.pages.record import GROUPS
from web.bench import address, reader_of, tell
from web.test_look import FOREIGN

if TYPE_CHECKING:
    from web.conftest import Bench

LINK = re.compile(r'href="(/[^"#]*)')


def crawl(bench: Bench, start: str) -> dict[str, str]:
    """Follow every link from a page on."""
    pages: dict[str, str] = {}
    ahead = [start]
    while ahead:
        path = ahead.pop()
        if path in pages or path.startswith("/static/"):
            continue
        answer = bench.reader.get(path)
        while answer.status in {303, 307}:
            answer = bench.reader.get(answer.to)
        assert answer.status == 200, (path, answer.text)
        pages[path] = answer.html
        ahead += [link.replace("&amp;", "&") for link in LINK.findall(answer.html)]
    return pages


def test_every_link_leads_to_a_page_that_says_demo_and_speaks_a_growers_words(bench: Bench) -> None:
    pages = crawl(bench, "/")
    assert len(pages) > 100
    for path, html in pages.items():
        assert "<b>DEMO</b>" in html, path
        assert len(html.encode()) <= 150_000, path
        words = re.sub(r"<[^>]+>", " ", html)
        assert not FOREIGN.findall(words), path
        assert not re.search(r"\b20[0-9]{2}-[0-9]{2}-[0-9]{2}\b", words), path


def test_today_says_what_is_late_what_is_due_and_why(bench: Bench) -> None:
    page = bench.reader.get("/")
    assert page.status == 200
    late = page.text.partition("Will not wait")[2].partition("Next check")[0]
    assert "late 5 days" in late
    assert f"bag {shown(bench.season.bags[2])}, Kitchen shelf" in late
    assert "Last looked at 10 April; every 3 days: look for swelling, mould and moisture." in late
    assert "1 entry is kept aside and waits for you." in page.text
    assert re.search("Next check Today: [^.]*Grey Marron on Hollow Lane", page.text)


def test_a_later_day_never_turns_late_into_not_due(bench: Bench) -> None:
    """The same book read a week later says the same of that bag, only later."""
    tell(bench.book, "describe", "settings", what="settings", demo_date="2027-04-25")
    assert "late 12 days" in bench.reader.get("/").text


def test_an_empty_book_says_so_and_where_to_begin(own: Bench) -> None:
    page = own.reader.get("/")
    assert "Nothing is due." in page.text
    assert "No graft stands in this book, so there is nothing to look at." in page.text
    assert 'href="/first">Begin here</a>' in page.html
    assert "DEMO" not in page.html
    assert "Nothing waits. Every entry that arrived stands in the book." in own.reader.get("/aside").text


def test_a_bag_shows_its_grafts_its_air_and_what_was_written(bench: Bench) -> None:
    bag = bench.season.bags[0]
    page = bench.reader.get(address(bag))
    assert f"Bag {shown(bag)} Kitchen shelf" in page.text
    assert "1 callusing, 1 swollen" in page.text
    assert "warmth 22.5 °C, that of Kitchen shelf" in page.text
    assert "air misted, on 10 April" in page.text
    assert f"Check, bag {shown(bag)}: 1 callusing · 1 swollen" in page.text
    assert f'href="/check/{shown(bench.season.batch)}?place={shown(bag)}"' in page.html


def test_a_shelf_shows_its_bags(bench: Bench) -> None:
    page = bench.reader.get(address(bench.season.shelf))
    for bag in bench.season.bags:
        assert f"Bag {shown(bag)}" in page.text


def test_a_batch_is_one_sentence_a_tally_and_a_ribbon(bench: Bench) -> None:
    page = bench.reader.get(address(bench.season.batch))
    assert "6 made 6 growing" in page.text
    assert 'aria-label="tally: 6"' in page.html
    assert page.html.count('<svg class="ribbon"') == 1
    assert "how raised Hypocotyl graft on a sprouted nut, closed bag" in page.text
    assert "buds swollen" in page.text


def test_a_number_lists_the_lines_behind_it(bench: Bench) -> None:
    tell(bench.book, "lose", bench.season.batch, place=bench.season.bags[1], reasons={"mould": 1})
    batch = address(bench.season.batch)
    assert f"{batch}?behind=mould#history" in bench.reader.get(batch).html
    page = bench.reader.get(f"{batch}?behind=mould")
    history = page.text.partition("What was written: mould")[2]
    assert "Lost in bag" in history
    assert "Check, bag" not in history
    assert "6 grafted" in bench.reader.get(f"{batch}?behind=made").text.partition("What was written: made")[2]


def test_a_plant_a_lot_a_variety_and_a_person_have_pages(bench: Bench) -> None:
    season = bench.season
    assert "grafted" in bench.reader.get(address(season.plants[0])).text
    assert "40 nuts came in" in bench.reader.get(address(season.nuts)).text
    assert "Grey Marron" in bench.reader.get("/named/grey-marron").text
    assert "Oda Fenn" in bench.reader.get("/named/oda-fenn").text


def test_a_batch_without_windows_says_why(bench: Bench) -> None:
    page = bench.reader.get(address(bench.season.pears))
    assert "so there are checks but no windows." in page.text
    assert '<svg class="ribbon"' not in page.html


def test_a_plant_that_died_says_so_and_offers_nothing_to_do(bench: Bench) -> None:
    plant = bench.season.plants[0]
    tell(bench.book, "lose", plant, reasons={"dried": 1})
    page = bench.reader.get(address(plant))
    assert "No longer growing: dried." in page.text
    assert "What you would do now" not in page.text


@pytest.mark.parametrize("typed", ["{}", " {} ", "http://bench.local:8765/{}"])
def test_a_code_is_found_however_it_is_typed(bench: Bench, typed: str) -> None:
    bag = bench.season.bags[0]
    for written in (bag.lower(), shown(bag), bag, f"{bag[:2]} {bag[2:]}"):
        answer = bench.reader.get(f"/find?code={typed.format(written)}")
        assert (answer.status, answer.to) == (303, address(bag))


def test_a_code_in_any_writing_leads_to_its_one_address(bench: Bench) -> None:
    bag = bench.season.bags[0]
    answer = bench.reader.get(f"/{bag.lower()}?wrote=3")
    assert (answer.status, answer.to.partition("8765")[2]) == (307, f"{address(bag)}?wrote=3")
    assert bench.reader.get("/oda-fenn").to.endswith("/named/oda-fenn")


def test_a_name_is_found_too(bench: Bench) -> None:
    assert bench.reader.get("/find?code=Kitchen shelf").to == address(bench.season.shelf)
    assert bench.reader.get("/find?code=Grey Marron").to == "/named/grey-marron"


def test_a_wrong_character_or_a_swap_is_told_from_an_unknown_code(bench: Bench) -> None:
    bag = shown(bench.season.bags[0])
    other = "4" if bag[0] != "4" else "5"
    for wrong in (other + bag[1:], bag[1] + bag[0] + bag[2:] if bag[0] != bag[1] else other + bag[1:]):
        answer = bench.reader.get(f"/find?code={wrong}")
        assert answer.status == 404
        assert "is not a code: a character is wrong, missing or swapped." in answer.text
        assert f"You typed {wrong}" in answer.text
    unknown = bench.reader.get("/find?code=K7QF4-Z")
    assert unknown.status == 404
    assert "Nothing in this notebook has the code or name K7QF4-Z." in unknown.text
    assert "Read the label again and type its six characters." in unknown.text


@pytest.mark.parametrize(
    "path",
    ["/K7QF4-Z", "/nobody", "/named/nobody", "/check/K7QF4-Z", "/record/graaft", "/record/cross-out",
     "/record/lose?subject=K7QF4-Z", "/correct/999", "/correct/x", "/correct/99999999999999999999", "/cross-out/999",
     "/handbook/nothing", "/a/b/c", "/find?code=", "/find", "/static/nothing.css"],
)  # fmt: skip
def test_what_is_not_there_is_said_in_a_sentence(bench: Bench, path: str) -> None:
    answer = bench.reader.get(path)
    assert answer.status == 404
    assert "Traceback" not in answer.text
    assert len(answer.text) > 20


def test_a_fault_of_ours_has_a_number_and_no_traceback(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        msg = "secret"
        raise RuntimeError(msg)

    monkeypatch.setattr("graftwright.web.pages.today.lines_of_the_day", broken)
    answer = bench.reader.get("/")
    assert answer.status == 500
    assert "Something went wrong on our side" in answer.text
    assert re.search(r"give them this number: [0-9A-F]{8}\b", answer.text)
    assert "secret" not in answer.html


def test_a_book_that_somebody_else_writes_in_is_read_and_says_so_when_written(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("graftwright.adapters.database.open.WAIT_SECONDS", 0.1)
    reader, path = reader_of(bench.path), f"/record/note?subject={shown(bench.season.batch)}"
    with bench.book.notebook.writing():
        assert reader.get("/").status == 200
        answer = reader.fill(path, note="smells of mould")
        assert answer.status == 503
        assert "Another program is writing in this notebook" in answer.text
        assert answer.page.values["note"] == "smells of mould"
    assert reader.fill_again(answer).status == 303


def test_kept_aside_tells_what_why_and_by_whom(bench: Bench) -> None:
    page = bench.reader.get("/aside")
    assert f"Lost in bag {shown(bench.season.bags[0])}: 5 mould" in page.text
    assert f"{shown(bench.season.batch)} has 2 there, not 5." in page.text
    assert "Piet Alder · arrived" in page.text


def test_the_handbook_shows_each_figure_with_its_source(bench: Bench) -> None:
    listed = bench.reader.get("/handbook")
    assert "/handbook/hypocotyl-closed-bag" in listed.html
    sheet = bench.reader.get("/handbook/hypocotyl-closed-bag")
    assert "half are there, at the best warmth, after (Castanea) 10 days" in sheet.text
    cited = {source.cited for source in load_handbook().sources.values()}
    assert sum(" ".join(words.split()) in sheet.text for words in cited) >= 5
    species = bench.reader.get("/handbook/castanea")
    assert "stops below 10 °C" in species.text


def test_every_kind_of_entry_stands_once_in_the_list(bench: Bench) -> None:
    listed = [name for _, names in GROUPS for name in names]
    assert sorted(listed) == sorted(KINDS.keys() - {"cross-out", "plan"})
    html = bench.reader.get("/record").html
    assert all(f'href="/record/{name}"' in html for name in listed)


def test_of_a_subject_only_what_can_be_about_it_is_offered(bench: Bench) -> None:
    html = bench.reader.get(f"/record?subject={shown(bench.season.nuts)}").html
    assert f"/record/chill?subject={shown(bench.season.nuts)}" in html
    assert "/record/pot" not in html
