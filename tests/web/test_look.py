"""Every page, made from invented values: whole, readable by machines that read aloud, and self-contained."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

import pytest
from jinja2 import StrictUndefined, UndefinedError
from starlette.requests import Request

from graftwright.web.look import HOME, environment, templates
from graftwright.web.parts import Field, Form, Subject
from web import form_samples, samples

PAGES = samples.PAGES | form_samples.PAGES
PAGES_OF = templates()

# words of book-keeping and of programmers that no grower meets (job.md keeps them off the pages)
FOREIGN = re.compile(
    r"\b(account|posting|balance|submit|entity|void|struck?|user|database)s?\b", re.IGNORECASE
)


@dataclass
class Seen(HTMLParser):
    """What a page holds, as far as the tests ask."""

    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    text: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        self.text.append(data)

    def of(self, *names: str) -> list[dict[str, str]]:
        return [attrs for tag, attrs in self.tags if tag in names]

    def ids(self) -> list[str]:
        return [attrs["id"] for _, attrs in self.tags if "id" in attrs]


def made(name: str) -> str:
    template, frame, page = PAGES[name]
    request = Request({"type": "http", "method": "GET", "path": "/", "headers": []})
    answer = PAGES_OF.TemplateResponse(request, template, {"frame": frame, "page": page})
    return bytes(answer.body).decode()


def seen(html: str) -> Seen:
    page = Seen()
    page.feed(html)
    return page


@pytest.fixture(scope="module", params=PAGES)
def page(request: pytest.FixtureRequest) -> Seen:
    return seen(made(request.param))


def test_every_template_has_a_sample() -> None:
    shown = {template for template, _, _ in PAGES.values()} | {"base.html", "macros.html"}
    assert shown == {path.name for path in (HOME / "templates").iterdir()}


def test_one_heading_names_the_page(page: Seen) -> None:
    assert len(page.of("h1")) == 1
    assert page.of("html") == [{"lang": "en"}]
    assert len(page.of("title")) >= 1


def test_every_question_has_its_words(page: Seen) -> None:
    labelled = {attrs["for"] for attrs in page.of("label")}
    asked = [a for a in page.of("input", "select", "textarea") if a.get("type") != "hidden"]
    assert asked
    assert {attrs["id"] for attrs in asked} == labelled


def test_names_are_given_once_and_references_lead_somewhere(page: Seen) -> None:
    ids = page.ids()
    assert len(ids) == len(set(ids))
    named = [
        part
        for _, attrs in page.tags
        for key in ("aria-describedby", "aria-labelledby", "for")
        for part in attrs.get(key, "").split()
    ]
    inside = [attrs["href"][1:] for attrs in page.of("a") if attrs["href"].startswith("#")]
    assert {*named, *inside} <= set(ids)


def test_nothing_runs_and_nothing_comes_from_elsewhere(page: Seen) -> None:
    assert not page.of("script", "iframe", "object", "embed", "img")
    for _, attrs in page.tags:
        assert not [name for name in attrs if name.startswith("on") or name == "style"]
        for key in ("href", "src", "action"):
            assert re.match(r"^(/(?!/)|#|$)", attrs.get(key, ""))


def test_every_form_that_writes_carries_its_entry_id(page: Seen) -> None:
    writing = [attrs for attrs in page.of("form") if attrs["method"] == "post"]
    hidden = [attrs for attrs in page.of("input") if attrs.get("name") == "entry_id"]
    assert len(hidden) == len(writing)
    assert all(attrs["value"] == form_samples.ENTRY for attrs in hidden)


def test_pages_speak_the_words_of_growers(page: Seen) -> None:
    assert not FOREIGN.findall(" ".join(page.text))


def test_the_demo_says_so_on_every_page_and_no_other_book_does() -> None:
    for name, (_, frame, _) in PAGES.items():
        assert ("DEMO" in made(name)) == frame.demo


def test_the_count_of_what_was_kept_aside_stands_on_its_tab() -> None:
    template, frame, page = PAGES["today-empty"]
    render = environment().get_template(template).render
    shown = {n: render(frame=replace(frame, aside=n), page=page) for n in (0, 7)}
    assert '<b class="how-many">7</b>' in shown[7]
    assert "how-many" not in shown[0]


def test_an_error_stands_beside_its_question_and_is_read_with_it() -> None:
    html = made("record-wrong")
    count = next(a for a in seen(html).of("input") if a["name"] == "count")
    assert count["aria-describedby"] == "count-error"
    assert count["aria-invalid"] == "true"
    assert '<p class="error" id="count-error"><b>Look again:</b> Only 10 are growing' in html


def test_a_check_asks_once_about_the_missing_ones() -> None:
    assert "What about the other 2?" in made("check-gap")
    assert [a["value"] for a in seen(made("check-gap")).of("input") if a["name"] == "gap"] == [
        "not looked at",
        "dead",
        "miscounted",
    ]
    assert 'name="gap"' not in made("check-bag")


def test_few_are_tapped_and_many_are_typed() -> None:
    assert [option.value for option in Field.counting("n", "n", 3).options] == ["0", "1", "2", "3"]
    assert Field.counting("n", "n", 3).value == "0"
    many = Field.counting("n", "n", 4)
    assert (many.kind, many.least, many.most, many.options) == ("number", 0, 4, ())


def test_what_people_wrote_is_shown_and_never_obeyed() -> None:
    wicked = Subject("K7QF4-Z", "<script>x</script>", '"><b onclick=x>')
    page = replace(samples.BATCH_FULL, subject=wicked)
    html = environment().get_template("batch.html").render(frame=samples.DEMO, page=page)
    assert "<script" not in html
    assert "<b onclick" not in html
    form = Form("/x", "id", "Go", "/", (Field("a", "<i>", "text", '"><script>', "<u>", "<s>"),))
    record = replace(form_samples.RECORD_PLAIN, form=form)
    html = environment().get_template("record.html").render(frame=samples.DEMO, page=record)
    assert not re.search("<(script|i|u|s)>", html)


def test_wicked_words_in_a_ribbon_stay_words() -> None:
    wicked = replace(samples.RIBBON, title="</title><script>x</script>", key='"><script>')
    page = replace(samples.BATCH_FULL, ribbons=(wicked,))
    html = environment().get_template("batch.html").render(frame=samples.DEMO, page=page)
    assert "<script" not in html


def test_a_missing_value_is_a_fault_and_never_a_hole() -> None:
    assert environment().undefined is StrictUndefined
    with pytest.raises(UndefinedError):
        environment().get_template("today.html").render(frame=samples.DEMO)
