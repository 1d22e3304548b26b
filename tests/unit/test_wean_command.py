from __future__ import annotations

import json
from itertools import pairwise

import pytest

from graftwright.actions.wean import ALWAYS
from graftwright.cli.main import run

NOTHING_WET = (
    "With neither leaves nor moist medium nothing in the bag gives off water. "
    "Give the area of the leaves or of the medium."
)
RATIO_1 = (
    "The ratio between two steps must be above 1, not 1. Take 1.5 for a gentle way and 2 for a quick one."
)
USUAL = {
    "--bag": "200x300",
    "--leaves": "4",
    "--medium-area": "80",
    "--room-temperature": "22",
    "--room-humidity": "50",
    "--hole": "5",
}


def words(**changes: str | None) -> list[str]:
    options = USUAL | {f"--{name.replace('_', '-')}": value for name, value in changes.items()}  # type: ignore[operator]
    return ["wean", *(word for pair in options.items() if pair[1] is not None for word in pair)]


def answer(capsys: pytest.CaptureFixture[str], **changes: str | None) -> dict:
    assert run(words(**changes), json=True) == 0
    return json.loads(capsys.readouterr().out)


def complaint(capsys: pytest.CaptureFixture[str], **changes: str | None) -> str:
    assert run(words(**changes), json=False) == 12
    out, err = capsys.readouterr()
    assert out == ""
    return err


def test_answers_with_the_fields_scripts_rely_on(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys)
    fields = {
        "start",
        "hours",
        "opening",
        "humidity_pct",
        "low",
        "high",
        "vpd_kpa",
        "water_g_per_day",
        "sign",
    }
    assert all(fields <= set(step) for step in value["steps"])
    assert set(value["largest_jump"]) == {"step", "ratio"}
    starts = [step["start"] for step in value["steps"]]
    assert starts[0] == 0
    assert [b - a for a, b in pairwise(starts)] == [s["hours"] for s in value["steps"][:-1]]
    assert value["steps"][-1]["opening"] == "out in the room"
    assert value["steps"][-1]["humidity_pct"] == 50
    largest = max(step["ratio"] for step in value["steps"])
    assert (
        value["steps"][value["largest_jump"]["step"] - 1]["ratio"]
        == largest
        == value["largest_jump"]["ratio"]
    )


def test_closed_bag_heat_and_stepping_back_are_always_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words(), json=False) == 0
    shown = capsys.readouterr().out
    assert all(sentence in shown for sentence in ALWAYS)


def test_a_plain_way_is_shown_step_by_step(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words(leaves=None, leaf_area="20", medium_area="10"), json=False) == 0
    shown = capsys.readouterr().out.splitlines()
    assert shown[1].split()[:8] == ["1", "0", "h", "30", "h", "9-10", "holes", "of"]
    assert shown[4].startswith(" 4  90 h  30 h  out in the room")
    assert shown[5] == "Largest jump: step 4, 1.9-fold."


def test_steps_and_ratio_are_kept(capsys: pytest.CaptureFixture[str]) -> None:
    small = {"leaves": None, "leaf_area": "20", "medium_area": "10"}
    assert len(answer(capsys, **small, steps="6")["steps"]) == 6
    gentle = answer(capsys, **small, ratio="1.4")
    assert all(step["ratio"] <= 1.4 + 1e-9 for step in gentle["steps"])
    assert gentle["keeps_ratio"]
    [only] = answer(capsys, **small, steps="1")["steps"]
    assert only["opening"] == "out in the room"


def test_too_few_steps_for_a_ratio_say_so(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys, leaves=None, leaf_area="20", medium_area="10", ratio="1.5", steps="2")
    assert not value["keeps_ratio"]
    assert "Take more steps, or wait for moister air." in value["advice"]


def test_where_the_mouth_cannot_do_it_it_says_what_would(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys)
    assert not value["keeps_ratio"]
    assert "Mist the leaves, stand a box over the pots, or wait for moister air." in value["advice"]
    assert "Even 24 holes of 5 mm leave the air at 97 %: what dries is the mouth." in value["advice"]


