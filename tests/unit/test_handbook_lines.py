"""The line of every key, against the standard reader of TOML and by hand."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.handbook.load import DATA
from graftwright.handbook.toml_lines import key_lines

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

TRICKY = '''\
# key = "in a comment"
plain = "a # b = c" # key = 1
"quoted key" = 'its = not, a key'
site.name.long = 1

text = """
inside = "no key"
\\""" still = inside
"""
raw = \'\'\'
also = inside
\'\'\'
empty = ""
rows = [
    # a comment, with = and ]
    { first = 1, second = [1, 2, { third = 3 }] },
    { first = 2 }, # trailing
]

[table]
day = 2027-05-04
[table.inner]
number = 1_000.5

[[stage]]
key = "a"
[stage.for.Malus]
mean = 0.5
[[stage.step]]
what = "x"

[[stage]]
key = "b"
[stage.for."Malus"]
mean = 0.7
[[stage.step]]
what = "y"
[[stage.step]]
what = "z"
'''


def paths(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Return the path of everything the standard reader found."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield (*path, key)
        yield from paths(value, (*path, key))


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_tricky_text_by_hand(line_end: str) -> None:
    lines = key_lines(TRICKY.replace("\n", line_end))
    tricky = TRICKY.splitlines()
    expected = {
        ("plain",): "plain =",
        ("quoted key",): '"quoted key"',
        ("site", "name", "long"): "site.name.long",
        ("text",): 'text = """',
        ("raw",): "raw =",
        ("empty",): "empty =",
        ("rows", 0, "second", 2, "third"): "{ first = 1",
        ("rows", 1, "first"): "{ first = 2",
        ("table", "day"): "day =",
        ("table", "inner", "number"): "number =",
        ("stage", 0, "step", 0, "what"): 'what = "x"',
        ("stage", 1, "step", 1, "what"): 'what = "z"',
        ("stage", 1, "for", "Malus", "mean"): "mean = 0.7",
    }
    found = {path: tricky[lines[path] - 1].strip() for path in expected}
    assert {path: line for path, line in found.items() if not line.startswith(expected[path])} == {}


def test_every_path_of_the_standard_reader_has_a_line_and_no_other_has() -> None:
    assert set(key_lines(TRICKY)) == set(paths(tomllib.loads(TRICKY)))


@pytest.mark.parametrize("file", sorted(DATA.rglob("*.toml")), ids=lambda path: path.stem)
def test_each_key_of_the_handbook_stands_on_its_line(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    lines = key_lines(text)
    assert set(lines) == set(paths(tomllib.loads(text)))
    rows = text.splitlines()
    named = {path: rows[line - 1] for path, line in lines.items() if isinstance(path[-1], str)}
    assert [path for path, row in named.items() if str(path[-1]) not in row] == []


words = st.text(st.sampled_from("ab-_9"), min_size=1, max_size=3)
scalars = st.sampled_from(
    ["1", "-0.5", "true", '"a = [b] # {"', "'}'", '"""x\ny = 1"""', "2027-01-02", "[]", "{}"]
)


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[tuple[str | int, ...], int]]:
    """Write tables, arrays of tables, scalars and inline tables, and remember each key's line."""
    lines: list[str] = []
    where: dict[tuple[str | int, ...], int] = {}
    for number, table in enumerate(draw(st.lists(words, unique=True, max_size=4))):
        array = draw(st.booleans())
        lines += [""] * draw(st.integers(0, 2)) + [
            f"[[{table}]]" if array else f"[ {table} ]  # {number} = x"
        ]
        path: tuple[str | int, ...] = (table, 0) if array else (table,)
        where |= {path[:length]: len(lines) for length in range(1, len(path) + 1)}
        for key in draw(st.lists(words, unique=True, max_size=4)):
            value = draw(scalars)
            inline = draw(st.booleans())
            where[*path, key] = len(lines) + 1
            if inline:
                where[*path, key, "k"] = len(lines) + 1
            lines += (f"{key} = {{ k = {value} }}" if inline else f"{key} = {value}").split("\n")
    return "\n".join(lines), where


@given(documents())
def test_any_mixture_of_tables_and_values(document: tuple[str, dict[tuple[str | int, ...], int]]) -> None:
    text, where = document
    tomllib.loads(text)
    assert key_lines(text) == where
