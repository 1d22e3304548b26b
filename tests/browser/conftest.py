"""A real Chromium with an empty profile, and pages served to it without any network."""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def chromium_path() -> str:
    """Return where Chromium is; without one the tests are skipped, and in CI that is a failure."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found:
        return found
    notice = "No Chromium was found on this machine: the pages were not tried in a browser."
    if os.environ.get("CI"):
        pytest.fail(notice)
    pytest.skip(notice)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    path = chromium_path()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()
