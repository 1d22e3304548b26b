"""`plan size`, as scripts and people meet it."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from graftwright.cli.main import run

USUAL = [
    "plan",
    "size",
    "--want",
    "50",
    "--sure",
    "0.9",
    "--stage",
    "sprouted=0.8@20",
    "--stage",
    "take=0.75@20",
]


def test_scripts_get_start_chance_below_and_stages(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(USUAL, json=True) == 0
    answer = json.loads(capsys.readouterr().out)
    assert list(answer) == ["start", "chance", "below", "stages"]
    assert answer["below"] < 0.9 <= answer["chance"]
    assert [list(stage) for stage in answer["stages"]] == [["name", "expected", "low", "high"]] * 2
    assert [stage["name"] for stage in answer["stages"]] == ["sprouted", "take"]
    assert answer["stages"][0]["expected"] == pytest.approx(0.8 * answer["start"])


def test_people_get_three_numbers_and_the_wanted_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "size", "--want", "3", "--sure", "0.95", "--stage", "take=0.5"], json=False) == 0
    # Least n with P(Bin(n, 1/2) >= 3) at the level: 1/2 at 5, 219/256 at 8, 466/512 at 9, 968/1024 and
    # 1981/2048 at 10 and 11. Of 11, P(X <= 3) is 232/2048 and P(X <= 8) is 1981/2048, P(X <= 7) 1816/2048.
    assert capsys.readouterr().out.splitlines() == [
        "To have 3 at the end, start",
        "  even chance           5",
        "  8 in 10               8",
        "  9 in 10               9",
        "  0.95 sure            11",
        "",
        "Of 11 started, expect (8 in 10 seasons between)",
        "  take        5.5   3 to 8",
    ]


def test_a_level_out_of_reach_is_said_in_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "size", "--want", "1", "--sure", "0.5", "--stage", "take=0.1@1"], json=False) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[3] == "  9 in 10      no number is enough"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--stage", "take=ten"], "The stage 'take=ten' cannot be read."),
        (["--stage", "0.5@20"], "The stage '0.5@20' cannot be read."),
        (["--stage", "take=0.5@"], "The stage 'take=0.5@' cannot be read."),
        (["--stage", "=0.5"], "The stage '=0.5' cannot be read."),
    ],
)
def test_a_stage_that_cannot_be_read(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "size", "--want", "3", *words], json=True) == 12
    said = capsys.readouterr()
    remedy = "Write it as in sprouted=0.8@20, or sprouted=0.8."
    assert json.loads(said.out)["error"] == {"code": "value", "sentence": sentence, "where": "", "do": remedy}
    assert said.err == f"{sentence} {remedy}\n"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--want", "10", "--sure", "0.99", "--stage", "take=0.1@1"], 14),
        (["--want", "-3", "--stage", "take=0.5"], 12),
        (["--want", "3", "--sure", "1", "--stage", "take=0.5"], 12),
        (["--want", "3", "--stage", "take=0"], 12),
        (["--want", "3"], 2),
        (["--stage", "take=0.5"], 2),
        (["--want", "2.5", "--stage", "take=0.5"], 2),
    ],
)
def test_exit_codes(words: list[str], code: int) -> None:
    assert run(["plan", "size", *words], json=False) == code


def test_nothing_heavy_is_imported() -> None:
    """The answer comes in a few times the bare interpreter's start only without numerical libraries."""
    script = (
        "import sys; from graftwright.cli.main import run; run(sys.argv[1:], json=False);"
        "sys.exit(any(name in sys.modules for name in ('numpy', 'scipy', 'sqlalchemy', 'statistics')))"
    )
    done = subprocess.run([sys.executable, "-c", script, *USUAL], capture_output=True, check=False)
    assert done.returncode == 0
