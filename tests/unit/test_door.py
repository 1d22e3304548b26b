"""The door of the command line: exit codes, one sentence, and one JSON value where it is asked for."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from graftwright import __version__

if TYPE_CHECKING:
    from pathlib import Path

    from conftest import CommandLine


def test_the_version_is_that_of_the_package(cli: CommandLine) -> None:
    done = cli("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"graftwright, version {__version__}\n", "")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["grfat"], "No such command 'grfat'. See: graftwright --help\n"),
        (["--nope"], "No such option '--nope'. Did you mean '--notebook'? See: graftwright --help\n"),
        (["--notebook"], "Option '--notebook' requires an argument. See: graftwright --help\n"),
    ],
)
def test_wrong_use_is_one_sentence_and_exit_code_2(cli: CommandLine, words: list[str], sentence: str) -> None:
    done = cli(*words)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", sentence)


def test_with_json_the_trouble_is_one_value_and_the_sentence_goes_to_standard_error(cli: CommandLine) -> None:
    done = cli("grfat", "--json")
    error = {
        "code": "use",
        "sentence": "No such command 'grfat'.",
        "where": "",
        "do": "See: graftwright --help",
    }
    assert (done.returncode, json.loads(done.stdout)) == (2, {"error": error})
    assert done.stderr == "No such command 'grfat'. See: graftwright --help\n"


def test_asking_for_what_is_not_there_writes_nothing(cli: CommandLine, home: Path) -> None:
    cli("grfat")
    cli("--version")
    assert list(home.iterdir()) == []
