"""The generated pages of the manual say what the program says today."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import click
import pytest

from graftwright.cli.main import COMMANDS, graftwright
from house import ROOT

if TYPE_CHECKING:
    from pathlib import Path

SCRIPTS = sorted((ROOT / "docs").glob("make_*.py"))


def check(script: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, script, "--check"], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("script", SCRIPTS, ids=[script.stem for script in SCRIPTS])
def test_a_generated_page_is_fresh(script: Path) -> None:
    done = check(script)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_stale_page_and_a_missing_page_are_named(tmp_path: Path) -> None:
    for name in ("_generated.py", "make_commands.py"):
        (tmp_path / name).write_text((ROOT / "docs" / name).read_text(encoding="utf-8"))
    sentence = "docs/reference/commands.md is stale: run make docs.\n"
    assert check(tmp_path / "make_commands.py").stderr == sentence
    (tmp_path / "reference").mkdir()
    (tmp_path / "reference" / "commands.md").write_text("# Commands\n")
    assert check(tmp_path / "make_commands.py").stderr == sentence


def test_every_command_stands_in_the_manual() -> None:
    page = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
    headings = [line.removeprefix("## graftwright ") for line in page.splitlines() if line.startswith("## ")]
    assert set(COMMANDS) <= set(headings)


def test_every_command_and_every_option_says_what_it_is_for() -> None:
    ctx = click.Context(graftwright)
    commands = {name: graftwright.get_command(ctx, name) for name in COMMANDS}
    assert [name for name, (_, line) in COMMANDS.items() if not line.strip()] == []
    assert [name for name, command in commands.items() if not (command and command.help)] == []
    silent = [
        (name, option.name)
        for name, command in commands.items()
        for option in _options(command)
        if not option.help
    ]
    assert silent == []


def _options(command: click.Command | None) -> list[click.Option]:
    inner = list(command.commands.values()) if isinstance(command, click.Group) else []
    own = [param for param in command.params if isinstance(param, click.Option)] if command else []
    return own + [option for each in inner for option in _options(each)]
