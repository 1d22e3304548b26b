"""A grower's own folder and own values: they join the handbook's and never hide them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from graftwright.errors import ContentComplaint
from graftwright.handbook import (
    Origin,
    OwnValue,
    check_handbook,
    load_handbook,
    overlay,
    parse_sheet,
    parse_species,
)
from handbook_texts import SHEET, SPECIES, spoil

if TYPE_CHECKING:
    from pathlib import Path

PACE = "callusing.for.Castanea.pace.days_at_optimum"
MEAN = "grafted.for.Malus.survival.some.mean"
VALUES = f"""\
[[value]]
of = "hypocotyl-closed-bag"
path = "{PACE}"
value = 11.5
scope = "46 grafts in three batches"
note = "the cold corner of the room"

[[value]]
of = "Castanea"
path = "response.callus.optimum"
value = 24
scope = "two winters"
"""


def test_both_are_kept_theirs_and_yours(tmp_path: Path) -> None:
    (tmp_path / "values.toml").write_text(VALUES)
    theirs, yours = load_handbook(), load_handbook([tmp_path])
    sheet = yours.sheets["hypocotyl-closed-bag"]
    assert sheet.theirs == {PACE: theirs.sheets["hypocotyl-closed-bag"].shown[PACE]}
    assert (sheet.theirs[PACE].value, sheet.shown[PACE].value) == (10, 11.5)
    assert sheet.shown[PACE].origin == Origin(
        "own records", "own", "46 grafts in three batches", note="the cold corner of the room"
    )
    found = sheet.stage("callusing").figures("Castanea")
    assert found is not None
    assert found.pace is not None
    assert (found.pace.days, found.pace.origin.grade) == (11.5, "own")
    assert yours.species["Castanea"].responses["callus"].optimum == 24
    assert yours.species["Castanea"].theirs["response.callus.optimum"].value == 23


def test_what_is_not_own_stays_as_it_was() -> None:
    theirs = parse_sheet(SHEET, "s")
    yours = overlay(theirs, [OwnValue(MEAN, 0.7, "20 grafts")])
    assert {path for path in theirs.shown if theirs.shown[path] != yours.shown[path]} == {MEAN}
    assert list(theirs.shown) == list(yours.shown)
    assert (yours.text, yours.where) == (theirs.text, theirs.where)


def test_later_own_values_go_over_earlier_ones_and_theirs_stays_the_handbooks() -> None:
    once = overlay(parse_sheet(SHEET, "s"), [OwnValue(MEAN, 0.7, "20 grafts")])
    twice = overlay(once, [OwnValue(MEAN, 0.75, "60 grafts")])
    assert (twice.shown[MEAN].value, twice.theirs[MEAN].value) == (0.75, 0.8)
    assert [own.value for own in twice.own] == [0.7, 0.75]


def test_no_own_values_change_nothing() -> None:
    theirs = parse_species(SPECIES, "a")
    assert overlay(theirs, []) == theirs


def test_an_own_value_may_stand_where_the_handbook_has_none() -> None:
    path = "grafted.for.Malus.survival.some.between_seasons"
    yours = overlay(parse_sheet(SHEET, "s"), [OwnValue(path, 0.1, "five seasons")])
    assert (yours.shown[path].value, path in yours.theirs) == (0.1, False)
    found = yours.stage("grafted").figures("Malus")
    assert found is not None
    assert found.survival is not None
    assert found.survival.some.rho == pytest.approx(0.01 / 0.16)


def test_own_records_may_tell_the_survival_of_a_new_genus() -> None:
    sheet = parse_sheet(spoil(SHEET, ('["Malus"]', '["Malus", "Pyrus"]')), "s")
    own = [
        OwnValue(f"grafted.for.Pyrus.survival.{name}.{key}", value, "30 grafts")
        for name in ("first_time", "some", "practised")
        for key, value in (("mean", 0.5), ("worth", 30), ("between_seasons", 0.1))
    ]
    found = overlay(sheet, own).stage("grafted").figures("Pyrus")
    assert found is not None
    assert found.survival is not None
    assert found.survival.some.worth == 30


def test_rows_are_reached_by_their_number() -> None:
    yours = overlay(parse_sheet(SHEET, "s"), [OwnValue("grafted.work.1.minutes", 4, "by the clock")])
    assert yours.stage("grafted").work[0].minutes == 4


@pytest.mark.parametrize(
    ("own", "sentence"),
    [
        (
            OwnValue("grafted.for.Malus.survival.some.meen", 0.7, "x", where="v.toml, line 1"),
            (
                "'small' has no value 'grafted.for.Malus.survival.some.meen'. (v.toml, line 1) Did you mean "
                "'grafted.for.Malus.survival.some.mean'?"
            ),
        ),
        (
            OwnValue("grafted.work.2.minutes", 4, "x", where="v.toml, line 1"),
            "'small' has no value 'grafted.work.2.minutes'. (v.toml, line 1) Did you mean 'grafted.work.1.minutes'?",
        ),
        (
            OwnValue(MEAN, 1.7, "x", where="v.toml, line 1"),
            "'mean' is 1.7; it must lie between 0.001 and 0.999. (v.toml, line 1) Check the number and its unit.",
        ),
        (
            OwnValue(MEAN, "most", "x", where="v.toml, line 1"),
            "'mean' must be a number. (v.toml, line 1) Write it so.",
        ),
        (
            OwnValue("grafted.for.Malus.survival.practised.between_seasons", 0.25, "x"),
            (
                "'between_seasons' 0.25 is too much for a mean of 0.9: its square is 0.69 of the largest variance such "
                "a share can have, and must stay under 0.5. (s with own values) Lower it."
            ),
        ),
    ],
)
def test_an_own_value_that_cannot_be(own: OwnValue, sentence: str) -> None:
    with pytest.raises(ContentComplaint) as raised:
        overlay(parse_sheet(SHEET, "s"), [own])
    assert str(raised.value) == sentence


def test_an_own_folder_may_hold_a_whole_handbook_and_lean_on_ours(tmp_path: Path) -> None:
    for folder in ("sheets", "species"):
        (tmp_path / folder).mkdir()
    text = spoil(SHEET, ("{ days = 7 }", '{ days = 7, source = "diary", grade = "measured", scope = "us" }'))
    (tmp_path / "sheets" / "small.toml").write_text(
        spoil(text, ("version = 1", 'version = 1\ncaution = ["blades", "cold-hands"]'))
    )
    (tmp_path / "species" / "morus.toml").write_text(spoil(SPECIES, ('genus = "Malus"', 'genus = "Morus"')))
    (tmp_path / "sources.toml").write_text(
        '[[source]]\nkey = "diary"\nabout = "us"\nwhere = "the shelf"\nseen = "whole"\n'
    )
    (tmp_path / "cautions.toml").write_text(
        '[[caution]]\nkey = "cold-hands"\ntitle = "Cold"\nsays = "Gloves."\n'
    )
    handbook = load_handbook([tmp_path])
    assert set(handbook.sheets) == {"small", *load_handbook().sheets}
    assert set(handbook.species) == {"Morus", *load_handbook().species}
    assert handbook.sources["diary"].cited == "the shelf. About: us."


def test_several_folders_the_later_goes_over_the_earlier(tmp_path: Path) -> None:
    for name, value in (("a", "11.5"), ("b", "12.5")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "values.toml").write_text(VALUES.replace("11.5", value))
    sheet = load_handbook([tmp_path / "a", tmp_path / "b"]).sheets["hypocotyl-closed-bag"]
    assert (sheet.shown[PACE].value, sheet.theirs[PACE].value) == (12.5, 10)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            ('of = "Castanea"', 'of = "Castenea"'),
            "There is no sheet or genus 'Castenea'. (own/values.toml, line 8) Did you mean 'Castanea'?",
        ),
        (
            ('path = "response.callus.optimum"', 'path = "response.callus.best"'),
            (
                "'Castanea' has no value 'response.callus.best'. (own/values.toml, line 8) "
                "Did you mean 'response.callus.base'?"
            ),
        ),
        (
            ('scope = "two winters"\n', ""),
            "The key 'scope' is missing in an own value. (own/values.toml, line 8) Add it.",
        ),
        (
            ("value = 24", "value = 33"),
            (
                "In the callus response the optimum (33 °C) is not below the ceiling (32 °C). "
                "(handbook/species/castanea.toml with own values) Base, optimum and ceiling must ascend."
            ),
        ),
    ],
)
def test_own_values_that_are_not_in_order(tmp_path: Path, change: tuple[str, str], sentence: str) -> None:
    (tmp_path / "values.toml").write_text(spoil(VALUES, change))
    _, troubles = check_handbook([tmp_path])
    assert [str(one).replace(str(tmp_path), "own") for one in troubles] == [sentence]
