"""The season plan: what is placed, what cannot be met, and the command."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from graftwright.actions.chain import chain
from graftwright.actions.plan import place
from graftwright.actions.plan_check import broken_rules
from graftwright.actions.plan_totals import hours, totals
from graftwright.cli.main import run
from graftwright.science.sizing import chance
from house import ROOT
from wish_texts import WISH, handbook, wishes

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.actions.plan import Plan

TODAY = date(2026, 10, 20)


def planned(text: str, today: date = TODAY) -> Plan:
    asked = wishes(text)
    made = place(asked, handbook(), today)
    assert broken_rules(made, asked, handbook()) == []
    return made


def sentences(text: str, today: date = TODAY) -> list[str]:
    made = planned(text, today)
    assert made.batches == () or made.unmet
    return [one.sentence for one in made.unmet]


def test_one_wish_is_one_batch_with_chill_roots_and_time() -> None:
    (batch,) = planned(WISH).batches
    assert batch.chill_on == TODAY
    assert [one.name for one in batch.windows] == [
        "swollen", "leafing", "weaning", "potted", "settled", "hardening", "planted",
    ]  # fmt: skip
    assert batch.ready <= date(2027, 6, 20)
    assert batch.warnings == ()


def test_nothing_is_set_out_before_the_last_frost() -> None:
    (batch,) = planned(WISH + "[site]\nlast_frost = 2027-05-20\n").batches
    assert batch.windows[-2].earliest >= date(2027, 5, 21)


def test_a_long_sitting_goes_on_on_other_free_days() -> None:
    made = planned(WISH + '[free]\nweekdays = ["sat"]\nminutes = 12\n')
    assert [batch.grafts for batch in made.batches[:-1]] == [4] * (len(made.batches) - 1)
    assert len({batch.graft_on for batch in made.batches}) == len(made.batches) > 1
    assert made.unmet == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (WISH.replace("2027-06-20", "2026-10-20"),
         "Wish 1 (3 Copper Bell) cannot be ready by 2026-10-20: that day has come already."),
        (WISH + "[site]\nlast_frost = 2027-06-25\n",
         ("Wish 1 (3 Copper Bell) cannot be ready by 2027-06-20: 2027-06-20 is before the last frost on 2027-06-25, "
         "and grafts harden after it.")),
        (WISH + '[[wood]]\nvariety = "Copper Bell"\nbuds = 40\ncut = 2027-05-30\n',
         ("Wish 1 (3 Copper Bell) cannot be ready by 2027-06-20: the wood is not dormant, or not cut yet, on the days "
         "left.")),
        (WISH + "[[away]]\nfrom = 2026-10-01\nto = 2027-07-01\n",
         "Wish 1 (3 Copper Bell) cannot be ready by 2027-06-20: none of the days left until then is free."),
        (WISH + "[room]\ncallusing_c = 5\n",
         ("Wish 1 (3 Copper Bell) cannot be ready by 2027-06-20: at 5 °C in the room these grafts never come to their "
         "end.")),
        (WISH + '[[seed]]\nspecies = "Castanea"\ncount = 90\nreceived = 2027-03-20\n',
         ("Wish 1 (3 Copper Bell) cannot be ready by 2027-06-20: nuts put to chill on 2027-03-20 and kept there at "
         "least 60 days have no usable root on the days left.")),
        (WISH.replace("Castanea", "Quercus"),
         ("Wish 1 (3 Copper Bell): Untried: nobody has said what share of Quercus grafts pass the stage 'callusing', "
         "so there are checks but no windows.")),
    ],
)  # fmt: skip
def test_what_cannot_be_met_says_why(text: str, sentence: str) -> None:
    assert sentences(text) == [sentence]


def test_too_few_days_are_told_with_what_grafts_take() -> None:
    (batch,) = planned(WISH).batches
    taken = (batch.ready - batch.graft_on).days
    assert sentences(WISH.replace("2027-06-20", "2026-11-20")) == [
        (
            "Wish 1 (3 Copper Bell) cannot be ready by 2026-11-20: grafts made on the first free day are not ready by "
            f"then: they take up to {taken} days."
        )
    ]


def test_hardening_that_the_frost_leaves_no_time_for_is_told() -> None:
    (said,) = sentences(WISH + "[site]\nlast_frost = 2027-06-15\n")
    assert "2027-06-20: hardening waits for the last frost on 2027-06-15 and then takes up to " in said


def test_short_chill_is_a_warning_with_the_days() -> None:
    text = WISH + '[[seed]]\nspecies = "Castanea"\ncount = 90\nreceived = 2027-01-15\n'
    (batch,) = planned(text.replace("2027-06-20", "2027-06-12")).batches
    assert batch.bring_out
    assert batch.chill_on
    short = 85 - (batch.bring_out - batch.chill_on).days
    assert short > 0
    assert f"chill short by {short} days" in batch.warnings[0]


def test_wishes_that_share_scarce_wood_name_each_other() -> None:
    two = WISH + WISH + '[[wood]]\nvariety = "Copper Bell"\nbuds = 10\ncut = 2027-01-30\n'
    made = planned(two)
    assert sum(batch.grafts for batch in made.batches) == 10
    assert [one.clashes for one in made.unmet] == [(2,), (1,)]
    assert "grafts have wood; it shares them with wish 2." in made.unmet[0].sentence


def test_wishes_that_share_too_few_minutes_name_each_other() -> None:
    two = (
        WISH
        + WISH
        + '[free]\nweekdays = ["sat"]\nminutes = 3\n[[away]]\nfrom = 2026-10-20\nto = 2027-03-15\n'
    )
    made = planned(two)
    assert made.unmet
    assert "minutes" in made.unmet[-1].sentence
    assert made.unmet[-1].clashes


def test_nuts_are_the_fewest_that_give_the_sprouts_nine_times_in_ten() -> None:
    (batch,) = planned(WISH).batches
    seed = chain(handbook().species["Castanea"].seed_stages, "Castanea", "practised")
    assert chance(batch.grafts, batch.nuts - 1, seed) < 0.9 <= chance(batch.grafts, batch.nuts, seed)


def test_material_and_hours_follow_the_sheet() -> None:
    made = planned(WISH)
    (batch,) = made.batches
    needed = totals(made, handbook())
    # the sheet: half a bag, a tie and 0.3 l of medium a graft, 3 minutes to make one
    assert needed["tie"] == batch.grafts
    assert needed["bag"] == -(-batch.grafts // 2)
    assert needed["medium, litres"] == pytest.approx(0.3 * batch.grafts, abs=0.05)
    year, week, _ = batch.graft_on.isocalendar()
    assert hours(made, handbook())[f"{year}-W{week:02}"] >= 0.05 * batch.grafts - 0.01


def test_the_checker_sees_what_is_broken() -> None:
    asked = wishes(WISH + "[[away]]\nfrom = 2027-04-10\nto = 2027-04-17\n")
    made = place(asked, handbook(), TODAY)
    (batch,) = made.batches
    wrong = {
        "not a free day": replace(batch, graft_on=date(2027, 4, 12)),
        "ready too late": replace(batch, ready=date(2027, 6, 21)),
        "days of chill": replace(batch, chill_on=batch.bring_out),
        "minutes": replace(batch, grafts=61),
    }
    for said, bad in wrong.items():
        found = broken_rules(replace(made, batches=(bad,)), asked, handbook())
        assert any(said in line for line in found), said
    assert broken_rules(replace(made, batches=()), asked, handbook()) == ["wish 1: not a word"]


def test_the_wish_file_of_the_manual_is_planned(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = (ROOT / "docs" / "how-to" / "plan-a-season.md").read_text(encoding="utf-8")
    text = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)[0]
    (tmp_path / "wishes.toml").write_text(text, encoding="utf-8")
    words = [
        "plan",
        str(tmp_path / "wishes.toml"),
        "--today",
        "2026-10-20",
        "--calendar",
        str(tmp_path / "o.ics"),
    ]
    assert run(words, json=True) == 0
    value = json.loads(capsys.readouterr().out)
    planned(text)
    for key in (*value, *value["batches"][0], *value["unmet"][0], *value["batches"][0]["counts"][0]):
        assert f"`{key}`" in page
    assert (tmp_path / "o.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert run(words, json=False) == 0
    table = capsys.readouterr().out
    assert max(map(len, table.splitlines())) <= 100
    assert "CANNOT BE MET" in table


def test_what_trees_are_for_stands_in_table_json_and_calendar(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "w.toml").write_text(WISH + 'for = "own ground"\n')
    words = ["plan", str(tmp_path / "w.toml"), "--today", "2026-10-20", "--calendar", str(tmp_path / "o.ics")]
    assert run(words, json=True) == 0
    assert json.loads(capsys.readouterr().out)["batches"][0]["for"] == "own ground"
    assert run(words, json=False) == 0
    assert capsys.readouterr().out.startswith("Copper Bell (wish 1, for own ground): graft ")
    events = (tmp_path / "o.ics").read_text().replace("\n ", "").split("BEGIN:VEVENT")[1:]
    assert events
    assert all("Copper Bell\\, for own ground" in event for event in events)


def test_the_table_says_when_work_falls_on_a_free_day(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "w.toml").write_text(WISH)
    (batch,) = planned(WISH).batches
    assert run(["plan", str(tmp_path / "w.toml"), "--today", "2026-10-20"], json=False) == 0
    table = " ".join(capsys.readouterr().out.split())
    for step in batch.steps:
        assert f"{step.name} {step.plants} on {step.on} ({step.minutes:.0f} min)" in table


def test_a_plan_with_a_weather_file_says_which_last_frost_it_took(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    days = [date(2001, 1, 1) + timedelta(days=n) for n in range(4 * 365)]
    frosts = {date(2001, 4, 20), date(2002, 4, 24), date(2003, 4, 28)}
    rows = "".join(f"{day},{-2 if day in frosts else 6},14\n" for day in days)
    (tmp_path / "station.csv").write_text("date,tmin_c,tmax_c\n" + rows)
    (tmp_path / "w.toml").write_text(WISH + '[site]\nweather = "station.csv"\n')
    assert run(["plan", str(tmp_path / "w.toml"), "--today", "2026-10-20"], json=True) == 0
    value = json.loads(capsys.readouterr().out)
    (said,) = value["notes"]
    assert re.fullmatch(r"Last frost (2027-0\d-\d\d), from 4 springs of station\.csv: .*", said)
    hardening = next(one for one in value["batches"][0]["windows"] if one["name"] == "hardening")
    assert hardening["earliest"] > said[11:21]
    (tmp_path / "station.csv").unlink()
    assert run(["plan", str(tmp_path / "w.toml")], json=False) == 11
    assert "(w.toml, line 9)" in capsys.readouterr().err


def test_a_calendar_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "w.toml").write_text(WISH)
    assert (
        run(["plan", str(tmp_path / "w.toml"), "--calendar", str(tmp_path / "no" / "o.ics")], json=False)
        == 10
    )
    assert "The file cannot be written: No such file or directory. (o.ics)" in capsys.readouterr().err
