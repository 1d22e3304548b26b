"""Label codes: the check character against ISO 7064, every slip of the pen caught, typing forgiven."""

from __future__ import annotations

import contextlib
import csv
import json
import random
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from graftwright.ledger import codes

LABELS = Path(__file__).parents[1] / "reference" / "data" / "labels"
ISO_CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
READ_ALOUD = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"  # ledger.md: no 0, 1, I, L, O
SAMPLE = 300


def printed() -> list[tuple[str, str]]:
    """Check characters printed in standards and their users' documents (see SOURCE.md)."""
    rows = json.loads((LABELS / "expected.json").read_text(encoding="utf-8"))["iso7064_published"]
    return [(payload, check) for system, payload, check in rows if system == "Mod37_36"]


def agreed() -> list[tuple[str, str]]:
    """Check characters on which two independent libraries agree (see SOURCE.md)."""
    with (LABELS / "iso7064_generated.csv").open(encoding="utf-8", newline="") as file:
        return [(row["payload"], row["check"]) for row in csv.DictReader(file) if row["system"] == "Mod37_36"]


def drawn(count: int = SAMPLE) -> list[str]:
    chance = random.Random(20270418)
    return [codes.new_code(chance) for _ in range(count)]


def swapped(text: str) -> list[str]:
    return [text[:i] + b + a + text[i + 2 :] for i, (a, b) in enumerate(pairwise(text)) if a != b]


# the check character


@pytest.mark.parametrize(("payload", "check"), printed())
def test_printed_check_characters(payload: str, check: str) -> None:
    assert codes.iso7064_mod_37_36(payload) == check


def test_check_characters_two_libraries_agree_on() -> None:
    rows = agreed()
    assert len(rows) == 40
    assert [codes.iso7064_mod_37_36(payload) for payload, _ in rows] == [check for _, check in rows]


@given(st.text(alphabet=ISO_CHARACTERS, min_size=1, max_size=24))
def test_any_payload_as_python_stdnum_has_it(payload: str) -> None:
    assert codes.iso7064_mod_37_36(payload) == mod_37_36.calc_check_digit(payload)


# which codes are given


def test_codes_drawn_are_six_characters_people_can_read_aloud() -> None:
    found = drawn()
    assert len(set(found)) == SAMPLE
    assert all(len(code) == 6 and set(code) <= set(READ_ALOUD) for code in found)
    assert all(mod_37_36.is_valid(code) for code in found)
    assert set(codes.ALPHABET) == set(READ_ALOUD)


def test_every_single_wrong_character_is_caught() -> None:
    tried = 0
    for code in drawn():
        for i, right in enumerate(code):
            for wrong in set(ISO_CHARACTERS) - {right}:
                tried += 1
                assert not codes.is_code(code[:i] + wrong + code[i + 1 :])
    assert tried == SAMPLE * 6 * 35


def test_every_swap_of_neighbours_is_caught() -> None:
    tried = [other for code in drawn(2000) for other in swapped(code)]
    assert len(tried) > 9000
    assert not any(map(codes.is_code, tried))


def test_codes_that_a_swap_would_hide_are_about_one_in_two_hundred() -> None:
    chance = random.Random(5)
    bodies = ["".join(chance.choices(READ_ALOUD, k=5)) for _ in range(20_000)]
    checked = [body + mod_37_36.calc_check_digit(body) for body in bodies]
    readable = [code for code in checked if code[-1] in READ_ALOUD]
    hidden = [code for code in readable if any(map(mod_37_36.is_valid, swapped(code)))]
    assert [code for code in readable if not codes.is_code(code)] == hidden
    assert 0.003 < len(hidden) / len(readable) < 0.007  # ledger.md: about 1 in 200


def test_codes_with_a_check_character_nobody_can_read_aloud_do_not_check() -> None:
    chance = random.Random(6)
    bodies = ["".join(chance.choices(READ_ALOUD, k=5)) for _ in range(2_000)]
    unreadable = [body + c for body in bodies if (c := mod_37_36.calc_check_digit(body)) not in READ_ALOUD]
    assert len(unreadable) > 100
    assert not any(map(codes.is_code, unreadable))


def test_the_same_chance_draws_the_same_codes() -> None:
    assert drawn(5) == drawn(5)


# typing and scanning

CODE = drawn(1)[0]
LABEL = f"{CODE[:5]}-{CODE[5]}"


@pytest.mark.parametrize(
    "typed",
    [
        CODE,
        LABEL,
        LABEL.lower(),
        f"  {CODE}\n",
        f"{CODE[:2]} {CODE[2:5]} {CODE[5]}",
        f"{CODE[:3]}-{CODE[3:]}",
        f"http://laptop.local:8765/{CODE}",
        f"HTTPS://BENCH.EXAMPLE/{CODE}",
        f"http://laptop.local/{LABEL.lower()}",
        f"tray {LABEL}",
        f"the bag on the sill, {CODE}",
        f"label:{CODE}",
    ],
)
def test_a_code_is_read_whatever_stands_before_it(typed: str) -> None:
    assert codes.read(typed) == CODE


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "-",
        CODE[:5],
        CODE[1:],
        CODE + "2",
        "2" + CODE,
        "é" + CODE,
        CODE.replace(CODE[0], "*", 1),
        swapped(CODE)[0],
        f"http://laptop.local/{CODE}/more",
        "234567",
        "K7QFß-Z",
        "\u0661\u0662\u0663\u0664\u0665\u0666",
    ],
)
def test_what_is_no_code_is_refused(typed: str) -> None:
    with pytest.raises(codes.UnknownCode) as told:
        codes.read(typed)
    assert told.value.sentence == f"{typed.strip()} is not a code: a character is wrong, missing or swapped."
    assert told.value.do == "Read the label again; a code looks like K7QF4-Z."


def test_a_long_text_is_repeated_only_as_far_as_a_line_goes() -> None:
    with pytest.raises(codes.UnknownCode) as told:
        codes.read("x" * 5000 + "\x1b[2J")
    assert told.value.sentence == f"{'x' * 60}… is not a code: a character is wrong, missing or swapped."
    with pytest.raises(codes.UnknownCode, match=r"^. is not a code"):
        codes.read("\x1b")


def test_letters_that_only_become_capitals_of_a_code_are_not_read_as_it() -> None:
    chance = random.Random(8)
    doubled = next(code for code in iter(lambda: codes.new_code(chance), "") if "SS" in code)
    assert codes.read(doubled) == doubled
    with pytest.raises(codes.UnknownCode):
        codes.read(doubled.replace("SS", "ß"))


def test_a_code_is_shown_as_labels_do_and_a_name_as_it_is() -> None:
    assert codes.shown(CODE) == LABEL
    assert codes.shown("south-frame") == "south-frame"
    assert codes.shown(CODE[:5]) == CODE[:5]


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(typed: str) -> None:
    with contextlib.suppress(codes.UnknownCode):
        assert codes.is_code(codes.read(typed))
