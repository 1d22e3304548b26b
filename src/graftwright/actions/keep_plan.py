"""The season's plan made from the notebook: kept, and made again when wishes change."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from graftwright.actions.outlook import MOST, outlook
from graftwright.actions.plan import place
from graftwright.actions.plan_json import as_json
from graftwright.actions.plan_parts import Plan
from graftwright.actions.ports import Draft
from graftwright.actions.seasons_ahead import seasons
from graftwright.actions.wanted import wanted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from graftwright.actions.outlook import Asked
    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.actions.wish_file import Wish, Wishes


def plan_of(reading: Reading, site: Site, asked: Asked, wishes: Wishes) -> Plan:
    """Plan what is still to be grafted for the wishes of a notebook."""
    reckoned = replace(asked, most=lambda _wish, _wishes: (MOST, ""), planned={})
    seen = {one.wish.number: one for one in outlook(reading, site, reckoned).chances}

    def still(wish: Wish) -> Wish:
        one = seen.get(wish.number)
        return wish if one is None or not one.made else replace(wish, start=one.top_up)

    due = [still(wish) for wish in wishes.wishes]
    parted = seasons(due, wishes, asked.today, southern=site.southern)
    return _joined([place(one, asked.handbook, asked.today) for one in parted], asked.today)


def _joined(plans: Sequence[Plan], today: date) -> Plan:
    def every(part: str) -> Iterator[Any]:
        return (one for plan in plans for one in getattr(plan, part))

    return Plan(
        today, tuple(every("batches")), tuple(every("unmet")), tuple(dict.fromkeys(every("warnings"))),
        tuple(dict.fromkeys(every("notes"))),
    )  # fmt: skip


@dataclass(frozen=True)
class Made:
    """A plan made from a notebook: what it was made for, what it is, and the one kept before it."""

    wishes: Wishes
    plan: Plan
    value: dict[str, Any]
    before: dict[str, Any] | None


def make(reading: Reading, site: Site, asked: Asked) -> Made:
    """Make the season's plan from the notebook as it stands today."""
    wishes = wanted(reading, site, asked.today, asked.experience)
    plan, before = plan_of(reading, site, asked, wishes), kept(reading)
    return Made(wishes, plan, as_json(plan, asked.handbook), before[1] if before else None)


def kept(reading: Reading) -> tuple[int, dict[str, Any]] | None:
    """Return the plan kept last, and the number of its entry."""
    told = reading.of_kind("plan")
    return (told[-1].number, told[-1].get("plan")) if told else None


def planned(plan: dict[str, Any], today: date) -> dict[int, int]:
    """Return for each wish the grafts that a kept plan still has before it."""
    grafts = Counter[int]()
    for batch in plan["batches"]:
        if batch.get("graft_on", "") >= today.isoformat():
            grafts[batch.get("wish", 0)] += batch["grafts"]
    return dict(grafts)


def wishes_changed(plan: Mapping[str, Any], wishes: Wishes, today: date) -> bool:
    """Whether a wish came, was put right or crossed out since a plan was made."""
    planned_for = {number for number, by in plan.get("wishes", ()) if by >= today.isoformat()}
    return planned_for != {wish.number for wish in wishes.wishes}


def keep(value: dict[str, Any], wishes: Iterable[Wish], id_: str = "") -> Draft:
    """Draft the entry that keeps a plan, with the wishes it was made for."""
    made_for = [[wish.number, wish.by.isoformat()] for wish in wishes]
    return Draft("plan", "", {"plan": {**value, "wishes": made_for}}, id=id_)


def wishes_to_tell(wishes: Iterable[Wish], known: Iterable[Wish]) -> Iterator[Draft]:
    """Draft an entry for each wish of a file that the notebook does not have yet."""
    have = Counter(map(_content, known))
    for wish in wishes:
        if have[_content(wish)]:
            have[_content(wish)] -= 1
            continue
        said = {"count": wish.trees, "ready_by": wish.by.isoformat(), "sure": wish.sure, "sheet": wish.sheet,
                "genus": wish.species, "purpose": wish.purpose}  # fmt: skip
        yield Draft("wish", wish.variety, {name: value for name, value in said.items() if value})


def _content(wish: Wish) -> tuple[object, ...]:
    return (wish.variety.casefold(), wish.trees, wish.by, wish.sure, wish.sheet, wish.species, wish.purpose)


def numbered_as(value: dict[str, Any], wishes: Iterable[Wish], known: Iterable[Wish]) -> dict[str, Any]:
    """Let the batches of a file's plan name their wishes by the numbers of the notebook's entries."""
    entries: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for wish in known:
        entries[_content(wish)].append(wish.number)
    numbers = {wish.number: entries[_content(wish)].pop(0) for wish in wishes}
    return {
        **value,
        **{
            part: [{**one, "wish": numbers[one["wish"]]} for one in value[part]]
            for part in ("batches", "unmet")
        },
    }
