"""How many grafts can still be made for a wish, or why none can."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from graftwright.actions.chain import chain
from graftwright.actions.outlook import MOST
from graftwright.actions.plan_days import Days
from graftwright.actions.plan_supplies import sprouts_of
from graftwright.actions.plan_windows import Clocks
from graftwright.actions.seasons_ahead import of_the_season
from graftwright.handbook.untried import untried

if TYPE_CHECKING:
    from datetime import date

    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook import Handbook
    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species


def still(handbook: Handbook, wish: Wish, wishes: Wishes, today: date, *, southern: bool) -> tuple[int, str]:
    """Return the most grafts that can still be made and what limits them, or 0 and why it is too late."""
    wishes = of_the_season(replace(wishes, wishes=(wish,)), wish.by, today, southern=southern)
    sheet, species = handbook.sheet(wish.sheet), handbook.species.get(wish.species)
    why = untried(sheet, species, wish.species)
    if why or species is None:
        return 0, why or f"nothing is known of {wish.species}"
    most, limit = min(_wood(wish, wishes, sheet), _stocks(wish, wishes, species), key=lambda one: one[0])
    if not most:
        return 0, limit
    clocks = Clocks(wishes.room.callusing_c, wishes.room.refrigerator_c)
    days = Days(wish, wishes, sheet, species, clocks, today, 1)
    return (most, limit) if days.sittings() else (0, days.why_not)


def _wood(wish: Wish, wishes: Wishes, sheet: Sheet) -> tuple[int, str]:
    buds = sum(one.buds for one in wishes.wood if one.variety == wish.variety)
    if not buds:
        return 0, f"no wood of {wish.variety} is left"
    grafts = buds // int((sheet.buds_per_scion or (1, 1))[0])
    return min(grafts, MOST), "all that its wood gives"


def _stocks(wish: Wish, wishes: Wishes, species: Species) -> tuple[int, str]:
    nuts = sum(one.count for one in wishes.seed if one.species == wish.species)
    stocks = wishes.stocks.get(wish.species, 0)
    if not nuts and not stocks:
        return 0, f"no nuts or stocks of {wish.species} are left"
    grown = (
        sprouts_of(min(nuts, MOST), chain(species.seed_stages, wish.species, wish.experience)) if nuts else 0
    )
    return min(stocks + grown, MOST), "all that its nuts and stocks give"
