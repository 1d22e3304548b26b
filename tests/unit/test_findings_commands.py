"""`findings rates` and `findings lasting` as scripts and people meet them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from findings_data import DATA, expected

if TYPE_CHECKING:
    from pathlib import Path

    from conftest import CommandLine

SEEDS = str(DATA / "take_rate" / "crowder_seeds.csv")
COSMESIS = str(DATA / "survival" / "bcos_breast_cosmesis.csv")
RATES = ("findings", "rates", SEEDS, "--taken", "germ", "--made", "n", "--json")


def value_of(cli: CommandLine, *words: str) -> Any:
    done = cli(*words)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def written(folder: Path, *lines: str) -> str:
    path = folder / "table.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(path)


def test_rates_answer_the_contract(cli: CommandLine) -> None:
    found = value_of(cli, *RATES, "--by", "gen*extract", "--batch", "plate")
    assert [cell["by"] for cell in found["cells"]] == [
        {"gen": gen, "extract": extract} for gen in ("O73", "O75") for extract in ("bean", "cucumber")
    ]
    assert sum(cell["made"] for cell in found["cells"]) == 831
    for cell in found["cells"]:
        assert 0.0 < cell["new_batch"]["low"] < cell["low"] < cell["rate"] < cell["high"] < 1.0
    names = [effect["name"] for effect in found["effects"]]
    assert names[:3] == ["intercept", "gen=O73", "gen=O75"]
    assert names[-1] == "gen=O75:extract=cucumber"
    assert [scatter["name"] for scatter in found["batch_sd"]] == ["plate"]
    assert len(found["batches"]) == 21
    assert [prior["of"] for prior in found["priors"]] == [
        "intercept",
        "sd of gen",
        "sd of extract",
        "sd of gen*extract",
        "sd of plate",
    ]
    assert found["log_likelihood"] is None


def test_flat_rates_answer_the_contract(cli: CommandLine) -> None:
    found = value_of(cli, *RATES, "--by", "gen", "--by", "extract", "--batch", "plate", "--flat")
    theirs = expected("take_rate")["seeds"]["glmm_main_effects_agq25"]
    intercept, o73, cucumber = theirs["coef"]
    assert [effect["name"] for effect in found["effects"]] == ["intercept", "gen=O75", "extract=cucumber"]
    means = [effect["mean"] for effect in found["effects"]]
    assert means == pytest.approx([intercept + o73, -o73, cucumber], abs=1e-3)
    assert found["batch_sd"][0]["mean"] == pytest.approx(theirs["sigma"], abs=2e-3)
    effect = found["effects"][1]
    assert effect["high"] - effect["mean"] == pytest.approx(1.644854 * effect["sd"], rel=1e-6)
    assert found["priors"] == []
    assert found["log_likelihood"] < 0.0


def test_the_usual_take_is_a_prior(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "took,made", "1,2")
    words = ("findings", "rates", table, "--taken", "took", "--made", "made", "--json")
    plain, usual = value_of(cli, *words), value_of(cli, *words, "--usual", "0.9@40")
    assert plain["cells"][0]["rate"] < 0.7 < usual["cells"][0]["rate"]
    assert plain["cells"][0]["by"] == {}


def test_rates_in_words_answer_first(cli: CommandLine) -> None:
    done = cli(*RATES[:-1], "--by", "gen*extract", "--batch", "plate")
    first, *rest = done.stdout.splitlines()
    assert first.startswith("O75 · cucumber is better than O73 · cucumber with 9")
    assert first.endswith("That is unlikely to be luck.")
    assert rest[3].startswith("O75 · cucumber  201 of 295  ")
    assert rest[-1].endswith("Taken for granted before: about 50% takes, very likely between 8% and 92%.")


def test_alike_varieties_cannot_be_told_yet(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "variety,took,made", "Ada,5,8", "Bo,6,8")
    done = cli("findings", "rates", table, "--taken", "took", "--made", "made", "--by", "variety")
    assert "It cannot be told yet: more than 500 more of each would settle it." in done.stdout


def test_empty_cells_are_listed(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "variety,stock,took,made", "a,x,5,8", "b,x,3,8", "b,y,4,8")
    words = (
        "findings",
        "rates",
        table,
        "--taken",
        "took",
        "--made",
        "made",
        "--by",
        "variety",
        "--by",
        "stock",
    )
    default, flat = value_of(cli, *words, "--json"), value_of(cli, *words, "--json", "--flat")
    assert default["cells"][1] | {"rate": 0, "low": 0, "high": 0} == {
        "by": {"variety": "a", "stock": "y"},
        "taken": 0,
        "made": 0,
        "rate": 0,
        "low": 0,
        "high": 0,
        "new_batch": None,
    }
    assert default["cells"][1]["rate"] is not None
    assert flat["cells"][1]["rate"] is None


def test_one_grafter_a_season_is_said(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "grafter,season,took,made", "Ada,2031,5,8", "Ada,2031,4,8", "Bo,2032,7,8")
    words = (
        "findings",
        "rates",
        table,
        "--taken",
        "took",
        "--made",
        "made",
        "--by",
        "grafter",
        "--by",
        "season",
    )
    sentence = (
        "grafter and season cannot be told apart: Ada only with 2031, Bo only with 2032. "
        "Next season put each grafter with more than one season."
    )
    assert value_of(cli, *words, "--json")["notes"] == [sentence]
    flat = value_of(cli, *words, "--json", "--flat")
    assert flat["effects"][2] == {"name": "season=2032", "mean": None, "sd": None, "low": None, "high": None}
    assert flat["notes"] == [
        sentence,
        "season=2032 has no estimate without priors: the counts cannot tell it from the others.",
    ]


def test_one_batch_only_is_said(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "variety,bag,took,made", "a,1,5,8", "b,2,3,8", "b,3,4,8")
    found = value_of(
        cli,
        "findings",
        "rates",
        table,
        "--taken",
        "took",
        "--made",
        "made",
        "--by",
        "variety",
        "--batch",
        "bag",
        "--json",
    )
    assert found["notes"] == [
        (
            "variety a: only one bag each, so the two cannot be told apart. "
            "Next season spread each variety over two or more of bag."
        )
    ]


WRONG = [
    (("a,5,x",), 11, "made is a whole number of at least 0, not x. (line 2) Mend that row."),
    (("a,5,",), 11, "made is a whole number of at least 0, and is empty. (line 2) Mend that row."),
    (("a,5,8", "b,9,8"), 11, "9 took of 8 made. (line 3) Put the two counts right."),
    (("a,-1,8",), 11, "took is a whole number of at least 0, not -1. (line 2) Mend that row."),
    (("a,1.5,8",), 11, "took is a whole number of at least 0, not 1.5. (line 2) Mend that row."),
    (("a,5,8", ",5,8"), 11, "There is no variety here. (line 3) Fill it in, or leave the row out."),
    (("a,0,0",), 11, "made is 0 in every row. There is nothing to learn from yet."),
]


@pytest.mark.parametrize(("rows", "code", "sentence"), WRONG)
def test_a_wrong_table_is_refused_with_its_line(
    cli: CommandLine, tmp_path: Path, rows: tuple[str, ...], code: int, sentence: str
) -> None:
    table = written(tmp_path, "variety,took,made", *rows)
    done = cli("findings", "rates", table, "--taken", "took", "--made", "made", "--by", "variety")
    assert (done.returncode, done.stderr.strip()) == (code, sentence)


def test_wrong_questions_are_refused(cli: CommandLine) -> None:
    usual = cli(*RATES[:-1], "--usual", "often")
    assert usual.returncode == 12
    assert (
        usual.stderr.strip()
        == "The usual take is written MEAN@GRAFTS, not often. 0.6@12 is 60 %, worth 12 grafts."
    )
    beyond = cli(*RATES[:-1], "--usual", "60@12")
    assert beyond.stderr.strip() == "The usual take is a share between 0 and 1, not 60. Write 60 % as 0.6."
    weightless = cli(*RATES[:-1], "--usual", "0.6@0")
    assert weightless.stderr.strip() == (
        "The usual take is worth a number of grafts above 0, not 0. "
        "Write it as MEAN@GRAFTS, for instance 0.6@12."
    )
    twice = cli(*RATES[:-1], "--by", "gen", "--batch", "gen")
    assert twice.stderr.strip() == (
        "The column gen cannot be counted, compared and a batch at the same time. Name it for one of them."
    )


def test_a_bad_file_is_refused(cli: CommandLine, tmp_path: Path) -> None:
    words = ("--taken", "took", "--made", "made")
    missing = cli("findings", "rates", "nowhere.csv", *words)
    assert (missing.returncode, missing.stderr.strip()) == (
        10,
        "The file nowhere.csv cannot be opened. Check its name and folder.",
    )
    table = written(tmp_path, "tok,made", "1,2")
    wrong = cli("findings", "rates", table, *words)
    assert wrong.returncode == 11
    assert wrong.stderr.strip() == f"There is no column took. ({table}, line 1) Did you mean tok?"
    short = cli("findings", "rates", written(tmp_path, "took,made", "1,2", "3"), *words)
    assert short.stderr.strip() == f"This row has 1 fields and the header 2. ({table}, line 3) Mend that row."
    none = cli("findings", "rates", written(tmp_path, "took,made"), *words)
    assert none.stderr.strip() == f"There is no row to read. ({table}) Give a file with a header and rows."
    (tmp_path / "picture.csv").write_bytes(b"\xff\xfe\x00took")
    picture = cli("findings", "rates", str(tmp_path / "picture.csv"), *words)
    assert picture.returncode == 10
    assert "is not a text table. Save it as CSV (UTF-8) and try again." in picture.stderr


def test_semicolons_blank_lines_and_marks_at_the_start_are_read(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "\ufeffvariety;took;made", "a;5;8.0", "", "b; 3 ;8")
    found = value_of(
        cli, "findings", "rates", table, "--taken", "took", "--made", "made", "--by", "variety", "--json"
    )
    assert [(cell["taken"], cell["made"]) for cell in found["cells"]] == [(5, 8), (3, 8)]


def test_lasting_answers_the_contract(cli: CommandLine) -> None:
    found = value_of(
        cli,
        "findings",
        "lasting",
        COSMESIS,
        "--left",
        "left",
        "--right",
        "right",
        "--group",
        "treatment",
        "--json",
    )
    rad, both = found["groups"]
    assert (rad["name"], rad["n"], both["name"], both["n"]) == ("Rad", 46, "RadChem", 48)
    published = expected("survival")["bcos"]["turnbull_published_4_decimals"]["Rad"]
    assert [f"({step['from']:g},{step['to']:g}]" for step in rad["steps"]] == list(published)
    assert rad["steps"][0]["survival"] == pytest.approx(1.0 - published["(4,5]"], abs=1e-4)
    assert found["difference"]["test"] == "sun-permutation"
    assert found["difference"]["p"] == pytest.approx(0.007622, abs=5e-7)
    for step in both["steps"]:
        assert 0.0 <= step["low"] <= step["high"] <= 1.0


def test_exact_days_are_kaplan_meier(cli: CommandLine, tmp_path: Path) -> None:
    table = written(
        tmp_path,
        "planted,alive,gone,stock",
        "2031-05-01,2031-06-10,2031-06-10,x",
        "2031-05-11,2031-06-10,,x",
        "2031-05-01,2031-05-21,2031-05-21,y",
        "2031-05-01,2031-05-31,2031-05-31,y",
    )
    found = value_of(
        cli,
        *("findings", "lasting", table, "--left", "alive", "--right", "gone", "--start", "planted"),
        *("--group", "stock", "--json"),
    )
    first, second = found["groups"]
    assert [(step["from"], step["to"], step["survival"]) for step in first["steps"]] == [(40.0, 40.0, 0.0)]
    assert first["steps"][0]["low"] is None
    assert [(step["to"], step["survival"]) for step in second["steps"]] == [(20.0, 0.5), (30.0, 0.0)]
    assert second["half"] == 20.0
    assert found["difference"]["test"] == "log-rank"


def test_one_group_has_no_difference_and_none_gone_has_no_steps(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "left,right,n", "10,Inf,3", "12,,2")
    words = ("findings", "lasting", table, "--left", "left", "--right", "right", "--count", "n")
    found = value_of(cli, *words, "--json")
    assert found["groups"] == [{"name": "all", "n": 5, "steps": [], "half": None}]
    assert found["difference"] is None
    assert cli(*words).stdout.splitlines()[0] == "all: 5 followed, more than half are left."


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("5,3", "A unit cannot be alive at 5 and gone by 3. (line 2) Mend that row."),
        (
            "x,3",
            "left is a number from 0, not x. (line 2) Mend that row, or name the column of first days with --start.",
        ),
        ("-2,3", "A unit cannot be alive at -2 and gone by 3. (line 2) Mend that row."),
    ],
)
def test_wrong_times_are_refused(cli: CommandLine, tmp_path: Path, row: str, sentence: str) -> None:
    table = written(tmp_path, "left,right", row)
    done = cli("findings", "lasting", table, "--left", "left", "--right", "right")
    assert (done.returncode, done.stderr.strip()) == (11, sentence)


def test_wrong_dates_are_refused(cli: CommandLine, tmp_path: Path) -> None:
    table = written(tmp_path, "day,left,right", "2031-05-01,2031-06-31,")
    done = cli("findings", "lasting", table, "--left", "left", "--right", "right", "--start", "day")
    assert done.stderr.strip() == "left is a date like 2031-05-28, not 2031-06-31. (line 2) Mend that row."
