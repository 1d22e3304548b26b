"""What speaks against a day that keeps all rules: a sentence, and what it costs the day against others."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from graftwright.actions.plan_steps import missed, that_cannot_wait

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from graftwright.actions.plan_parts import Dated
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species

_WINDOW_MISSED, _CHILL_SHORT, _OLD_WOOD, _TOLD_ONLY = 4, 2, 1, 0

Doubt = tuple[str, int]


def windows_missed(windows: Sequence[Dated], sheet: Sheet, wishes: Wishes) -> Iterator[Doubt]:
    """Windows of steps that cannot wait, without a free day."""
    urgent = that_cannot_wait(sheet)
    for one in windows:
        said = missed(one.name, one.earliest, one.latest, wishes) if one.name in urgent else ""
        if said:
            yield said, _WINDOW_MISSED


def waits_for_frost(windows: Sequence[Dated], last_frost: date | None) -> Iterator[Doubt]:
    """Trees that could be set out, were it not for the frost."""
    for grown, one in pairwise(windows):
        if last_frost and one.name == "hardening" and grown.likely <= last_frost:
            yield f"hardening: {grown.likely} is before the last frost on {last_frost}, it waits", _TOLD_ONLY


def chill_short(species: Species, chill_on: date | None, out: date | None) -> Iterator[Doubt]:
    """Chill that is enough, but less than is better."""
    better = species.chill.days[0] if species.chill and species.chill.days else 0
    short = better - (out - chill_on).days if out and chill_on else 0
    if short > 0:
        yield f"chill short by {short:g} days: {better:g} are better than {better - short:g}", _CHILL_SHORT


def old_wood(day: date, wish: Wish, wishes: Wishes, species: Species) -> Iterator[Doubt]:
    """Wood that has been kept for longer than it surely keeps."""
    keeps = species.scionwood.keeps_days if species.scionwood else None
    for lot in wishes.wood:
        age = (day - lot.cut).days
        if keeps and lot.variety == wish.variety and lot.buds and age > keeps[0]:
            said = (
                f"wood cut on {lot.cut} is {age} days old by then and may be past dormancy, "
                f"it keeps {keeps[0]:g} to {keeps[1]:g} days: look at it well"
            )
            yield said, _OLD_WOOD
