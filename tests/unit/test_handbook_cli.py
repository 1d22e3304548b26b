"""`graftwright handbook` as people and scripts meet it."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

import pytest

from graftwright.handbook import load_handbook
from handbook_texts import SHEET, spoil

if TYPE_CHECKING:
    from pathlib import Path

    from conftest import CommandLine

OWN = """\
[[value]]
of = "hypocotyl-closed-bag"
path = "leafing.act_within.days"
value = 2
scope = "three benches"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with one own value and one own sheet."""
    own = tmp_path / "own"
    (own / "sheets").mkdir(parents=True)
    (own / "values.toml").write_text(OWN)
    (own / "sheets" / "small.toml").write_text(SHEET)
    return own


def test_the_list_says_what_each_sheet_can_do(cli: CommandLine) -> None:
    done = cli("handbook", "list")
    assert (done.returncode, done.stderr) == (0, "")
    rows = [re.split(r"\s{2,}", row) for row in done.stdout.splitlines()]
    assert rows == [
        ["bench-whip", "Bench whip-and-tongue on a bare-root stock (plans for Malus)"],
        ["chip-bud", "Chip bud, summer (plans for Malus)"],
        ["cleft-bark-limb", "Cleft or bark graft on a standing tree (records only)"],
        ["hot-callus", "Hot-callused bench graft (plans for Juglans)"],
        ["hypocotyl-closed-bag", "Hypocotyl graft on a sprouted nut, closed bag (plans for Castanea)"],
        ["patch-bud-limb", "Patch bud on a standing tree (plans for Juglans)"],
        ["plain", "Plain graft, any method (records only)"],
        ["stone-graft", "Stone graft on a young mango (plans for Mangifera)"],
        ["Aesculus", "horse-chestnut (poisonous; looks like chestnut)"],
        ["Asimina", "pawpaw"],
        ["Carya", "hickory and pecan"],
        ["Castanea", "chestnut"],
        ["Corylus", "hazel"],
        ["Diospyros", "persimmon"],
        ["Juglans", "walnut"],
        ["Malus", "apple"],
        ["Mangifera", "mango"],
        ["Prunus", "stone fruit"],
        ["Pyrus", "pear"],
        ["Quercus", "oak"],
    ]


def test_the_list_for_scripts(cli: CommandLine, folder: Path) -> None:
    found = json.loads(cli("handbook", "list", "--own", str(folder), "--json").stdout)
    assert [(one["key"], one["plans_for"], one["own_values"]) for one in found["sheets"]] == [
        ("bench-whip", ["Malus"], 0),
        ("chip-bud", ["Malus"], 0),
        ("cleft-bark-limb", [], 0),
        ("hot-callus", ["Juglans"], 0),
        ("hypocotyl-closed-bag", ["Castanea"], 1),
        ("patch-bud-limb", ["Juglans"], 0),
        ("plain", [], 0),
        ("stone-graft", ["Mangifera"], 0),
        ("small", [], 0),
    ]
    assert {"genus": "Castanea", "common": "chestnut", "version": 1} in found["species"]
    assert len(found["species"]) == 12


@pytest.mark.parametrize("key", sorted([*load_handbook().sheets, *load_handbook().species]))
def test_every_figure_is_shown_with_grade_and_source_within_a_hundred_columns(
    cli: CommandLine, key: str
) -> None:
    page = json.loads(cli("handbook", "show", key, "--json").stdout)
    done = cli("handbook", "show", key)
    lines = done.stdout.splitlines()
    assert done.returncode == 0
    assert max(map(len, lines)) <= 100
    figures = [value for section in page["sections"] for value in section["values"]]
    endings = [line.rstrip() for line in lines]
    for figure in figures:
        ending = f"{figure['grade']:9} {figure['source']}"
        assert any(line.endswith(ending) for line in endings), figure["path"]
    shown = [line for line in endings if re.search(r" (measured|review|practice|memory|assumed) +\S", line)]
    assert len(shown) == len(figures)


def test_a_page_ends_with_sources_and_cautions(cli: CommandLine) -> None:
    text = " ".join(cli("handbook", "show", "hypocotyl-closed-bag").stdout.split())
    assert (
        "A closed bag in the sun cooks its grafts. Keep closed bags and propagators out of sunlight" in text
    )
    assert "Duman & Serdar. 2006. Hort. Sci. (Prague) 33:16-22." in text
    assert "Pritchard" not in text  # cited by the species alone


def test_what_is_doubtful_is_marked(cli: CommandLine) -> None:
    text = cli("handbook", "show", "Castanea").stdout
    assert re.search(r"\? about 45 to 60 % at shed.*\n.*doubtful: shown, feeds no plan", text)
    assert text.count("?") == 1


def test_theirs_stands_beside_yours(cli: CommandLine, folder: Path) -> None:
    lines = cli("handbook", "show", "hypocotyl-closed-bag", "--own", str(folder)).stdout.splitlines()
    at = next(number for number, line in enumerate(lines) if "(yours)" in line)
    assert [line.split() for line in lines[at : at + 3]] == [
        ["act", "within", "(yours)", "2", "d", "own", "own", "records"],
        ["act", "within", "(theirs)", "3", "d", "practice", "common", "practice"],
        ["three", "benches"],
    ]


def test_a_sheet_nobody_has(cli: CommandLine) -> None:
    done = cli("handbook", "show", "plian", "--json")
    assert done.returncode == 12
    assert json.loads(done.stdout)["error"] == {
        "code": "value",
        "sentence": "There is no sheet 'plian'.",
        "where": "",
        "do": "Did you mean 'plain'?",
    }


def test_all_in_order(cli: CommandLine, folder: Path) -> None:
    done = cli("handbook", "check", str(folder), "--json")
    counts = json.loads(done.stdout)
    assert done.returncode == 0
    assert (counts["sheets"], counts["species"], counts["own_values"]) == (9, 12, 1)
    said = cli("handbook", "check").stdout
    assert re.fullmatch(
        r"In order: 8 sheets, 12 species, \d+ sources, \d+ cautions, \d+ figures, 0 own values\.\n", said
    )


@pytest.mark.parametrize(
    ("typed", "line", "sentence", "do"),
    [
        (
            'ends = "by you"\nended_by = "stor"',
            13,
            "'stor' is no step.",
            "Did you mean 'store'?",
        ),
        (
            'ends = "by you"\nended_by = "unwarp"',
            13,
            "'unwarp' is no step.",
            "Did you mean 'unwrap'?",
        ),
        (
            'ends = "by you"\nended_by = "headback"',
            13,
            "'headback' is no step.",
            "Did you mean 'head-back'?",
        ),
    ],
)
def test_a_step_spelled_wrong_in_ones_own_sheet(
    cli: CommandLine, folder: Path, typed: str, line: int, sentence: str, do: str
) -> None:
    (folder / "sheets" / "small.toml").write_text(spoil(SHEET, ('ends = "by growth"', typed)))
    said = cli("handbook", "check", str(folder)).stderr.rstrip()
    assert said == f"{sentence} ({folder}/sheets/small.toml, line {line - 1}) {do}"


def test_the_second_temperature_spelled_wrong_in_ones_own_sheet(cli: CommandLine, folder: Path) -> None:
    keep = "[stage.for.Malus.keep]\nrset = [2, 10]\n\n[stage.for.Malus.pace]"
    text = spoil(SHEET, ("[stage.for.Malus.pace]", keep))
    (folder / "sheets" / "small.toml").write_text(text)
    line = text.splitlines().index("rset = [2, 10]") + 1
    said = cli("handbook", "check", str(folder)).stderr.rstrip()
    assert said == (
        f"There is no key 'rset' in what to keep. ({folder}/sheets/small.toml, line {line}) "
        "Did you mean 'rest'?"
    )


def test_one_thing_wrong_is_one_line_with_file_line_and_nearest_key(cli: CommandLine, folder: Path) -> None:
    (folder / "sheets" / "small.toml").write_text(spoil(SHEET, ("check_every =", "chek_every =")))
    done = cli("handbook", "check", str(folder))
    assert (done.returncode, done.stdout) == (11, "")
    assert done.stderr == (
        f"There is no key 'chek_every' in a stage. ({folder}/sheets/small.toml, line 15) "
        "Did you mean 'check_every'?\n"
    )


def test_several_things_wrong_are_all_said(cli: CommandLine, folder: Path) -> None:
    (folder / "sheets" / "small.toml").write_text(SHEET.replace("mean = 0.6", "mean = 6").replace("0.8", "8"))
    done = cli("handbook", "check", "--own", str(folder), "--json")
    error = json.loads(done.stdout)["error"]
    assert done.returncode == 11
    assert (error["code"], error["sentence"]) == ("content", "2 things are wrong in the handbook.")
    assert [problem["where"].split(", ")[1] for problem in error["problems"]] == ["line 30", "line 31"]
    assert done.stderr.count("\n") == 3


def test_a_folder_that_is_not_there(cli: CommandLine, tmp_path: Path) -> None:
    done = cli("handbook", "check", str(tmp_path / "none"))
    assert done.returncode == 10
    assert done.stderr == f"There is no folder of this name. ({tmp_path / 'none'}) Check the spelling.\n"
