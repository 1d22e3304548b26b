"""What is said of a file that is not in order: what, where and what to do, word by word."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from graftwright.errors import ContentComplaint, Trouble
from graftwright.handbook import check_handbook, parse_sheet, parse_species
from handbook_texts import SHEET, SPECIES, spoil

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

KEYS_OF_PACE = (
    "batch_spread, days, days_at_optimum, doubtful, grade, kind, note, response, scope, source, spread, worth"
)
DEEP = "a = " + "[" * 100_000

SHEET_TROUBLES = {
    "unknown key": (
        ("check_every =", "check_evry ="),
        "There is no key 'check_evry' in a stage. (s.toml, line 15) Did you mean 'check_every'?",
    ),
    "unknown key in an inline table": (
        ("at_optimum = 20\nspread", "at_optimum = { value = 20, sourse = 'x' }\nspread"),
        "There is no key 'sourse' in 'days_at_optimum'. (s.toml, line 24) Did you mean 'source'?",
    ),
    "unknown key, nothing near it": (
        ("worth = 3\n", "worth = 3\nzzzz = 1\n"),
        f"There is no key 'zzzz' in a pace. (s.toml, line 28) Known here: {KEYS_OF_PACE}.",
    ),
    "unknown table": (
        ('[[stage]]\nkey = "growing"', '[[stages]]\nkey = "growing"'),
        "There is no key 'stages' in a sheet file. (s.toml, line 34) Did you mean 'stage'?",
    ),
    "missing key": (
        ("worth = 3\n", ""),
        "The key 'worth' is missing in a pace. (s.toml, line 21) Add it.",
    ),
    "task without its minutes": (
        ("minutes = 1, ", ""),
        "The key 'minutes' is missing in a task. (s.toml, line 16) Add it.",
    ),
    "task without a time": (
        (', at = "check"', ""),
        "The task 'look' must say when, once. (s.toml, line 16) Give one of 'at', 'every_days' and 'after_days'.",
    ),
    "task with two times": (
        (', at = "check"', ', at = "check", every_days = 3'),
        "The task 'look' must say when, once. (s.toml, line 16) Give one of 'at', 'every_days' and 'after_days'.",
    ),
    "use without an amount": (
        (", each = 1", ""),
        "The use of 'tie' must say how much, once. (s.toml, line 17) Give one of 'each' and 'litres'.",
    ),
    "text for a number": (
        ("spread = 0.2\n", "spread = 'wide'\n"),
        "'spread' must be a number. (s.toml, line 25) Write it so.",
    ),
    "true for a number": (
        ("worth = 3\n", "worth = true\n"),
        "'worth' must be a number. (s.toml, line 27) Write it so.",
    ),
    "a fraction for a whole number": (
        ("version = 1", "version = 1.5"),
        "'version' must be a whole number. (s.toml, line 4) Write it so.",
    ),
    "a table for a list": (
        ('uses = [{ item = "tie", each = 1 }]', 'uses = { item = "tie", each = 1 }'),
        "'uses' must be a list of tables. (s.toml, line 17) Write it so.",
    ),
    "a list for a table": (
        ("check_every = { days = 7 }", "check_every = [7]"),
        "'check_every' must be a table. (s.toml, line 15) Write it so.",
    ),
    "a text for a list": (
        ('genera = ["Malus"]', 'genera = "Malus"'),
        "'genera' must be a list of texts. (s.toml, line 5) Write it so.",
    ),
    "an empty text": (
        ('title = "Small graft"', 'title = " "'),
        "'title' must be text. (s.toml, line 3) Write it so.",
    ),
    "a key with a dot": (
        ('key = "small"', 'key = "small.graft"'),
        "'key' must be a name of letters, digits, spaces and hyphens. (s.toml, line 2) Write it so.",
    ),
    "a pair of three": (
        ('take_at = "growing"', 'take_at = "growing"\nbuds_per_scion = [1, 2, 3]'),
        "'buds_per_scion' must be a pair [from, to] of whole numbers. (s.toml, line 7) Write it so.",
    ),
    "a pair upside down": (
        ('take_at = "growing"', 'take_at = "growing"\nbuds_per_scion = [3, 1]'),
        "'buds_per_scion' runs from 3 down to 1. (s.toml, line 7) Put the smaller number first.",
    ),
    "number too large": (
        ("mean = 0.6", "mean = 1.2"),
        "'mean' is 1.2; it must lie between 0.001 and 0.999. (s.toml, line 30) Check the number and its unit.",
    ),
    "number too small, with its unit": (
        ("check_every = { days = 7 }", "check_every = { days = 0 }"),
        "'days' is 0 d; it must lie between 0.1 and 3660 d. (s.toml, line 15) Check the number and its unit.",
    ),
    "a number beyond all numbers": (
        ("version = 1", "version = 1" + "0" * 400),
        "'version' is far too large; it must lie between 1 and 10000. (s.toml, line 4) Check the number and its unit.",
    ),
    "not a number at all": (
        ("spread = 0.2\n", "spread = nan\n"),
        "'spread' is nan; it must lie between 0.01 and 2. (s.toml, line 25) Check the number and its unit.",
    ),
    "unknown word": (
        ('kind = "thermal"', 'kind = "thermic"'),
        "'thermic' is no kind. (s.toml, line 22) Did you mean 'thermal'?",
    ),
    "unknown grade": (
        ('grade = "assumed"', 'grade = "guessed"'),
        "'guessed' is no grade. (s.toml, line 19) Did you mean 'assumed'?",
    ),
    "missing source": (
        ('source = "first guess"\ngrade = "assumed"\n', ""),
        (
            "The value 'grafted.check_every.days' has no source. (s.toml, line 15) "
            "Give 'source' and 'grade' beside it, in its block or in its stage."
        ),
    ),
    "source without grade": (
        ('grade = "assumed"\n', ""),
        "'source' is given without 'grade'. (s.toml, line 18) Give the two in the same place.",
    ),
    "grade without source": (
        ("days = 7 }", 'days = 7, grade = "practice" }'),
        "'grade' is given without 'source'. (s.toml, line 15) Give the two in the same place.",
    ),
    "a guess that calls itself measured": (
        ('grade = "assumed"', 'grade = "measured"'),
        "A value from 'first guess' cannot be of grade 'measured'. (s.toml, line 19) Use 'assumed'.",
    ),
    "a publication that calls itself the grower's": (
        ("days = 7 }", 'days = 7, source = "somebody-1990", grade = "own" }'),
        (
            "A value from 'somebody-1990' cannot be of grade 'own'. (s.toml, line 15) "
            "Use 'measured' or 'review' or 'practice' or 'memory'."
        ),
    ),
    "seasons too far apart": (
        ("between_seasons = 0.05", "between_seasons = 0.22"),
        (
            "'between_seasons' 0.22 is too much for a mean of 0.9: its square is 0.54 of the largest variance such "
            "a share can have, and must stay under 0.5. (s.toml, line 32) Lower it."
        ),
    ),
    "no seasons at all": (
        (", between_seasons = 0.05", ""),
        (
            "The survival does not say how much seasons differ. (s.toml, line 29) "
            "Give 'between_seasons' in its 'practised' block."
        ),
    ),
    "a pace without its days": (
        ("days_at_optimum = 20\n", "days = 20\n"),
        "The key 'days_at_optimum' is missing in a thermal pace. (s.toml, line 21) Add it.",
    ),
    "a pace without a clock": (
        ('started_by = "graft"\n', ""),
        (
            "The stage 'grafted' has a pace but no clock. (s.toml, line 20) "
            "Say which step starts it with 'started_by'."
        ),
    ),
    "a genus the sheet is not for": (
        ("[stage.for.Malus.pace]", "[stage.for.Malsu.pace]"),
        "'Malsu' is no genus of this sheet. (s.toml, line 21) Did you mean 'Malus'?",
    ),
    "two stages of one key": (
        ('key = "growing"', 'key = "grafted"'),
        "There are two stages 'grafted'. (s.toml, line 35) Give one of them another key.",
    ),
    "a path that is broken": (
        ('milestone = "growing"', 'milestone = "planted"'),
        (
            "The stage 'grafted' leads to 'planted', but the next stage is 'growing'. (s.toml, line 13) "
            "The milestone of a stage is the key of the next one."
        ),
    ),
    "a stage without an end": (
        ('milestone = "growing"\n', ""),
        "The stage 'grafted' has no end. (s.toml, line 8) Say how it 'ends' and give its 'milestone'.",
    ),
    "a last stage that leads on": (
        ('key = "growing"\n', 'key = "growing"\nends = "by you"\n'),
        "The last stage 'growing' leads on. (s.toml, line 34) Take 'ends' and 'milestone' out of it.",
    ),
    "a stage that ends without a sign": (
        ('ends_when = { sign = "new leaves" }\n', ""),
        "The key 'ends_when' is missing in the stage 'grafted'. (s.toml, line 8) Add it.",
    ),
    "a stage that ends by you without a step": (
        ('ends = "by growth"', 'ends = "by you"'),
        "The key 'ended_by' is missing in the stage 'grafted'. (s.toml, line 8) Add it.",
    ),
    "take counted nowhere": (
        ('take_at = "growing"', 'take_at = "growin"'),
        "'growin' is no stage. (s.toml, line 6) Did you mean 'growing'?",
    ),
}

SPECIES_TROUBLES = {
    "base above optimum": (
        ("base = 0.0", "base = 21.0"),
        (
            "In the callus response the base (21 °C) is not below the optimum (20 °C). (a.toml, line 7) "
            "Base, optimum and ceiling must ascend."
        ),
    ),
    "optimum at the ceiling": (
        ("ceiling = 32.0", "ceiling = 20.0"),
        (
            "In the callus response the optimum (20 °C) is not below the ceiling (20 °C). (a.toml, line 8) "
            "Base, optimum and ceiling must ascend."
        ),
    ),
    "another unit": (
        ('unit = "degC"', 'unit = "degF"'),
        "The unit here is degC, not 'degF'. (a.toml, line 10) Convert the numbers to degC.",
    ),
    "unknown response": (
        ("[response.callus]", "[response.calus]"),
        "There is no key 'calus' in the responses. (a.toml, line 6) Did you mean 'callus'?",
    ),
    "a seed's path that is broken": (
        ('milestone = "pulled"', 'milestone = "chilling"'),
        (
            "The stage 'in hand' leads to 'chilling', but the next stage is 'pulled'. (a.toml, line 25) "
            "The milestone of a stage is the key of the next one."
        ),
    ),
    "text for yes or no": (
        ('kind = "cold"', 'kind = "cold"\nsprouts_in_cold = "yes"'),
        "'sprouts_in_cold' must be true or false. (a.toml, line 16) Write it so.",
    ),
}

FILE_TROUBLES = {
    "not TOML": (
        "a = 1\nb = = 2\n",
        (
            "The file is not valid TOML: invalid value (at line 2, column 5). (s.toml) "
            "Mend the line, or the one before it."
        ),
    ),
    "a key twice": (
        "a = 1\na = 2\n",
        (
            "The file is not valid TOML: cannot overwrite a value (at line 2, column 6). (s.toml) "
            "Mend the line, or the one before it."
        ),
    ),
    "nested without end": (
        DEEP,
        "The file is not valid TOML: it is nested too deeply. (s.toml) Mend the line, or the one before it.",
    ),
    "empty": ("", "The file is empty. (s.toml) Fill it in, or take it away."),
    "comments only": ("# nothing yet\n", "The file is empty. (s.toml) Fill it in, or take it away."),
}


def said(parse: Callable[[str, str], object], text: str, where: str) -> str:
    with pytest.raises(ContentComplaint) as raised:
        parse(text, where)
    assert raised.value.exit_code == 11
    return str(raised.value)


def test_the_small_texts_are_in_order() -> None:
    assert parse_sheet(SHEET, "s.toml").path == ("grafted", "growing")
    assert parse_species(SPECIES, "a.toml").seed_path == ("in hand", "pulled")


@pytest.mark.parametrize("name", SHEET_TROUBLES)
def test_a_sheet_that_is_not_in_order(name: str) -> None:
    change, sentence = SHEET_TROUBLES[name]
    assert said(parse_sheet, spoil(SHEET, change), "s.toml") == sentence


@pytest.mark.parametrize("name", SPECIES_TROUBLES)
def test_a_species_that_is_not_in_order(name: str) -> None:
    change, sentence = SPECIES_TROUBLES[name]
    assert said(parse_species, spoil(SPECIES, change), "a.toml") == sentence


@pytest.mark.parametrize("name", FILE_TROUBLES)
def test_a_text_that_is_no_sheet(name: str) -> None:
    text, sentence = FILE_TROUBLES[name]
    assert said(parse_sheet, text, "s.toml") == sentence


def test_two_milestones_of_one_clock_with_two_spreads() -> None:
    more = spoil(
        SHEET,
        ('[[stage]]\nkey = "growing"\nof = "graft"\n', ""),
    )
    second = more[more.index("[[stage]]") :]
    second = second.replace('milestone = "growing"', 'milestone = "done"').replace(
        'key = "grafted"', 'key = "growing"'
    )
    text = (
        more
        + second.replace("batch_spread = 0.1", "batch_spread = 0.3")
        + '[[stage]]\nkey = "done"\nof = "graft"\n'
    )
    assert said(parse_sheet, text, "s.toml") == (
        "'growing' has batch_spread 0.3, but the clock that starts at 'graft' has 0.1. (s.toml, line 52) "
        "All milestones of one clock share one batch_spread."
    )


def own_folder(folder: Path, **files: str | bytes) -> list[str]:
    """Write files into a folder, named without their endings, and return what is said of them."""
    for name, content in files.items():
        path = folder / f"{name.replace('__', '/')}.toml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    _, troubles = check_handbook([folder])
    assert all(isinstance(trouble, Trouble) for trouble in troubles)
    return [str(trouble).replace(str(folder), "own") for trouble in troubles]


def test_a_file_that_is_not_utf_8(tmp_path: Path) -> None:
    assert own_folder(tmp_path, sheets__latin="title = 'Pfropfung'\n# f\xfcr".encode("latin-1")) == [
        "The file is not text in UTF-8. (own/sheets/latin.toml, line 2) Save it again as UTF-8."
    ]


def test_a_mark_of_byte_order_does_no_harm(tmp_path: Path) -> None:
    assert own_folder(tmp_path, sheets__small=b"\xef\xbb\xbf" + SHEET.encode()) == []


def test_a_huge_file(tmp_path: Path) -> None:
    assert own_folder(tmp_path, sheets__huge="#" * 1_000_001) == [
        (
            "The file has 1,000,001 bytes; a file of the handbook has at most 1,000,000. (own/sheets/huge.toml) "
            "Check that it is the right file."
        )
    ]


def test_a_file_that_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "sheets" / "odd.toml").mkdir(parents=True)
    assert own_folder(tmp_path) == [
        "The file cannot be read: Is a directory. (own/sheets/odd.toml) Check that it is there and may be read."
    ]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    _, troubles = check_handbook([tmp_path / "none"])
    assert [str(one) for one in troubles] == [
        f"There is no folder of this name. ({tmp_path / 'none'}) Check the spelling."
    ]
    assert troubles[0].exit_code == 10


def test_a_folder_with_nothing_of_a_handbook(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("hello")
    assert own_folder(tmp_path) == [
        (
            "The folder holds no sheet, species, source or value of a handbook. (own) "
            "Put sheets in 'sheets', species in 'species', and own values in 'values.toml'."
        )
    ]


def test_a_source_and_a_caution_that_nobody_wrote(tmp_path: Path) -> None:
    text = spoil(
        SHEET,
        ("days = 7 }", 'days = 7, source = "huang-1995", grade = "measured" }'),
        ('take_at = "growing"', 'take_at = "growing"\ncaution = ["blade"]'),
    )
    assert own_folder(tmp_path, sheets__small=text) == [
        "The source 'huang-1995' is not in sources.toml. (own/sheets/small.toml, line 16) Did you mean 'huang-1994'?",
        "There is no caution 'blade'. (own/sheets/small.toml, line 7) Did you mean 'blades'?",
    ]


def test_all_troubles_of_all_files_are_listed(tmp_path: Path) -> None:
    said_of = own_folder(
        tmp_path,
        sheets__a=spoil(SHEET, ("spread = 0.2\n", "spread = 'wide'\n"), ("worth = 3\n", "")),
        sheets__b="",
        species__c=spoil(SPECIES, ("base = 0.0", "base = 21.0")),
    )
    assert [one.split(" (")[0] for one in said_of] == [
        "In the callus response the base",
        "The key 'worth' is missing in a pace.",
        "'spread' must be a number.",
        "The file is empty.",
    ]


@pytest.mark.parametrize(
    ("file", "text", "sentence"),
    [
        (
            "sheets__plain",
            SHEET.replace('"small"', '"plain"'),
            "There is already a sheet 'plain'. (own/sheets/plain.toml, line 2)",
        ),
        (
            "species__chestnut",
            SPECIES.replace('"Malus"', '"Castanea"'),
            "There is already a species 'Castanea'. (own/species/chestnut.toml, line 2)",
        ),
        (
            "cautions",
            '[[caution]]\nkey = "blades"\ntitle = "x"\nsays = "y"\n',
            "There is already a caution 'blades'. (own/cautions.toml, line 2)",
        ),
        (
            "sources",
            '[[source]]\nkey = "huang-1994"\nabout = "x"\nwhere = "y"\nseen = "whole"\n',
            "There is already a source 'huang-1994'. (own/sources.toml, line 2)",
        ),
    ],
)
def test_what_is_there_already(tmp_path: Path, file: str, text: str, sentence: str) -> None:
    remedy = " Give it another key, or put changed figures in 'values.toml'."
    assert own_folder(tmp_path, **{file: text}) == [sentence + remedy]
