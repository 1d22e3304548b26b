"""A bench in every kind of notebook; when a test has used it, the book must keep to every rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from ledger_bench import NOTEBOOKS, LedgerBench
from ledger_rules import check_all_rules

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(params=NOTEBOOKS)
def bench(request: pytest.FixtureRequest) -> Iterator[LedgerBench]:
    with NOTEBOOKS[request.param]() as notebook:
        yield LedgerBench(notebook)
        check_all_rules(notebook)
