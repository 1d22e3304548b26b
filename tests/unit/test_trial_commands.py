"""`trial size`, `lay-out` and `answer` as scripts and people meet them."""

from __future__ import annotations

import csv
import json
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from pathlib import Path

    from conftest import CommandLine


def value_of(cli: CommandLine, *words: str) -> Any:
    done = cli(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def written(folder: Path, *lines: str) -> str:
    path = folder / "trial.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(path)


def test_size_answers_the_contract(cli: CommandLine) -> None:
    found = value_of(
        cli, "trial", "size", "--usual", "0.65", "--better", "0.85", "--power", "0.8", "--alpha", "0.05"
    )
    assert found["per_arm"] == 74
    assert found["power"] >= 0.8
    assert found["size"] <= 0.05
    assert (found["test"], found["design_effect"]) == ("boschloo", 1.0)


def test_size_of_bags(cli: CommandLine) -> None:
    words = ("trial", "size", "--usual", "0.3", "--better", "0.8", "--per-bag", "2", "--alike", "0.3")
    found = value_of(cli, *words, "--layout", "within")
    assert (found["test"], found["design_effect"]) == ("block-cmh", 0.7)
    line = cli(*words, "--layout", "within").stdout
    assert line.startswith(f"{found['per_arm']} grafts in each arm show 80% against 30% with ")


WRONG = [
    (
        ("--usual", "1.2", "--better", "0.8"),
        12,
        "The usual rate is a share between 0 and 1, not 1.2. Write 65 % as 0.65.",
    ),
    (
        ("--usual", "0.8", "--better", "0.8"),
        12,
        "Both rates are 0.8, so there is no difference to find. Say the smallest lead that matters.",
    ),
    (
        ("--usual", "0.8", "--better", "0.81"),
        14,
        (
            "More than 1200 grafts an arm would be needed to see so small a lead. "
            "Look for a larger lead, or settle for less power."
        ),
    ),
    (
        ("--usual", "0.3", "--better", "0.8", "--layout", "bags"),
        12,
        (
            "The layout bags needs the grafts in a bag and how alike bag-mates are. "
            "Add --per-bag 2 --alike 0.2, with your own figures."
        ),
    ),
    (
        ("--usual", "0.3", "--better", "0.8", "--layout", "within", "--per-bag", "1", "--alike", "0.2"),
        12,
        "A bag of 1 is too small for this layout. It takes at least 2 grafts a bag.",
    ),
    (
        ("--usual", "0.3", "--better", "0.8", "--layout", "within", "--per-bag", "2", "--alike", "1"),
        12,
        (
            "How alike bag-mates are is a number from 0 to below 1, not 1. "
            "0 is not at all alike; 0.1 to 0.4 is usual where grafts share a bag."
        ),
    ),
]


@pytest.mark.parametrize(("words", "code", "sentence"), WRONG)
def test_what_cannot_be_sized_is_said(
    cli: CommandLine, words: tuple[str, ...], code: int, sentence: str
) -> None:
    done = cli("trial", "size", *words)
    assert (done.returncode, done.stderr.strip()) == (code, sentence)


def test_a_layout_goes_to_a_file_and_comes_again(cli: CommandLine, home: Path) -> None:
    words = ("trial", "lay-out", "--arms", "dry, moist", "--blocks", "6", "--unit", "bag", "--seed", "11")
    found = value_of(cli, *words, "--to", "layout.csv")
    assert value_of(cli, *words) == found
    assert (found["unit"], found["arms"], found["seed"]) == ("bag", ["dry", "moist"], 11)
    with (home / "layout.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["arm"] for row in rows] == [unit["arm"] for unit in found["units"]]
    assert list(rows[0]) == ["bag", "block", "place", "arm", "made", "taken"]
    assert cli(*words).stdout.splitlines()[-1] == "Seed 11 makes this layout again."


@pytest.mark.parametrize(
    ("arms", "blocks", "why"),
    [
        ("A", "3", "A trial compares at least two arms."),
        ("A,A", "3", "Every arm needs a name of its own."),
        ("A,B", "0", "A trial needs at least one block with at least one unit of each arm."),
    ],
)
def test_what_cannot_be_laid_out_is_said(cli: CommandLine, arms: str, blocks: str, why: str) -> None:
    done = cli("trial", "lay-out", "--arms", arms, "--blocks", blocks, "--seed", "1")
    assert done.returncode == 12
    assert done.stderr.strip() == f"{why} Give at least two arms, each named once, and at least one block."


def test_a_layout_that_cannot_be_written_is_said(cli: CommandLine) -> None:
    words = (
        "trial",
        "lay-out",
        "--arms",
        "A,B",
        "--blocks",
        "1",
        "--seed",
        "1",
        "--to",
        "nowhere/layout.csv",
    )
    done = cli(*words)
    assert done.returncode == 10
    assert (
        done.stderr.strip()
        == "The file nowhere/layout.csv cannot be written. Name a folder that is there and yours."
    )


READ = ("--arm", "arm", "--taken", "took", "--made", "made")


def test_grafts_apart_are_read_by_boschloos_test(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "arm,took,made", "A,3,4", "A,4,4", "B,1,4", "B,1,4")
    found = value_of(cli, "trial", "answer", table, *READ)
    assert found["layout"] == "apart"
    assert [(arm["arm"], arm["taken"], arm["made"]) for arm in found["arms"]] == [("A", 7, 8), ("B", 2, 8)]
    pair = found["comparisons"][0]
    assert pair["test"] == "boschloo"
    assert pair["p"] == pytest.approx(0.0213, abs=5e-5)
    assert pair["low"] < pair["lead"] == 0.625 < pair["high"]
    assert cli("trial", "answer", table, *READ).stdout.splitlines()[0] == (
        "A is better than B, by 62% (p 0.021, boschloo)."
    )


def test_whole_bags_and_shared_bags_are_told_apart(cli: CommandLine, tmp_path: Path) -> None:
    whole = written(tmp_path, "bag,arm,took,made", *(f"{n},{'AB'[n % 2]},{2 - n % 2},2" for n in range(8)))
    found = value_of(cli, "trial", "answer", whole, *READ, "--bag", "bag")
    # all eight bags part the arms: 2 of the 70 ways to give four bags to an arm are so far apart
    assert (found["layout"], found["comparisons"][0]["test"]) == ("bags", "bag-permutation")
    assert found["comparisons"][0]["p"] == pytest.approx(2 / 70)
    shared = written(
        tmp_path, "bag,arm,took,made", *(f"{n // 2},{'AB'[n % 2]},{1 - n % 2},1" for n in range(12))
    )
    found = value_of(cli, "trial", "answer", shared, *READ, "--bag", "bag")
    # six pairs that all differ the same way: 2 of 64
    assert (found["layout"], found["comparisons"][0]["test"]) == ("within", "block-cmh")
    assert found["comparisons"][0]["p"] == pytest.approx(2 / 64)
    assert found["comparisons"][0]["odds_ratio"] is None


def test_mixed_bags_and_one_arm_are_refused(cli: CommandLine, tmp_path: Path) -> None:
    mixed = written(tmp_path, "bag,arm,took,made", "1,A,1,2", "2,A,1,1", "2,B,1,1")
    done = cli("trial", "answer", mixed, *READ, "--bag", "bag")
    assert done.stderr.strip() == (
        "Bag 1 holds one arm and bag 2 holds both, and no one test fits both layouts. Read the two kinds of bags apart."
    )
    lone = written(tmp_path, "arm,took,made", "A,1,2", "B,0,0")
    done = cli("trial", "answer", lone, *READ)
    assert done.stderr.strip() == (
        "Only one arm has grafts, so there is nothing to compare. Name the column of arms."
    )


def test_before_the_planned_number_nothing_is_compared(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "arm,took,made", "A,8,8", "B,0,6")
    found = value_of(cli, "trial", "answer", table, *READ, "--planned", "8")
    assert (found["finished"], found["comparisons"]) == (False, [])
    assert found["notes"] == [
        (
            "B has 6 of the 8 planned grafts. Looking before the end and stopping when it looks good raises false "
            "alarms, so nothing is compared yet."
        )
    ]
    assert value_of(cli, "trial", "answer", table, *READ, "--planned", "6")["finished"] is True


def test_three_arms_are_compared_two_by_two(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "arm,took,made", "A,9,10", "B,2,10", "C,5,10")
    pairs = value_of(cli, "trial", "answer", table, *READ)["comparisons"]
    assert [(pair["first"], pair["second"]) for pair in pairs] == [("A", "B"), ("A", "C"), ("B", "C")]
    assert pairs[0]["p_all"] == pytest.approx(3 * pairs[0]["p"])
    assert all(pair["p_all"] >= pair["p"] for pair in pairs)
