"""Each page in a real browser, on a phone and on a laptop: reachable, readable, one thumb wide."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe

from graftwright.web.look import STATIC, environment
from web import form_samples, samples

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page, Route

pytestmark = pytest.mark.browser

PAGES = samples.PAGES | form_samples.PAGES
HOST = "http://bench.test"
PHONE, LAPTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
KINDS = {".css": "text/css", ".svg": "image/svg+xml"}
ENVIRONMENT = environment()

TOO_SMALL = """() => [...document.querySelectorAll('a, button, summary, select, textarea, input')]
    .filter(e => e.type !== 'hidden').filter(e => e.checkVisibility() && !e.classList.contains('skip'))
    .map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect().height])
    .filter(([, height]) => height < 47.99)"""
WIDTH = "() => document.documentElement.scrollWidth"


def answer(route: Route) -> None:
    """Serve samples and the style sheet; anything else must not have been asked for."""
    path = route.request.url.removeprefix(HOST)
    if path.startswith("/static/"):
        file = STATIC / path.removeprefix("/static/")
        route.fulfill(body=file.read_bytes(), content_type=KINDS[file.suffix])
    elif path[1:] in PAGES:
        template, frame, page = PAGES[path[1:]]
        html = ENVIRONMENT.get_template(template).render(frame=frame, page=page)
        route.fulfill(body=html, content_type="text/html; charset=utf-8")
    else:
        route.abort()


@pytest.fixture(scope="module")
def tab(chromium: Browser) -> Iterator[Page]:
    page = chromium.new_page(viewport=PHONE)
    page.route("**/*", answer)
    yield page
    page.close()


def grave(tab: Page) -> list[str]:
    """Return what axe calls serious or critical, with where it stands."""
    found = Axe().run(tab).response["violations"]
    return [
        f"{one['id']}: {node['target']}"
        for one in found
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
    ]


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_a_page_can_be_used_by_anyone(tab: Page, name: str, size: dict[str, int]) -> None:
    tab.set_viewport_size(size)
    tab.goto(f"{HOST}/{name}")
    assert grave(tab) == []
    assert tab.evaluate(TOO_SMALL) == []
    assert tab.evaluate(WIDTH) <= size["width"]


@pytest.mark.parametrize("name", PAGES)
def test_folds_open_to_the_same_care_and_narrow_phones_need_no_sideways_scroll(tab: Page, name: str) -> None:
    """WCAG 2.2, 1.4.10: no scrolling in two directions at 320 CSS pixels."""
    tab.set_viewport_size({"width": 320, "height": 640})
    tab.goto(f"{HOST}/{name}")
    tab.evaluate("() => document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    assert tab.evaluate(WIDTH) <= 320
    assert tab.evaluate(TOO_SMALL) == []


@pytest.mark.parametrize("name", ["today", "batch", "check-gap", "record-wrong", "sheet"])
def test_red_light_reads_as_well_as_paper(tab: Page, name: str) -> None:
    tab.set_viewport_size(PHONE)
    tab.emulate_media(color_scheme="dark")
    tab.goto(f"{HOST}/{name}")
    assert grave(tab) == []
    tab.emulate_media(color_scheme="light")


@pytest.mark.parametrize("name", ["today", "batch", "sheet"])
def test_on_paper_it_is_ink_and_nothing_is_cut_off(tab: Page, name: str) -> None:
    tab.set_viewport_size({"width": 720, "height": 1000})
    tab.emulate_media(media="print")
    tab.goto(f"{HOST}/{name}")
    assert grave(tab) == []
    assert tab.evaluate(WIDTH) <= 720
    assert not tab.locator(".tabs, .foot, .acts").filter(visible=True).count()
    tab.emulate_media(media="screen")


def test_the_season_prints_on_one_sheet_of_paper(tab: Page) -> None:
    tab.emulate_media(media="print")
    tab.goto(f"{HOST}/season")
    printed = tab.pdf(prefer_css_page_size=True)
    tab.emulate_media(media="screen")
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1


def test_a_page_asks_for_two_things_beside_itself(tab: Page) -> None:
    asked: list[str] = []
    tab.on("request", lambda request: asked.append(request.url))
    tab.goto(f"{HOST}/batch")
    assert set(asked) <= {f"{HOST}/batch", f"{HOST}/static/book.css", f"{HOST}/static/mark.svg"}


def test_the_keyboard_skips_to_the_page_and_finds_the_code_box(tab: Page) -> None:
    tab.set_viewport_size(PHONE)
    tab.goto(f"{HOST}/today")
    tab.keyboard.press("Tab")
    assert tab.evaluate("document.activeElement.getBoundingClientRect().left") == 0
    tab.keyboard.press("Enter")
    assert tab.evaluate("document.activeElement.id") == "page"
    tab.get_by_role("link", name="Find code").press("Enter")
    assert tab.evaluate("document.activeElement.id") == "find-code"


def test_what_has_the_focus_is_never_under_the_tabs(tab: Page) -> None:
    """WCAG 2.2, 2.4.11: the focused control is not hidden by the bar at the foot."""
    tab.set_viewport_size(PHONE)
    tab.goto(f"{HOST}/check-bag")
    bar = tab.evaluate("document.querySelector('.tabs').getBoundingClientRect().top")
    for _ in range(40):
        tab.keyboard.press("Tab")
        where = tab.evaluate(
            "() => { const e = document.activeElement, r = e.getBoundingClientRect();"
            " return [r.top, r.bottom, e.closest('.tabs') !== null || e === document.body] }"
        )
        assert where[2] or (where[0] >= 0 and where[1] <= bar + 1), where


def test_a_tap_on_a_number_chooses_it(tab: Page) -> None:
    tab.goto(f"{HOST}/check-bag")
    tab.get_by_role("radiogroup", name="buds swollen").get_by_role("radio", name="2").check()
    assert tab.evaluate("new FormData(document.querySelector('form.spread')).get('buds-swollen')") == "2"
