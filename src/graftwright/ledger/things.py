"""The things a ledger speaks of: varieties, lots, batches, plants, places, people.

A thing is the sum of what entries said of it. Each entry that is not crossed out contributes
attributes, and each attribute keeps its history, so a new name or a new shelf holds from its day on
and crossing out an entry takes back exactly what that entry said.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

LOT_KINDS = ("seed", "scionwood", "stock")
_LOTS_IN_WORDS = {kind: f"{kind} lot" for kind in LOT_KINDS}
PLACE_KINDS = (
    "bag", "box", "tray", "pot", "bed", "row", "shelf", "room", "refrigerator", "frame", "ground", "tree", "limb",
)  # fmt: skip
# what a grower says of the handbook is kept under these and the key of the sheet or genus; nobody can type them
OWN, PRACTICE = "handbook:", "experience:"
KEYED_KINDS = ("variety", "source-tree", "person", "site", "settings")


def one_of(kinds: Sequence[str]) -> str:
    """Say kinds of thing as a choice: 'batch or plant', 'seed lot, stock lot or place'."""
    words = [_LOTS_IN_WORDS.get(kind, kind.replace("-", " ")) for kind in kinds]
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1])))


@dataclass(frozen=True, slots=True)
class Saying:
    """One value of one attribute: from which point of the order on, and which entry said it."""

    key: str
    number: int
    value: Any

    @property
    def turn(self) -> int:
        """The turn of the entry that said it."""
        return int(self.key.rpartition(" ")[2])


@dataclass(frozen=True)
class Thing:
    """A code or key, what kind of thing it is, and what has been said of it."""

    code: str
    kind: str
    part_of: str = ""
    said: Mapping[str, tuple[Saying, ...]] = field(default_factory=dict)
    latest: str = ""

    def get(self, name: str, default: Any = None, *, at: str | None = None) -> Any:
        """Value of an attribute at a point of the order (now, if none is given).

        Before anything was said of it, the first thing said holds.
        """
        sayings = self.said.get(name, ())
        if not sayings:
            return default
        if at is None:
            return sayings[-1].value
        return next((saying.value for saying in reversed(sayings) if saying.key <= at), sayings[0].value)

    def said_by(self, name: str, at: str) -> Any:
        """Value that somebody had said of an attribute by a point of the order; None if nobody had."""
        return next((one.value for one in reversed(self.said.get(name, ())) if one.key <= at), None)

    @property
    def exists(self) -> bool:
        """Whether any entry that still stands has made it."""
        return bool(self.said)

    @property
    def made_at(self) -> str:
        """The first point of the order at which it was there."""
        return min((sayings[0].key for sayings in self.said.values()), default="")

    @property
    def name(self) -> str:
        """Return the name people gave it, or its code."""
        return str(self.get("name", self.code))

    def with_said(self, key: str, number: int, attributes: Mapping[str, Any]) -> Thing:
        """Add what one entry says."""
        said = dict(self.said)
        for name, value in attributes.items():
            sayings = (*said.get(name, ()), Saying(key, number, value))
            said[name] = tuple(sorted(sayings, key=lambda saying: (saying.key, saying.number)))
        return replace(self, said=said)

    def without(self, numbers: Iterable[int]) -> Thing:
        """Take back what crossed-out entries said."""
        gone = set(numbers)
        kept = {
            name: tuple(saying for saying in sayings if saying.number not in gone)
            for name, sayings in self.said.items()
        }
        return replace(self, said={name: sayings for name, sayings in kept.items() if sayings})


@dataclass(frozen=True)
class Making:
    """What one entry says of one thing."""

    code: str
    kind: str
    attributes: Mapping[str, Any]
    part_of: str = ""
