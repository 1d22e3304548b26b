"""Whatever a file holds, reading it ends in a sheet or in sentences; nothing else may come out."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.errors import ContentComplaint, Trouble
from graftwright.handbook import parse_sheet, parse_species
from graftwright.handbook.document import examine, examine_data
from graftwright.handbook.paper import Paper
from graftwright.handbook.rules import sheet_rules, species_rules
from graftwright.handbook.schema import SHEET
from graftwright.handbook.schema_species import SPECIES
from graftwright.handbook.sheets import sheet_from
from graftwright.handbook.species import species_from
from handbook_texts import SHEET as SHEET_TEXT
from handbook_texts import SPECIES as SPECIES_TEXT

if TYPE_CHECKING:
    from collections.abc import Iterator

JUNK: list[Any] = [
    0,
    -1.5,
    10**400,
    float("inf"),
    True,
    "",
    "x",
    date(2027, 4, 18),
    [],
    ["x"],
    [1, 2],
    [[1]],
    {},
    [{}],
]
JUNK += [{"value": 1}, {"value": {}}, {"doubtful": True}, {"x": {"y": 1}}, {"source": 3}]
KINDS = [
    (SHEET_TEXT, SHEET, sheet_rules, sheet_from),
    (SPECIES_TEXT, SPECIES, species_rules, species_from),
]


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield (*path, key)
        yield from places(value, (*path, key))


def put(data: Any, path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    changed = deepcopy(data)
    inside = changed
    for part in path[:-1]:
        inside = inside[part]
    inside[path[-1]] = value
    return changed


@pytest.mark.parametrize(("text", "schema", "rules", "build"), KINDS, ids=["sheet", "species"])
def test_junk_at_any_place_of_a_file_ends_in_sentences(
    text: str, schema: Any, rules: Any, build: Any
) -> None:
    data = tomllib.loads(text)
    tried = refused = 0
    for path in places(data):
        for junk in JUNK:
            document, troubles = examine_data(put(data, path, junk), Paper("s"), schema, rules)
            assert (document is None) == bool(troubles), path
            assert all(isinstance(one, ContentComplaint) and one.sentence and one.do for one in troubles), (
                path
            )
            if document:
                assert build(document).text == ""
            tried, refused = tried + 1, refused + bool(troubles)
    assert tried > 400
    assert refused > tried / 2


@given(st.text(max_size=60))
def test_any_text_at_all(text: str) -> None:
    for parse in (parse_sheet, parse_species):
        with pytest.raises(Trouble):
            parse(text, "s")


@given(st.integers(0, len(SHEET_TEXT) - 1), st.sampled_from([*'"[]{}=,.#\n', "'''", "x", "9"]))
def test_a_sheet_with_one_wrong_character(at: int, character: str) -> None:
    text = SHEET_TEXT[:at] + character + SHEET_TEXT[at + 1 :]
    document, troubles = examine(Paper("s", text), SHEET, sheet_rules)
    assert (document is None) == bool(troubles)
    assert all(isinstance(one, ContentComplaint) and one.where.startswith("s") for one in troubles)
