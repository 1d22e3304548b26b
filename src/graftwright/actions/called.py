"""What people call things in a line: a name, or a code with the variety."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.actions.show import label

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from graftwright.actions.ports import Reading
    from graftwright.ledger.things import Thing


LINKS = ("part_of", "scion", "variety")


def called(reading: Reading, codes: Iterable[str]) -> dict[str, str]:
    """Return what to call each thing; a batch or a plant goes by the variety of its scions."""
    known = reading.things(set(codes) - {""})
    around = with_origins(reading, known)
    return {code: _called(one, around) for code, one in known.items()}


def with_origins(reading: Reading, known: Mapping[str, Thing]) -> dict[str, Thing]:
    """Add to some things what they come from: a plant's batch, its scions, their variety."""
    around = dict(known)
    for name in LINKS:
        around |= reading.things({link(one, name) for one in around.values()} - {"", *around})
    return around


def link(thing: Thing, name: str) -> str:
    """Return the code that a thing leads to by one of the links; '' where it has none."""
    return thing.part_of if name == "part_of" else str(thing.get(name, ""))


def _called(thing: Thing, known: dict[str, Thing]) -> str:
    batch = known.get(thing.part_of, thing)
    scion = known.get(str(batch.get("scion", "")))
    variety = known.get(str(scion.get("variety", ""))) if scion else None
    return f"{label(thing, known)} {variety.name}" if variety else label(thing, known)
