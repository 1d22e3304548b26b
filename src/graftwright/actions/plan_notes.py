"""What a plan takes as given: wood, seed and frost that the file does not name, or names by a file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from graftwright.actions.own import own_words
from graftwright.actions.plan_supplies import floated

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.plan_parts import Plan
    from graftwright.actions.wish_file import Wishes
    from graftwright.handbook import Handbook, Species


def with_notes(plan: Plan, wishes: Wishes, handbook: Handbook) -> Plan:
    """Add the warnings that are about no batch alone, and what the plan rests on."""
    genera = dict.fromkeys(batch.species for batch in plan.batches)
    told = tuple(
        said for genus in genera if any(lot.species == genus for lot in wishes.seed)
        for said in _hollow(handbook.species[genus], done=floated(wishes, genus))
    )  # fmt: skip
    pages = {name for batch in plan.batches for name in (batch.sheet, batch.species)}
    if own := own_words(handbook, pages):
        told = (*told, f"The plan counts with your own: {own}.")
    return replace(plan, warnings=(*plan.warnings, *_missing(plan, wishes)), notes=(*wishes.notes, *told))


def _missing(plan: Plan, wishes: Wishes) -> Iterator[str]:
    with_wood, with_seed = {one.variety for one in wishes.wood}, {one.species for one in wishes.seed}
    for variety in dict.fromkeys(batch.variety for batch in plan.batches):
        if variety not in with_wood:
            yield f"No wood of {variety} is noted: the plan takes it as there."
    for genus in dict.fromkeys(batch.species for batch in plan.batches):
        if genus not in with_seed:
            yield f"No seed of {genus} is noted: the plan takes it as there today."
    if plan.batches and wishes.weather is None and all(wish.last_frost is None for wish in wishes.wishes):
        yield "No last frost is noted: hardening is planned without it."


def _hollow(species: Species, *, done: bool) -> Iterator[str]:
    """Say what it changes that nuts are floated, or not yet."""
    known = any(
        figures.survival for stage in species.seed_stages
        if stage.ended_by == "chill" and (figures := stage.figures(species.genus))
    )  # fmt: skip
    if done:
        less = (
            "no loss for hollow ones is reckoned, and " if known else "the count stands for sound nuts, and "
        )
        yield f"The nuts of {species.genus} are floated: {less}no time for floating is planned."
    elif species.seed_stages and not known:
        yield (
            f"The nuts of {species.genus} are not all floated: how many are hollow stands in no sheet, so the plan "
            "takes every one as sound. Float them and give the count of those that sank."
        )
