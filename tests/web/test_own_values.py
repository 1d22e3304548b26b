"""Own values on the pages of the handbook: yours beside theirs, set and taken back in plain forms."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from graftwright import bootstrap
from web.bench import tell

if TYPE_CHECKING:
    from web.bench import Answer
    from web.conftest import Bench

SHEET = "/handbook/hypocotyl-closed-bag"
PACE = "callusing.for.Castanea.pace.days_at_optimum"
FORM = f"{SHEET}/own?path={PACE}"


def use(bench: Bench, path: str, **values: str) -> Answer:
    return bench.reader.follow(bench.reader.fill(path, **values))


def test_every_figure_leads_to_its_form(bench: Bench) -> None:
    for sheet in (SHEET, "/handbook/plain", "/handbook/castanea"):
        found = [given["href"] for tag, given in bench.reader.get(sheet).page.tags
                 if tag == "a" and "/own?path=" in given.get("href", "")]  # fmt: skip
        assert len(found) == len(set(found)) > 0
        assert bench.reader.get(found[0]).status == 200
        assert bench.reader.get(found[-1]).status == 200


def test_a_value_is_set_and_stands_beside_the_handbook_s(bench: Bench) -> None:
    form = bench.reader.get(FORM)
    assert "The handbook says 10 days." in form.text
    assert form.page.values["value"] == ""
    page = use(bench, FORM, value="11,5 days", scope="three batches")
    assert "Written down as entry" in page.text
    assert "10 days yours: 11.5 days (three batches)" in page.text
    assert "Common practice." in page.text
    assert bootstrap.prove(bench.book, windows=True).problems == ()


def test_a_value_is_changed_and_taken_back(bench: Bench) -> None:
    use(bench, FORM, value="11.5", scope="three batches")
    form = bench.reader.get(FORM)
    assert (form.page.values["value"], form.page.values["scope"]) == ("11.5", "three batches")
    assert "The handbook says 10 days." in form.text
    assert "yours: 12 days" in use(bench, FORM, value="12").text
    page = use(bench, FORM, back="yes")
    assert "yours:" not in page.text
    assert "the handbook's callusing.for.Castanea.pace.days_at_optimum again" in page.text


def test_a_span_and_a_share_come_back_as_they_are_typed(bench: Bench) -> None:
    span = f"{SHEET}/own?path=callusing.for.Castanea.keep.temperature"
    assert "such as 21 to 24" in bench.reader.get(span).text
    use(bench, span, value="20-23 C")
    assert bench.reader.get(span).page.values["value"] == "20 to 23"
    share = f"{SHEET}/own?path=callusing.for.Castanea.survival.some.mean"
    assert "yours: 72 in 100" in use(bench, share, value="72 %").text


def test_a_genus_has_values_too(bench: Bench) -> None:
    page = use(bench, "/handbook/castanea/own?path=response.callus.optimum", value="24")
    assert "23 °C yours: 24 °C" in page.text


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("soon", "Look again: 'days_at_optimum' must be a number."),
        ("", "This is not one value of your own."),
        ("-3", "it must lie between 0.1 and 3660 d."),
        ("9 weeks", "Look again: The unit here is d, not 'weeks'. Convert the numbers to d."),
    ],
)
def test_what_the_handbook_could_not_hold_comes_back(bench: Bench, value: str, says: str) -> None:
    before = bench.entries
    answer = bench.reader.fill(FORM, value=value, scope="a bench")
    assert answer.status == 422
    assert says in answer.text
    assert answer.page.values["value"] == value
    assert answer.page.values["scope"] == "a bench"
    assert bench.entries == before


@pytest.mark.parametrize(
    "path",
    [f"{SHEET}/own", f"{SHEET}/own?path=nowhere.days", f"/handbook/nothing/own?path={PACE}",
     "/handbook/nothing/done", "/handbook/castanea/done"],
)  # fmt: skip
def test_there_is_no_form_for_what_is_not_there(bench: Bench, path: str) -> None:
    assert bench.reader.get(path).status == 404


@pytest.mark.parametrize(
    ("done", "says"), [("0", "first time"), ("12", "some practice"), ("50", "practised")]
)
def test_the_sheet_asks_how_many_are_done(bench: Bench, done: str, says: str) -> None:
    sheet = bench.reader.get(SHEET)
    assert "How many of these have you done?" in sheet.text
    assert "Until you say, plans count with what comes through when somebody does it" in sheet.text
    page = use(bench, SHEET, done=done)
    assert f"You said: {says}." in page.text


@pytest.mark.parametrize("done", ["", "-1", "many", "1.5", "1234567"])
def test_no_number_of_grafts_comes_back(bench: Bench, done: str) -> None:
    before = bench.entries
    answer = bench.reader.fill(SHEET, done=done)
    assert answer.status == 422
    assert "is no number of grafts. Type 0, 12 or however many it were." in answer.text
    assert answer.page.action == f"{SHEET}/done"
    assert bench.entries == before


def test_an_own_value_is_corrected_on_its_own_form(bench: Bench) -> None:
    told = tell(bench.book, "adopt", of="hypocotyl-closed-bag", path=PACE, value="11.5")
    form = bench.reader.get(f"/correct/{told.number}")
    assert form.page.values["path"] == PACE
    page = bench.reader.follow(bench.reader.fill_again(form, value="12.5"))
    assert "yours: 12.5 days" in page.text


def test_a_value_for_a_path_that_the_sheet_lacks_is_shown_as_yours(bench: Bench) -> None:
    path = "callusing.for.Castanea.survival.some.between_seasons"
    tell(bench.book, "adopt", of="hypocotyl-closed-bag", path=path, value="0.1", scope="five seasons")
    page = bench.reader.get(SHEET)
    assert "Own records." in page.text
    assert "The handbook says nothing." in bench.reader.get(f"{SHEET}/own?path={path}").text
