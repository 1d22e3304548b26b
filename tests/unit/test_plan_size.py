"""`plan size`, as scripts and people meet it."""

from __future__ import annotations

import json
import math
import subprocess
import sys

import numpy as np
import pytest

from graftwright.actions.chain import chain
from graftwright.actions.size_needs import method, needs
from graftwright.cli.main import run
from graftwright.science.sizing import chance
from wish_texts import handbook

SHEET = ["plan", "size", "--want", "12", "--sheet", "hypocotyl-closed-bag", "--species", "Castanea"]
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
        "",
        "All batches are taken to share one season, which slightly overstates the risk.",
        "Nuts, sticks, bags, litres and hours stand in sheets: give --sheet and --species instead of --stage.",
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
        (["--want", "3", "--sheet", "hypocotyl-closed-bag"], 2),
        (["--want", "3", "--species", "Castanea"], 2),
        (["--want", "3", "--stage", "take=0.5", "--experience", "some"], 2),
        (["--want", "3", "--stage", "take=0.5", "--sheet", "plain", "--species", "Castanea"], 2),
    ],
)
def test_exit_codes(words: list[str], code: int) -> None:
    assert run(["plan", "size", *words], json=False) == code


@pytest.mark.parametrize("words", [USUAL, SHEET], ids=["stages", "sheet"])
def test_nothing_heavy_is_imported(words: list[str]) -> None:
    """The answer comes in a few times the bare interpreter's start only without numerical libraries."""
    script = (
        "import sys; from graftwright.cli.main import run; run(sys.argv[1:], json=False);"
        "sys.exit(any(name in sys.modules for name in ('numpy', 'scipy', 'sqlalchemy', 'statistics')))"
    )
    done = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=False)
    assert done.returncode == 0


def test_a_sheet_says_what_the_number_takes(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*SHEET, "--experience", "some"], json=True) == 0
    answer = json.loads(capsys.readouterr().out)
    needs, start = answer["needs"], answer["start"]
    # The chain and the amounts for each graft, copied by hand from the sheet's text.
    shares = {
        "callusing": 0.60,
        "swollen": 0.95,
        "leafing": 0.95,
        "weaning": 0.82,
        "potted": 0.88,
        "settled": 0.96,
    }
    assert answer["stages"][0]["expected"] == pytest.approx(0.60 * start)
    potted = start * shares["callusing"] * shares["swollen"] * shares["leafing"] * shares["weaning"]
    hardened = potted * shares["potted"] * shares["settled"]
    assert needs["bag"] == math.ceil(start / 2)
    assert needs["tie"] == start
    assert needs["label"] == math.ceil(start + potted)
    assert needs["pot"] == math.ceil(potted)
    assert needs["tree guard"] == math.ceil(hardened)
    assert needs["medium, litres"] == round(0.3 * start, 1)
    assert needs["potting mix, litres"] == round(1.9 * potted, 1)
    assert needs["sticks"] == math.ceil(start / 5)


def test_the_hours_are_those_of_the_work_in_the_sheet() -> None:
    by = method(handbook(), "hypocotyl-closed-bag", "Castanea", "practised")
    needed = needs(100, by)
    alive = 100 * np.cumprod([1, 0.75, 0.97, 0.97, 0.90, 0.93, 0.98])
    # Minutes by hand: checks every 3, 3, 2, 1, 4 and 2 days on stages of 10, 5, 2, 9, 14 and 14 days.
    grafting = 100 * 3 + alive[0] / 2 * 3 + alive[1] / 2 * 1 + alive[2] / 2 * 1 + alive[3] / 2 * 9
    potting = alive[4] * (6 + 0.5 * 3 + 0.5 * 2) + alive[5] * 1 + alive[6] * (0.5 * 7 + 20)
    # 85 days in the cold looked at every 14, then 14 days in the warmth every 3 days and once at the bench
    nuts = needed["nuts"] * (0.1 + 0.05 * 6 + 0.2 * 5) + 10
    assert needed["hours"] == pytest.approx((grafting + potting + nuts) / 60, abs=0.06)


def test_nuts_are_enough_nine_times_in_ten() -> None:
    by = method(handbook(), "hypocotyl-closed-bag", "Castanea", "some")
    nuts = int(needs(50, by)["nuts"])
    seed = chain(handbook().species["Castanea"].seed_stages, "Castanea", "some")
    assert chance(50, nuts - 1, seed) < 0.9 <= chance(50, nuts, seed)


def test_each_number_has_its_column_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*SHEET, "--sure", "0.7", "--buds-per-stick", "7"], json=False) == 0
    lines = capsys.readouterr().out.splitlines()
    starts = [int(line.split()[-1].replace(",", "")) for line in lines[1:5]]
    assert lines[6].split("  ")[0] == "That takes"
    named = {line[2:24].strip(): line[24:].split() for line in lines[7:18]}
    assert named["ties"] == [f"{n:,}" for n in starts]
    assert named["sticks"] == [f"{math.ceil(n / 7):,}" for n in starts]
    assert set(named) >= {"nuts", "bags", "pots", "labels", "medium, litres", "potting mix, litres", "hours"}
    assert "Taken: 7 usable buds on a stick and 1 bud on a scion;" in "\n".join(lines)
    assert sum("share one season" in line for line in lines) == 1
    assert max(map(len, lines)) <= 100


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--sheet", "hypocotyl-closed-bog", "--species", "Castanea"],
         "There is no sheet 'hypocotyl-closed-bog'. Did you mean 'hypocotyl-closed-bag'?"),
        (["--sheet", "hypocotyl-closed-bag", "--species", "Castania"],
         "The handbook knows nothing of 'Castania'. Did you mean 'Castanea'?"),
        (["--sheet", "plain", "--species", "Castanea"],
         ("Untried: nobody has said what share of Castanea grafts pass the stage 'grafted', so there are checks but no "
          "windows. Choose another sheet, or give the shares yourself with --stage.")),
        (["--sheet", "hypocotyl-closed-bag", "--species", "Castanea", "--buds-per-stick", "0"],
         "A stick cannot have 0 buds. Give a number from 1 to 100."),
    ],
)  # fmt: skip
def test_what_a_sheet_cannot_answer(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", "size", "--want", "3", *words], json=False) == 12
    assert capsys.readouterr().err == f"{sentence}\n"
