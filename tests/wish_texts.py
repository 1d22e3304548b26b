"""Wish files for tests."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from graftwright.actions.wish_file import Wishes, read_wishes
from graftwright.handbook import load_handbook
from graftwright.handbook.paper import Paper

if TYPE_CHECKING:
    from graftwright.handbook import Handbook

WISH = """[[wish]]
variety = "Copper Bell"
trees = 3
by = 2027-06-20
sheet = "hypocotyl-closed-bag"
species = "Castanea"
experience = "practised"
"""


@lru_cache(maxsize=1)
def handbook() -> Handbook:
    return load_handbook()


def wishes(text: str) -> Wishes:
    return read_wishes(Paper("wishes.toml", text), handbook())
