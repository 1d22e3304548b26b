"""How many do I start? One answer for the wanted chance, and what to expect at each stage."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import NotEnoughComplaint
from graftwright.science.sizing import Alive, Stage, Start, alive, how_many

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["USUAL", "Size", "Stage", "size", "starts"]

USUAL = (0.5, 0.8, 0.9)  # an even chance, 8 in 10, 9 in 10


@dataclass(frozen=True)
class Size:
    """The number to start for one chance, and the counts to expect on the way."""

    answer: Start
    stages: list[Alive]


def size(want: int, sure: float, stages: Sequence[Stage]) -> Size:
    """Answer for the chance that was asked."""
    answer = how_many(want, sure, stages)
    return Size(answer, alive(answer.start, stages))


def starts(want: int, sure: float, stages: Sequence[Stage]) -> list[tuple[float, Start | None]]:
    """Answer for the usual chances and the wanted one; None where no number is enough."""
    return [(level, _start_or_none(want, level, stages)) for level in sorted({*USUAL, sure})]


def _start_or_none(want: int, sure: float, stages: Sequence[Stage]) -> Start | None:
    try:
        return how_many(want, sure, stages)
    except NotEnoughComplaint:
        return None
