"""The season plan as a table for people."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

WIDTH = 100


def table(plan: dict[str, Any]) -> Iterator[str]:
    """Write a plan in lines of at most 100 columns."""
    for batch in plan["batches"]:
        yield from _batch(batch)
    if plan["unmet"]:
        yield "CANNOT BE MET"
        yield from (line for one in plan["unmet"] for line in _hanging(one["sentence"]))
        yield ""
    if plan["warnings"]:
        yield "MIND"
        yield from (line for said in plan["warnings"] for line in _hanging(said))
        yield ""
    if plan["batches"]:
        yield from _hanging("In all: " + ", ".join(f"{n:g} {name}" for name, n in plan["totals"].items()))
        yield from _hanging("Hours: " + ", ".join(f"{week} {n:.1f}" for week, n in plan["hours"].items()))


def _batch(batch: dict[str, Any]) -> Iterator[str]:
    yield from _hanging(
        f"{batch['variety']} (wish {batch['wish']}): graft {batch['grafts']} on {batch['graft_on']}", 0
    )
    if batch["bring_out"]:
        yield from _hanging(
            f"chill {batch['nuts']} nuts on {batch['chill_on']}, bring them out on {batch['bring_out']}"
        )
    yield f"  {'':<12}{'earliest':<12}{'likely':<12}latest"
    for one in batch["windows"]:
        yield f"  {one['name']:<12}{one['earliest']:<12}{one['likely']:<12}{one['latest']}"
    alive = (f"{one['name']} {one['expected']:.0f} ({one['low']}-{one['high']})" for one in batch["counts"])
    yield from _hanging("alive after: " + ", ".join(alive))
    yield from (line for said in batch["warnings"] for line in _hanging(f"mind: {said}"))
    yield ""


def _hanging(text: str, indent: int = 2) -> list[str]:
    return wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))