def test_a_saturated_room_is_one_step(capsys: pytest.CaptureFixture[str]) -> None:
    [only] = answer(capsys, room_humidity="100")["steps"]
    assert only["vpd_kpa"] == 0
    assert only["water_g_per_day"] == 0


def test_a_box_has_a_lid(capsys: pytest.CaptureFixture[str]) -> None:
    value = answer(capsys, bag=None, box="400x300x250", hole="10")
    assert any(step["opening"].startswith("lid open ") for step in value["steps"])


def test_heat_under_a_lamp_is_alarmed(capsys: pytest.CaptureFixture[str]) -> None:
    hot = answer(capsys, inside="33")["advice"]
    assert "33 °C inside is too warm: shade it, lift the lamp or open the mouth now." in hot
    assert not any("too warm" in line for line in answer(capsys, inside="30")["advice"])


def test_a_weighing_that_teaches_narrows_the_forecast(capsys: pytest.CaptureFixture[str]) -> None:
    small = {"leaves": None, "leaf_area": "5", "medium_area": "0"}
    wide = answer(capsys, **small)
    assert wide["learned"] is None
    narrow = answer(capsys, **small, holes="24", lost="1.7", over="48", scale_error="0.1")
    assert narrow["learned"] is True
    assert narrow["advice"][0] == "Your look narrowed the forecast."
    assert (
        narrow["steps"][0]["high"] - narrow["steps"][0]["low"]
        < wide["steps"][0]["high"] - wide["steps"][0]["low"]
    )


@pytest.mark.parametrize(
    ("look", "sentence"),
    [
        (
            {"lost": "1", "over": "48"},
            "Cannot tell yet: the closed bag loses too little. Weigh again with holes open.",
        ),
        (
            {"leaves": None, "leaf_area": "5", "medium_area": "0", "holes": "24", "lost": "0", "over": "1"},
            # √2 · √3 / (0.7 · 0.030 g/h · 0.72) = 161 h by hand
            "Cannot tell yet: weigh again 7 days apart, or with holes open.",
        ),
        (
            {"sensor": "99", "sensor_error": "5"},
            "Cannot tell yet: so near saturation a sensor says little. Read it again with holes open.",
        ),
    ],
)
def test_a_look_that_teaches_nothing_says_how_long_to_wait(
    look: dict[str, str | None], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    value = answer(capsys, **look)
    assert value["learned"] is False
    assert value["advice"][0] == sentence


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"bag": None}, "Give either --bag or --box. Take the one you know better."),
        ({"box": "1x2x3"}, "Give either --bag or --box. Take the one you know better."),
        ({"leaf_area": "40"}, "Give either --leaf-area or --leaves. Take the one you know better."),
        ({"bag": "200"}, "'200' is not a size. Write it in millimetres, for example 200x300."),
        ({"bag": "20cmx30cm"}, "'20cmx30cm' is not a size. Write it in millimetres, for example 200x300."),
        (
            {"bag": "5x300"},
            "The width of the bag must be between 10 and 5000 mm, not 5. Correct the number or its unit.",
        ),
        (
            {"leaves": "0", "medium_area": "0"},
            NOTHING_WET,
        ),
        (
            {"ratio": "1"},
            RATIO_1,
        ),
        (
            {"steps": "0"},
            "The number of steps must be between 1 and 60, not 0. Correct the number or its unit.",
        ),
        (
            {"room_humidity": "120"},
            "The humidity of the room must be between 0 and 100 %, not 120. Correct the number or its unit.",
        ),
        (
            {"hole": "0"},
            "The hole diameter must be between 0.1 and 500 mm, not 0. Correct the number or its unit.",
        ),
        (
            {"lost": "3", "over": "24", "sensor": "90"},
            "Give either --lost or --sensor. Take the one you know better.",
        ),
    ],
)
def test_refuses_in_one_sentence(
    changes: dict[str, str | None], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert complaint(capsys, **changes) == f"{sentence}\n"


def test_a_weighing_needs_its_hours(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words(lost="3"), json=False) == 2
    assert "--lost and --over belong together." in capsys.readouterr().err
