"""A grower at the command line, in this process: the same session that writes the examples of the manual."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

from house import ROOT

sys.path.append(str(ROOT / "docs"))
from _session import Session, Told

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["Session", "Told", "made", "small_book"]


def made(session: Session, *words: str) -> dict[str, Any]:
    """Run a command that must succeed and return its JSON value."""
    told = session.run(*words, "--json")
    assert (told.exit_code, told.err) == (0, ""), told
    value: dict[str, Any] = json.loads(told.out)
    return value


def small_book(path: Path) -> tuple[Session, dict[str, str]]:
    """Make a notebook with nuts, wood and six grafts in three bags, and give the codes by name."""
    session = Session(path, "2027-04-03")
    made(session, "new", "--name", "Hazel Row", "--time-zone", "Europe/Paris")
    for name, kind, warmth in (("Cold box", "refrigerator", "3"), ("Warm shelf", "shelf", "22.5")):
        made(session, "record", "describe", "--what", "place", "--name", name, "--place-kind", kind,
             "--temperature-c", warmth)  # fmt: skip
    codes = {}
    codes["nuts"] = made(session, "record", "receive", "40", "--what", "seed", "--of", "Old Hedge",
                         "--genus", "Castanea", "--place", "Cold box", "--day", "2026-10-18")["subject"]  # fmt: skip
    made(session, "record", "chill", codes["nuts"], "--day", "2026-11-02")
    made(session, "record", "bring-out", codes["nuts"], "--place", "Warm shelf", "--day", "2027-03-20")
    made(session, "record", "pull", codes["nuts"], "12")
    codes["wood"] = made(session, "record", "cut-scions", "--of", "Copper Bell", "--sticks", "4",
                         "--buds-per-stick", "5", "--day", "2027-01-30")["subject"]  # fmt: skip
    grafted = made(session, "record", "graft", "6", "--scion", codes["wood"], "--stock", codes["nuts"],
                   "--sheet", "hypocotyl-closed-bag", "--place", "Warm shelf", "--bags", "3")  # fmt: skip
    codes["batch"] = grafted["subject"]
    codes |= {f"bag{n}": bag for n, bag in enumerate(grafted["made"]["bags"], start=1)}
    session.today = "2027-04-18"
    return session, codes
