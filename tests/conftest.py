"""What all tests share: fixed dates, an isolated command line, seeds, and no silent browser skips."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from datetime import date
from typing import TYPE_CHECKING, Protocol

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from collections.abc import Generator, Iterator, Mapping
    from pathlib import Path

    Finished = subprocess.CompletedProcess[str]

settings.register_profile("quick", derandomize=True, deadline=None)
settings.register_profile("long", derandomize=False, deadline=None, print_blob=True)
settings.load_profile("quick")  # `make test-long` asks for the other one


class CommandLine(Protocol):
    """Runs `graftwright` with these words, and with a home and a data folder of its own."""

    def __call__(self, *words: str, typed: str = "", env: Mapping[str, str] | None = None) -> Finished: ...


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    hidden = report.skipped and not hasattr(report, "wasxfail") and item.get_closest_marker("browser")
    if hidden and os.environ.get("CI"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, and CI must not pass without the browser."
    return report


@pytest.fixture
def day() -> date:
    """Return one Sunday in mid-season, so that no test asks the machine for its date."""
    return date(2027, 4, 18)


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Put this process into a zone with daylight saving: 28 March and 31 October 2027 change the clock."""
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        assert time.tzname == ("CET", "CEST"), "the machine's time zone files are missing"
        yield
    time.tzset()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Return an empty home folder."""
    folder = tmp_path / "home"
    folder.mkdir()
    return folder


@pytest.fixture
def cli(home: Path) -> CommandLine:
    """Return the command line as a person has it: its own process, and nothing from this machine's home."""
    kept = {name: os.environ[name] for name in ("PATH", "PYTHONPATH", "TZ") if name in os.environ}
    own = {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "PYTHONUTF8": "1"}
    start = [sys.executable, "-c", "from graftwright.cli.main import main; main()"]

    def run(*words: str, typed: str = "", env: Mapping[str, str] | None = None) -> Finished:
        return subprocess.run(
            [*start, *words],
            input=typed,
            env=kept | own | dict(env or {}),
            cwd=home,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )

    return run
