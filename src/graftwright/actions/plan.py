"""The plan of a season: which day each batch is grafted, what it takes, and what cannot be met."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.actions.plan_clash import name_clashes
from graftwright.actions.plan_greedy import Ground, lay_out
from graftwright.actions.plan_notes import with_notes
from graftwright.actions.plan_steps import with_steps

if TYPE_CHECKING:
    from datetime import date

    from graftwright.actions.plan_parts import Plan
    from graftwright.actions.wish_file import Wishes
    from graftwright.handbook import Handbook


def place(wishes: Wishes, handbook: Handbook, today: date) -> Plan:
    """Lay out the season, name the wishes that clash, and put the steps that follow on free days."""
    ground = Ground(wishes, handbook, today)
    made = lay_out(ground, {wish.number for wish in wishes.wishes})
    return with_notes(with_steps(name_clashes(made, ground), wishes, handbook), wishes, handbook)
