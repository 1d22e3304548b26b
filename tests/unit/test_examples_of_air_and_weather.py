"""The examples in the manual text of these functions are run."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest


@pytest.mark.parametrize(
    "name",
    [
        "air",
        "bag",
        "openings",
        "vents",
        "weaning",
        "weighing",
        "chill",
        "degree_days",
        "hourly",
        "frost",
        "frost_levels",
        "gaps",
        "mixes",
        "cutting",
    ],
)
def test_examples(name: str) -> None:
    result = doctest.testmod(import_module(f"graftwright.science.{name}"))
    assert result.attempted > 0
    assert result.failed == 0
