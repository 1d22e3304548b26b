"""What an entry must make sense of besides its single fields: days in their order, bags for grafts, a site's place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.actions.site import read_latitude, read_weekdays, read_zone
from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Mapping


class SaysNothing(ValueComplaint):
    """A description that describes nothing."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"Nothing is said of this {what}.", do="Give its name, or whatever else is known of it."
        )


class BackBeforeGone(ValueComplaint):
    """Days away that end before they begin."""

    def __init__(self, first: str, last: str) -> None:
        super().__init__(f"The last day away, {last}, comes before the first, {first}.", where="to_day",
                         do="Type the earlier day first.")  # fmt: skip


class MoreBagsThanGrafts(ValueComplaint):
    """Bags that would stay empty."""

    def __init__(self, bags: int, grafts: int) -> None:
        super().__init__(f"{bags} bags are too many for {grafts} graft{'s' if grafts > 1 else ''}.", where="bags",
                         do="Say how many bags they lie in.")  # fmt: skip


class NoChance(ValueComplaint):
    """A wanted chance that nobody can be given."""

    def __init__(self, sure: float) -> None:
        super().__init__(f"'sure' must be from 0.01 to 0.999, not {sure:g}.", where="sure",
                         do="Type 0.9 for 9 seasons in 10.")  # fmt: skip


class OneThingOfOwn(ValueComplaint):
    """An own value without its path or its value, or several things at once."""

    def __init__(self) -> None:
        super().__init__(
            "This is not one value of your own.",
            do="Say a path with your value, a path that goes back to the handbook's, or how practised you are.",
        )


class CountedAndNot(ValueComplaint):
    """A number, and that nobody counted."""

    def __init__(self) -> None:
        super().__init__("A lot is counted or uncounted, not both.", where="uncounted",
                         do="Give the number, or say that it is uncounted.")  # fmt: skip


def check_sense(kind: str, said: Mapping[str, Any]) -> None:
    """Refuse an entry whose fields are right one by one and wrong together."""
    if kind == "describe":
        _described(said)
    elif kind == "receive" and said.get("uncounted") and {"count", "sticks"} & said.keys():
        raise CountedAndNot
    elif kind == "away" and said["to_day"] < said["from_day"]:
        raise BackBeforeGone(said["from_day"], said["to_day"])
    elif kind == "adopt":
        _adopted(said)
    elif kind == "graft" and said.get("bags", 0) > said["count"]:
        raise MoreBagsThanGrafts(said["bags"], said["count"])
    elif kind == "wish" and not 0.01 <= said.get("sure", 0.9) <= 0.999:
        raise NoChance(said["sure"])


def _described(said: Mapping[str, Any]) -> None:
    if not said.keys() - {"what"}:
        raise SaysNothing(said["what"].replace("-", " "))
    read_zone(said.get("time_zone", "UTC"))
    read_weekdays(said.get("free_days", ""))
    read_latitude(said.get("latitude", 0.0))


def _adopted(said: Mapping[str, Any]) -> None:
    ways = [name for name in ("value", "back", "experience") if said.get(name)]
    if len(ways) != 1 or ("path" in said) == ("experience" in said):
        raise OneThingOfOwn
