"""A plan as scripts receive it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.actions.plan_totals import hours, totals

if TYPE_CHECKING:
    from datetime import date

    from graftwright.actions.plan_parts import Batch, Plan, Unmet
    from graftwright.handbook import Handbook


def as_json(plan: Plan, handbook: Handbook) -> dict[str, Any]:
    """Return the plan as scripts receive it."""
    return {
        "today": plan.today.isoformat(),
        "batches": [_batch(batch) for batch in plan.batches],
        "unmet": [_unmet(one) for one in plan.unmet],
        "warnings": list(plan.warnings),
        "notes": list(plan.notes),
        "totals": totals(plan, handbook),
        "hours": hours(plan, handbook),
    }


def _unmet(one: Unmet) -> dict[str, Any]:
    return {
        "wish": one.wish, "variety": one.variety, "for": one.purpose, "needed": one.needed, "placed": one.placed,
        "sentence": one.sentence, "clashes": list(one.clashes), "clash": list(one.clash),
    }  # fmt: skip


def _batch(batch: Batch) -> dict[str, Any]:
    return {
        "wish": batch.wish, "variety": batch.variety, "for": batch.purpose, "species": batch.species,
        "sheet": batch.sheet, "grafts": batch.grafts, "nuts": batch.nuts, "chill_on": _said(batch.chill_on),
        "bring_out": _said(batch.bring_out), "graft_on": _said(batch.graft_on), "ready": _said(batch.ready),
        "windows": [
            {"name": one.name, "earliest": _said(one.earliest), "likely": _said(one.likely),
             "latest": _said(one.latest)}
            for one in batch.windows
        ],
        "steps": [
            {"name": one.name, "on": _said(one.on), "plants": one.plants, "minutes": round(one.minutes, 1)}
            for one in batch.steps
        ],
        "counts": [
            {"name": one.name, "expected": one.expected, "low": one.low, "high": one.high} for one in batch.counts
        ],
        "warnings": list(batch.warnings),
    }  # fmt: skip


def _said(day: date | None) -> str | None:
    return day.isoformat() if day else None
