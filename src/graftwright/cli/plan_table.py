"""The season plan as a table for people."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Any

from graftwright.actions.amounts import amount_of

if TYPE_CHECKING:
    from collections.abc import Iterator

WIDTH = 100


def table(plan: dict[str, Any]) -> Iterator[str]:
    """Write a plan in lines of at most 100 columns."""
    if not plan["batches"] and not plan["unmet"]:
        yield "Nothing is to be grafted: no wish is open, or all are sure enough."
    for batch in plan["batches"]:
        yield from _batch(batch)
    yield from _listed("CANNOT BE MET", [one["sentence"] for one in plan["unmet"]])
    yield from _listed("MIND", plan["warnings"])
    yield from _listed("RESTS ON", plan["notes"])
    yield from _listed("CHANGED SINCE THE PLAN KEPT LAST", plan.get("changes", []))
    if kept := plan.get("kept_as"):
        yield f"Kept as entry {kept}."
    if plan["batches"]:
        yield from _hanging("In all: " + ", ".join(amount_of(*item) for item in plan["totals"].items()), 0)
        yield from _hanging("Hours: " + ", ".join(f"{week} {n:.1f}" for week, n in plan["hours"].items()), 0)


def _listed(heading: str, sentences: list[str]) -> Iterator[str]:
    if sentences:
        yield heading
        yield from (line for said in sentences for line in _hanging(said))
        yield ""


def _batch(batch: dict[str, Any]) -> Iterator[str]:
    purpose = f", for {batch['for']}" if batch["for"] else ""
    yield from _hanging(
        f"{batch['variety']} (wish {batch['wish']}{purpose}): graft {batch['grafts']} on {batch['graft_on']}",
        0,
    )
    if batch["bring_out"]:
        yield from _hanging(
            f"chill {batch['nuts']} nuts on {batch['chill_on']}, bring them out on {batch['bring_out']}"
        )
    yield f"  {'':<15}{'earliest':<12}{'likely':<12}latest"
    for one in batch["windows"]:
        yield f"  {one['name']:<15}{one['earliest']:<12}{one['likely']:<12}{one['latest']}"
    alive = (f"{one['name']} {one['expected']:.0f} ({one['low']}-{one['high']})" for one in batch["counts"])
    yield from _hanging("alive after: " + ", ".join(alive))
    if batch["steps"]:
        yield from _hanging("on free days: " + ", ".join(map(_step, batch["steps"])))
    yield from (line for said in batch["warnings"] for line in _hanging(f"mind: {said}"))
    yield ""


def _step(step: dict[str, Any]) -> str:
    return f"{step['name']} {step['plants']} on {step['on']} ({step['minutes']:.0f} min)"


def _hanging(text: str, indent: int = 2) -> list[str]:
    return wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))
