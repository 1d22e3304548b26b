from __future__ import annotations

import json

import pytest

from graftwright.cli.main import run

TOO_WET = (
    "The medium holds 70 % water already, more than the 60 % wanted. Mix in drier medium, or let it dry."
)
TWICE = (
    "Say how strong the mixture shall be, in per cent or in parts of water. Give either --want or --parts."
)


@pytest.fixture
def asked(capsys: pytest.CaptureFixture[str]):
    def ask(*words: str) -> dict:
        assert run(["mix", *words], json=True) == 0
        return json.loads(capsys.readouterr().out)

    return ask


def test_water_is_counted_on_the_wet_mass(asked) -> None:
    """200 % on the dry mass is 66.7 % on the wet: a kilogram of dry peat takes two of water."""
    value = asked("water", "--medium", "1", "--now", "0", "--want", str(200 / 3))
    assert value["water_kg"] == pytest.approx(2.0)
    assert value["water_l"] == pytest.approx(2.0)
    assert value["mass_kg"] == pytest.approx(3.0)
    assert asked("water", "--medium", "5", "--now", "60", "--want", "60")["water_kg"] == 0


def test_wet_medium_is_cautioned(asked) -> None:
    words = ["water", "--medium", "1", "--now", "50", "--want"]
    assert "80 % is wet for a union: wet medium costs takes." in asked(*words, "80")["notes"]
    assert len(asked(*words, "75")["notes"]) == 1


def test_household_bleach_one_to_nine(asked) -> None:
    """1 + 9 is the 10 % of extension leaflets on pruning tools; 0.5 % active from a 5 % bottle."""
    by_strength = asked("dilute", "--bottle", "5", "--want", "0.5", "--total", "2", "--agent", "bleach")
    by_parts = asked("dilute", "--bottle", "5", "--parts", "9", "--total", "2", "--agent", "bleach")
    for value in (by_strength, by_parts):
        assert value["stock_l"] == pytest.approx(0.2)
        assert value["water_l"] == pytest.approx(1.8)
        assert value["parts_water"] == pytest.approx(9)
        assert value["active_pct"] == pytest.approx(0.5)
        assert "Never mix bleach with acids, ammonia or alcohol: poisonous gas." in value["cautions"]


@pytest.mark.parametrize(
    ("want", "warned"), [(59.9, True), (60, False), (70, False), (80, False), (80.1, True)]
)
def test_alcohol_outside_60_to_80_warns(want: float, warned: bool, asked) -> None:
    value = asked("dilute", "--bottle", "96", "--want", str(want), "--total", "1", "--agent", "alcohol")
    assert any("does not disinfect reliably" in line for line in value["cautions"]) == warned
    assert "Alcohol burns: no flame or heater near, and let blades dry before cutting." in value["cautions"]
    assert value["stock_l"] * 96 == pytest.approx(want)


@pytest.mark.parametrize("agent", ["bleach", "alcohol", "other"])
def test_the_label_is_always_named(agent: str, asked) -> None:
    value = asked("dilute", "--bottle", "90", "--want", "70", "--total", "1", "--agent", agent)
    assert value["cautions"][-1].startswith("Use it as its label and your country allow;")


def test_light_of_a_day(asked) -> None:
    """100 µmol for 16 hours are 5.76 mol, from the definition 0.0036."""
    assert asked("light", "--ppfd", "100", "--hours", "16")["dli_mol_m2_day"] == pytest.approx(5.76)
    assert asked("light", "--ppfd", "0", "--hours", "24")["dli_mol_m2_day"] == 0


def test_pots_from_a_bag(asked) -> None:
    assert asked("pots", "--mix", "70", "--pot", "2") == {"pots": 35, "left_l": 0}
    value = asked("pots", "--mix", "70", "--pot", "1.9", "--settling", "15")
    assert value["pots"] == 31
    assert value["left_l"] == pytest.approx(70 - 31 * 1.9 / 0.85)
    assert asked("pots", "--mix", "0.3", "--pot", "0.1")["pots"] == 3
    assert asked("pots", "--mix", "1", "--pot", "2")["pots"] == 0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            ["water", "--medium", "1", "--now", "70", "--want", "60"],
            TOO_WET,
        ),
        (
            ["water", "--medium", "1", "--now", "70", "--want", "100"],
            "The water content wanted must be between 0 and 99.9 %, not 100. Correct the number or its unit.",
        ),
        (
            ["dilute", "--bottle", "5", "--want", "6", "--total", "1", "--agent", "bleach"],
            "Water cannot make 6 % out of 5 %. Take a stronger stock or want less.",
        ),
        (
            ["dilute", "--bottle", "5", "--total", "1", "--agent", "bleach"],
            TWICE,
        ),
        (
            ["light", "--ppfd", "100", "--hours", "25"],
            "The hours of light must be between 0 and 24 h, not 25. Correct the number or its unit.",
        ),
        (
            ["pots", "--mix", "10", "--pot", "0"],
            "The volume of a pot must be between 0.001 and 10000 l, not 0. Correct the number or its unit.",
        ),
    ],
)
def test_refuses_the_impossible(words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["mix", *words], json=False) == 12
    assert capsys.readouterr().err == f"{sentence}\n"


def test_bleach_asks_for_the_strength_on_the_bottle(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["mix", "dilute", "--parts", "9", "--total", "1", "--agent", "bleach"], json=False) == 2
    assert "--bottle" in capsys.readouterr().err


def test_lines_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    run(["mix", "dilute", "--bottle", "5", "--parts", "9", "--total", "1", "--agent", "bleach"], json=False)
    shown = capsys.readouterr().out.splitlines()
    assert shown[0] == "0.1 l from the bottle, water to make 1 l (1 + 9): 0.5 % active."
    assert len(shown) == 5
