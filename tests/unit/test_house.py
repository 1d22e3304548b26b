"""Habits of the house that no other tool holds: sizes, pinned versions, clean files, one set of commands."""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
import tomllib
from contextlib import suppress
from datetime import datetime, timedelta
from importlib.metadata import PackageNotFoundError, distribution
from typing import TYPE_CHECKING

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from house import ROOT, SOURCES, Function, functions, imports, project_files, python_files

if TYPE_CHECKING:
    from pathlib import Path

MACHINE_PATH = re.compile(r"(?<![\w.~$}-])/(?:work|root|home|Users|tmp|opt|mnt|srv|private)/[\w.]")
INDEX_HOST = re.compile(
    r"pypi[.]|pythonhosted[.]|npmjs[.]|debian[.]org|index[-]url|find[-]links|trusted[-]host"
)


@pytest.fixture(scope="module")
def lengths() -> list[Function]:
    paths = python_files(SOURCES)
    return [each for path in paths for each in functions(_text(path), str(path.relative_to(ROOT)))]


def test_no_function_is_longer_than_sixty_lines(lengths: list[Function]) -> None:
    assert [each for each in lengths if each.lines > 60] == []


def test_nine_functions_in_ten_have_thirty_lines_or_fewer(lengths: list[Function]) -> None:
    long = [each for each in lengths if each.lines > 30]
    assert len(long) <= len(lengths) / 10, long


def test_half_of_the_functions_have_eight_lines_or_fewer(lengths: list[Function]) -> None:
    assert statistics.median(each.lines for each in lengths) <= 8


def test_no_module_is_longer_than_five_hundred_lines() -> None:
    sizes = {path.relative_to(ROOT): len(_text(path).splitlines()) for path in python_files()}
    assert {path: lines for path, lines in sizes.items() if lines > 500} == {}


def test_the_length_of_a_function_leaves_its_docstring_out() -> None:
    source = (
        'class C:\n    async def f(self):\n        """Say.\n\n        More.\n        """\n        return 1\n'
    )
    assert list(functions(source, "c.py")) == [Function("c.py:2 f", 2)]


@pytest.mark.parametrize("layer", ["ledger", "handbook", "actions"])
def test_these_layers_need_the_standard_library_alone(layer: str) -> None:
    found = {name for path in python_files(SOURCES / layer) for name in imports(_text(path))}
    assert found - sys.stdlib_module_names - {"graftwright"} == set()


def test_every_distribution_in_use_is_pinned_at_the_version_in_use() -> None:
    assert _in_use().items() <= _pinned().items()


def test_nothing_is_pinned_that_nobody_needs() -> None:
    assert _pinned().keys() - _in_use(anywhere=True).keys() == set()


def test_pins_name_versions_and_never_addresses() -> None:
    lines = [line for line in _text(ROOT / "constraints.txt").splitlines() if not line.startswith("#")]
    assert [line for line in lines if not re.fullmatch(r"[\w.-]+==[\w.+]+", line)] == []


def test_no_file_names_a_path_of_somebodys_machine_or_a_package_index() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for path, text in _texts()
        for number, line in enumerate(text.splitlines(), start=1)
        if MACHINE_PATH.search(line) or INDEX_HOST.search(line)
    ]
    assert found == []


@pytest.mark.parametrize("home", ["work", "root", "home", "Users", "tmp"])
def test_a_machine_path_is_recognised(home: str) -> None:
    assert MACHINE_PATH.search(f'open("/{home}/ada/notes.csv")')


@pytest.mark.parametrize("fine", ["#!/usr/bin/env bash", "https://example.org/home/ada", "docs/work/a.md"])
def test_an_address_or_a_relative_path_is_not_a_machine_path(fine: str) -> None:
    assert not MACHINE_PATH.search(fine)


def test_the_machine_that_checks_runs_the_commands_that_people_run() -> None:
    script = _text(ROOT / ".ci" / "run")
    assert re.findall(r"^(?:\w+=\S+ )?make (\S+) ", script, re.MULTILINE) == ["check", "test"]
    assert not re.search(r"\b(?:pytest|ruff|mypy|lint-imports|pip)\b", script)


def test_the_guide_for_contributors_lists_every_make_command() -> None:
    listed = re.findall(r"^\| `make ([a-z-]+)` \|", _text(ROOT / "CONTRIBUTING.md"), re.MULTILINE)
    command = ["make", "--no-print-directory", "help"]
    asked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert sorted(listed) == sorted(line.split()[0] for line in asked.splitlines())


@pytest.mark.parametrize(("ci", "exit_code"), [("", 0), ("true", 1)])
def test_a_browser_test_may_be_skipped_at_home_but_not_where_ci_checks(
    tmp_path: Path, ci: str, exit_code: int
) -> None:
    (tmp_path / "conftest.py").write_text(_text(ROOT / "tests" / "conftest.py"))
    (tmp_path / "pytest.ini").write_text("[pytest]\nmarkers = browser: needs Chromium\n")
    (tmp_path / "test_page.py").write_text(
        "import pytest\n@pytest.mark.browser\ndef test_page():\n    pytest.skip('no Chromium here')\n"
    )
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", str(tmp_path)]
    done = subprocess.run(command, env=os.environ | {"CI": ci}, capture_output=True, text=True, check=False)
    assert done.returncode == exit_code, done.stdout
    assert ("was skipped, and CI must not pass without the browser" in done.stdout) == bool(ci)


@pytest.mark.usefixtures("berlin")
def test_the_zone_with_daylight_saving_changes_the_clock_where_it_is_asked_for() -> None:
    noons = [datetime(2027, month, day, 12).astimezone() for month, day in ((3, 27), (3, 28), (10, 31))]
    assert [noon.utcoffset() for noon in noons] == [timedelta(hours=hours) for hours in (1, 2, 1)]


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _texts() -> list[tuple[Path, str]]:
    found = []
    for path in project_files():
        data = path.read_bytes()
        if b"\0" not in data:
            found.append((path, data.decode("utf-8")))
    return found


def _pinned() -> dict[str, str]:
    lines = [line for line in _text(ROOT / "constraints.txt").splitlines() if not line.startswith("#")]
    pairs = [line.split("==") for line in lines]
    return {canonicalize_name(name): version for name, version in pairs}


def _in_use(*, anywhere: bool = False) -> dict[str, str]:
    """Follow what the project requires through what is installed, here or on any system."""
    project = tomllib.loads(_text(ROOT / "pyproject.toml"))["project"]
    ahead = [Requirement(line) for line in project["dependencies"] + project["optional-dependencies"]["dev"]]
    versions: dict[str, str] = {}
    seen: set[str] = set()
    while ahead:
        wanted = ahead.pop()
        if str(wanted) in seen:
            continue
        seen.add(str(wanted))
        with suppress(PackageNotFoundError):  # needed on another system only
            found = distribution(wanted.name)
            versions[canonicalize_name(wanted.name)] = found.version
            needs = [Requirement(line) for line in found.requires or []]
            ahead += [need for need in needs if _applies(need, wanted.extras, anywhere=anywhere)]
    return versions


def _applies(need: Requirement, extras: set[str], *, anywhere: bool) -> bool:
    if need.marker is None:
        return True
    if anywhere:
        return "extra" not in str(need.marker) or any(f'"{extra}"' in str(need.marker) for extra in extras)
    return any(need.marker.evaluate({"extra": extra}) for extra in {"", *extras})
