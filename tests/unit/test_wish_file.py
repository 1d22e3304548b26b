"""What a wish file may not say, sentence by sentence."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from graftwright.actions.wish_file import today_in
from graftwright.adapters.files.wish_file import read_paper
from graftwright.errors import Trouble
from wish_texts import WISH, wishes

if TYPE_CHECKING:
    from pathlib import Path

WRONG = {
    "": "The file is empty. (wishes.toml) Fill it in, or take it away.",
    "[free]\nminutes = 60": "The key 'wish' is missing in a wish file. (wishes.toml) Add it.",
    WISH.replace("trees", "tres"): "There is no key 'tres' in a wish. (wishes.toml, line 3) Did you mean 'trees'?",
    WISH.replace("= 3", "= -3"): "'trees' is -3; it must lie between 1 and 10000. (wishes.toml, line 3) "
    "Check the number and its unit.",
    WISH.replace("= 3", "= 2.5"): "'trees' must be a whole number. (wishes.toml, line 3) Write it so.",
    WISH.replace("2027-06-20", '"June"'): "'by' must be a date such as 2027-06-10, without quotes. "
    "(wishes.toml, line 4) Write it so.",
    WISH.replace("2027-06-20", "9999-06-20"): "'by' lies in the year 9999. (wishes.toml, line 4) "
    "Give a year from 2000 to 2100.",
    WISH.replace("closed-bag", "closed-bog"): "'hypocotyl-closed-bog' is no sheet. (wishes.toml, line 5) "
    "Did you mean 'hypocotyl-closed-bag'?",
    WISH.replace("Castanea", "Castania"): "'Castania' is no species. (wishes.toml, line 6) "
    "Did you mean 'Castanea'?",
    WISH.replace("[[wish]]", "[[wishes]]"): "There is no key 'wishes' in a wish file. (wishes.toml, line 1) "
    "Did you mean 'wish'?",
    WISH + '[site]\nwether = "x.csv"': "There is no key 'wether' in a site. (wishes.toml, line 9) "
    "Did you mean 'weather'?",
    WISH + '[[seed]]\nspecies = "Castanea"\ncount = 1\nreceived = 2026-10-20\nflooated = true': "There is no key "
    "'flooated' in a lot of seed. (wishes.toml, line 12) Did you mean 'floated'?",
    WISH + "[room]\ncallusing_c = nan": "'callusing_c' is nan °C; it must lie between -10 and 45 °C. "
    "(wishes.toml, line 9) Check the number and its unit.",
    WISH + "[away]\nfrom = 2027-04-10\nto = 2027-04-17": "'away' must be a list of tables. (wishes.toml, line 8) "
    "Write it so.",
    WISH + "[site]\n[site]": "The file is not valid TOML: cannot declare ('site',) twice (at line 9, column 6). "
    "(wishes.toml) Mend the line, or the one before it.",
    "a = " + "[" * 5000: "The file is not valid TOML: it is nested too deeply. (wishes.toml) "
    "Mend the line, or the one before it.",
    "\x00\x01\x02": "The file is not valid TOML: invalid statement (at line 1, column 1). (wishes.toml) "
    "Mend the line, or the one before it.",
    WISH + '[site]\ntime_zone = "Europe/Pariss"': "'Europe/Pariss' is no time zone. (wishes.toml, line 9) "
    "Did you mean 'Europe/Paris'?",
    WISH + '[free]\nweekdays = ["sat", "sunn"]': "'sunn' is no day of the week. (wishes.toml, line 9) "
    "Did you mean 'sun'?",
    WISH + "[[away]]\nfrom = 2027-04-17\nto = 2027-04-10": "The days away run from 2027-04-17 back to 2027-04-10. "
    "(wishes.toml, line 9) Put the earlier day in 'from'.",
}  # fmt: skip


@pytest.mark.parametrize("text", WRONG, ids=range(len(WRONG)))
def test_what_is_wrong_gets_one_sentence_with_its_line(text: str) -> None:
    with pytest.raises(Trouble) as caught:
        wishes(text)
    assert str(caught.value) == WRONG[text]


def test_a_day_that_does_not_exist_is_named_with_its_line() -> None:
    with pytest.raises(Trouble, match=r"The file is not valid TOML: .*line 4"):
        wishes(WISH.replace("2027-06-20", "2027-02-30"))


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (WISH.encode("utf-16"), "The file is not text in UTF-8. (w.toml, line 1) Save it again as UTF-8."),
        (WISH.replace("Bell", "Blüte").encode("latin-1"),
         "The file is not text in UTF-8. (w.toml, line 2) Save it again as UTF-8."),
        (b"\x89PNG\r\n\x1a\n\x00", "The file is not text in UTF-8. (w.toml, line 1) Save it again as UTF-8."),
        (b"a = 1\n\xff\xfe", "The file is not text in UTF-8. (w.toml, line 2) Save it again as UTF-8."),
        (b"#" * 1_000_001, ("The file has 1,000,001 bytes; a wish file has at most 1,000,000. (w.toml) "
                           "Check that it is the right file.")),
    ],
)  # fmt: skip
def test_files_that_are_no_wish_files(tmp_path: Path, content: bytes, sentence: str) -> None:
    (tmp_path / "w.toml").write_bytes(content)
    with pytest.raises(Trouble) as caught:
        read_paper(tmp_path / "w.toml")
    assert str(caught.value) == sentence


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(Trouble, match=r"The file cannot be read: No such file or directory\. \(w\.toml\)"):
        read_paper(tmp_path / "w.toml")


def test_a_folder_is_no_wish_file(tmp_path: Path) -> None:
    with pytest.raises(Trouble, match=r"The file cannot be read: Is a directory\."):
        read_paper(tmp_path)


def test_what_is_left_out_has_its_usual_value() -> None:
    made = wishes(WISH.replace('experience = "practised"\n', ""))
    assert made.wishes[0].sure == 0.9
    assert made.wishes[0].experience == "first_time"
    assert made.free.is_free(date(2027, 4, 7))
    assert (made.minutes, made.room.callusing_c, made.wishes[0].last_frost) == (180.0, 22.5, None)


def test_today_is_the_day_at_the_bench() -> None:
    late = datetime(2026, 10, 20, 23, 30, tzinfo=UTC)  # half past one in summer time, two hours ahead
    assert today_in("Europe/Paris", late) == date(2026, 10, 21)
    assert today_in("UTC", late) == date(2026, 10, 20)
