"""The search for the first number that reaches a level, against looking at every one."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.science.search import first_reaching


@settings(derandomize=True, deadline=None, max_examples=400)
@given(
    rises=st.lists(st.one_of(st.just(0.0), st.floats(0, 1e-9), st.floats(0, 1e9)), min_size=1, max_size=300),
    level=st.floats(-1, 1e9),
    low=st.integers(-5, 50),
    guess=st.integers(-100, 500),
)
def test_finds_what_looking_at_every_one_finds(
    rises: list[float], level: float, low: int, guess: int
) -> None:
    values, total = [], 0.0
    for rise in rises:
        total += rise
        values.append(total)
    reaching = (low + n for n, value in enumerate(values) if value >= level)
    found = first_reaching(lambda n: values[n - low], level, low=low, high=low + len(values) - 1, guess=guess)
    assert found == next(reaching, None)


def test_a_good_guess_needs_few_tries() -> None:
    tried: list[int] = []

    def value(n: int) -> float:
        tried.append(n)
        return n**0.5

    assert first_reaching(value, 1000.0, low=1, high=10_000_000, guess=990_000) == 1_000_000
    assert len(tried) <= 8
