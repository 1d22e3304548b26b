"""A grower's day in a real browser, scripts off, on a phone by touch and on a laptop by keyboard alone."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from contextlib import nullcontext
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
import uvicorn

from browser.test_pages_look import TOO_SMALL, WIDTH, grave
from graftwright import bootstrap, settings
from graftwright.ledger.codes import shown
from graftwright.web.app import make_app
from web.bench import NOON, Season, make_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Locator, Page

pytestmark = pytest.mark.browser

PHONE, LAPTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
MOST_BYTES, MOST_REQUESTS = 150_000, 3


@dataclass(frozen=True)
class Served:
    """The season, served on a port of its own."""

    home: str
    season: Season


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Season]:
    path = tmp_path_factory.mktemp("season") / "season.graftwright"
    return path, make_season(path)


@pytest.fixture
def served(written: tuple[Path, Season], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("TZ", "Europe/Paris")
    path = tmp_path / "bench.graftwright"
    shutil.copy(written[0], path)
    app = make_app(bootstrap.open_book(path), lambda: NOON)
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.02)
        yield Served(f"http://127.0.0.1:{door.getsockname()[1]}", written[1])
        server.should_exit = True
        thread.join(10)


class Hand:
    """Uses what is on a page: by touch, or by keyboard alone."""

    def __init__(self, tab: Page, *, touch: bool) -> None:
        self.tab, self.touch = tab, touch

    def use(self, what: Locator) -> None:
        """Tap a link, a button or a choice, or reach it by the keyboard and press it."""
        leads_on = what.evaluate("e => e.matches('a, button')")
        with self.tab.expect_navigation() if leads_on else nullcontext():
            self._press(what)

    def _press(self, what: Locator) -> None:
        if self.touch:
            what.scroll_into_view_if_needed()
            what.tap()
            return
        self.reach(what)
        radio = what.evaluate("e => e.matches('input[type=radio], input[type=checkbox]')")
        self.tab.keyboard.press("Space" if radio else "Enter")

    def choose(self, group: str, value: str) -> None:
        """Choose one of a row of large taps."""
        radio = self.tab.get_by_role("radiogroup", name=group, exact=True).get_by_role(
            "radio", name=value, exact=True
        )
        if self.touch:
            radio.evaluate("e => e.scrollIntoView({block: 'center'})")
            radio.tap()
            return
        first = self.tab.get_by_role("radiogroup", name=group, exact=True).locator("input:checked")
        self.reach(first)
        for _ in range(8):
            if radio.is_checked():
                return
            self.tab.keyboard.press("ArrowRight")

    def write(self, label: str, words: str) -> None:
        box = self.tab.get_by_label(label, exact=True)
        self.use(box) if self.touch else self.reach(box)
        self.tab.keyboard.press("Control+A")
        self.tab.keyboard.type(words)

    def reach(self, what: Locator) -> None:
        """Go forward with the tab key until it has the focus, in sight."""
        for _ in range(400):
            if what.evaluate("e => e === document.activeElement"):
                return
            self.tab.keyboard.press("Tab")
        pytest.fail(f"the keyboard never came to {what}")


@pytest.fixture(params=["phone", "laptop"])
def hand(request: pytest.FixtureRequest, chromium: Browser, served: Served) -> Iterator[Hand]:
    phone = request.param == "phone"
    context = chromium.new_context(
        viewport=PHONE if phone else LAPTOP, has_touch=phone, is_mobile=phone, java_script_enabled=False,
        base_url=served.home, service_workers="block",
    )  # fmt: skip
    tab = context.new_page()
    tab.set_default_timeout(8000)
    yield Hand(tab, touch=phone)
    context.close()


def late(tab: Page) -> str:
    pressing = tab.get_by_role("region", name="Will not wait")
    return pressing.inner_text() if pressing.count() else ""


def test_from_today_into_a_bag_look_lose_correct_cross_out_and_find(hand: Hand, served: Served) -> None:
    tab, bag = hand.tab, shown(served.season.bags[2])
    tab.goto("/")
    assert f"bag {bag}" in late(tab)
    hand.use(
        tab.get_by_role("region", name="Will not wait").get_by_role("link", name="Check", exact=True).last
    )
    assert bag in tab.inner_text("main")
    hand.choose("swollen", "2")
    hand.use(tab.get_by_role("button", name="Write the check"))
    assert "2 swollen" in tab.get_by_role("status").inner_text()
    hand.use(tab.get_by_role("link", name="Today", exact=True))
    assert f"bag {bag}" not in late(tab)

    tab.goto(f"/{bag}")
    hand.use(tab.get_by_role("link", name="Write something else"))
    hand.use(tab.get_by_role("link", name="Note", exact=True))
    hand.write("In your own words", "smells of mould")
    hand.use(tab.get_by_role("button", name="Write it down"))
    assert "Smells of mould" in tab.get_by_role("status").inner_text()

    tab.goto(f"/check/{bag}")
    hand.choose("swollen", "1")
    hand.choose("mould", "1")
    hand.use(tab.get_by_role("button", name="Write the check"))
    assert "dead: 1 mould" in tab.get_by_role("status").inner_text()
    hand.use(tab.locator(".history summary").first)
    hand.use(tab.locator(".history").get_by_role("link", name="Correct it").first)
    hand.choose("mould", "0")
    hand.choose("leafing", "1")
    hand.use(tab.get_by_role("button", name="Put it right"))
    assert "1 leafing · 1 swollen" in tab.get_by_role("status").inner_text()

    hand.use(tab.locator(".history summary").first)
    hand.use(tab.locator(".history").get_by_role("link", name="Cross it out").first)
    hand.write("Why", "that was another bag")
    hand.use(tab.get_by_role("button", name="Cross it out"))
    assert "Crossed out" in tab.get_by_role("status").inner_text()

    hand.write("Find a code", bag.lower().replace("-", ""))
    hand.use(tab.get_by_role("button", name="Find"))
    assert tab.url.endswith(f"/{bag}")
    assert "2 swollen" in tab.inner_text("main")


def test_the_first_five_minutes_by_hand(hand: Hand) -> None:
    tab = hand.tab
    tab.goto("/")
    hand.use(tab.get_by_role("link", name="Start my own book"))
    hand.use(tab.get_by_role("main").get_by_role("link", name="Start my own book"))
    hand.use(tab.get_by_role("button", name="Make it"))
    hand.use(tab.get_by_role("link", name="I have grafts standing here"))
    hand.write("How many are alive?", "12")
    hand.write("Which variety?", "Grey Marron")
    hand.use(tab.get_by_role("button", name="Write it down"))
    assert "Next: look at them today" in tab.get_by_role("status").inner_text()
    hand.use(
        tab.get_by_role("region", name="What you would do now").get_by_role("link", name="Check", exact=True)
    )
    hand.write("callusing", "9")
    hand.write("swollen", "3")
    hand.use(tab.get_by_role("button", name="Write the check"))
    assert "9 callusing · 3 swollen" in tab.get_by_role("status").inner_text()
    assert "DEMO" not in tab.inner_text("body")
    assert settings.own_notebook().exists()


def addresses(season: Season) -> list[str]:
    """One page of each sort."""
    bag, batch, plant, pears = (
        shown(code) for code in (season.bags[0], season.batch, season.plants[0], season.pears)
    )
    return [
        "/", "/record", "/aside", "/handbook/castanea", "/first/own", f"/{bag}?wrote=8", f"/{batch}", f"/{plant}",
        f"/check/{bag}", f"/check/{pears}", f"/record/lose?subject={batch}", "/record/graft", "/correct/8",
        "/cross-out/7", "/K7QF4-2", "/season", "/record/wish",
    ]  # fmt: skip


def every_address(season: Season) -> list[str]:
    bag, batch = shown(season.bags[0]), shown(season.batch)
    return [
        *addresses(season), "/first", "/handbook", "/handbook/hypocotyl-closed-bag", "/handbook/plain",
        f"/{shown(season.pears)}", f"/{shown(season.shelf)}", f"/{shown(season.nuts)}", f"/{shown(season.wood)}",
        "/named/oda-fenn", "/named/grey-marron", f"/check/{batch}", f"/record?subject={batch}", "/record/receive",
        "/record/describe", "/record/describe?what=variety", "/record/away", f"/record/pot?subject={bag}",
        "/record/lose", "/correct/5", f"/{batch}?behind=growing", f"/{batch}?all=yes", "/find?code=nobody",
    ]  # fmt: skip


def try_each(chromium: Browser, served: Served, paths: list[str], size: dict[str, int]) -> None:
    context = chromium.new_context(viewport=size, base_url=served.home)  # type: ignore[arg-type]
    tab = context.new_page()
    asked: list[str] = []
    tab.on("request", lambda request: asked.append(request.url))
    for path in paths:
        asked.clear()
        answer = tab.goto(path)
        assert answer is not None
        assert len(answer.body()) <= MOST_BYTES, path
        assert len(asked) <= 1 + MOST_REQUESTS, (path, asked)
        assert all(url.startswith(served.home) for url in asked)
        assert tab.evaluate(TOO_SMALL) == [], path
        assert tab.evaluate(WIDTH) <= size["width"], path
        assert grave(tab) == [], path
    context.close()


def test_each_sort_of_page_can_be_used_by_anyone_and_is_light(chromium: Browser, served: Served) -> None:
    try_each(chromium, served, addresses(served.season), PHONE)
    try_each(chromium, served, addresses(served.season)[:2], LAPTOP)


@pytest.mark.long
@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_every_page_can_be_used_by_anyone_and_is_light(
    chromium: Browser, served: Served, size: dict[str, int]
) -> None:
    try_each(chromium, served, every_address(served.season), size)
