"""A value's origin: its own, else its block's, else its stage's; and a grower's values beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

# The words in which a file says where a value comes from.
ORIGIN = ("source", "grade", "scope", "doubtful", "note")


@dataclass(frozen=True)
class Origin:
    """Where a value comes from and how far it is trusted."""

    source: str = ""
    grade: str = ""
    scope: str = ""
    doubtful: bool = False
    note: str = ""

    def narrowed(self, given: Mapping[str, Any]) -> Origin:
        """Take what stands nearer; a source of its own leaves nothing of the outer one behind."""
        outer = Origin() if "source" in given else self
        return replace(outer, **{key: given[key] for key in ORIGIN if key in given})


NOWHERE = Origin()


class Figure(NamedTuple):
    """One value as it is shown: where it stands, what it is, its unit, where it comes from.

    `about` puts into words what it is a figure of, where the path has only a row's number.
    """

    path: str
    value: Any
    unit: str
    origin: Origin
    about: str = ""


@dataclass(frozen=True)
class OwnValue:
    """A grower's own figure for the value at a path, what it rests on, and where it was written."""

    path: str
    value: Any
    scope: str
    note: str = ""
    where: str = "own values"
