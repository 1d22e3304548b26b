"""A missing browser is said plainly, and where everything must run it is a failure."""

from __future__ import annotations

import shutil

import pytest

from browser.chromium import chromium_path

NOTICE = "No Chromium was found on this machine: the pages were not tried in a browser."


def test_without_a_browser_the_pages_are_skipped_with_a_plain_notice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match=NOTICE):
        chromium_path()


def test_where_everything_must_run_a_missing_browser_is_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match=NOTICE):
        chromium_path()


def test_any_of_its_names_will_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: "found-chrome" if name == "google-chrome" else None)
    assert chromium_path() == "found-chrome"
