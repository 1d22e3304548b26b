"""Where Chromium is on this machine, and how it is started for tests."""

from __future__ import annotations

import os
import shutil

import pytest

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
