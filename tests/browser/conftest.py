"""A real Chromium with an empty profile."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.chromium import FLAGS, chromium_path

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    path = chromium_path()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()
