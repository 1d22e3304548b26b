"""What an entry says of things: which it makes, and which it describes further."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.ledger.things import OWN, PRACTICE, Making

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from graftwright.ledger.entries import Entry


def makings(e: Entry) -> tuple[Making, ...]:
    """Everything an entry says of things; nothing of it depends on what stands before."""
    own = _MAKERS.get(e.kind, _nothing)(e)
    return (*own, *_on_the_spot(e))


def _some(**attributes: Any) -> Mapping[str, Any]:
    return {name: value for name, value in attributes.items() if value not in (None, "")}


def _nothing(e: Entry) -> list[Making]:
    del e
    return []


def _describe(e: Entry) -> list[Making]:
    attributes = {name: value for name, value in e.said.items() if name not in ("what", "note")}
    return [Making(e.subject, e.get("what"), {"described": True, **attributes})]


def _lot(e: Entry) -> list[Making]:
    kind = e.get("what", "scionwood")
    wanted = ("of", "variety", "genus", "origin", "permit", "hold_until", "tree")
    said = {name: e.get(name) for name in wanted}
    own = _some(day=e.day, sheet=e.get("sheet_version"), uncounted=bool(e.get("uncounted")), **said)
    return [Making(e.subject, kind, own)]


def _graft(e: Entry) -> list[Making]:
    batch = Making(
        e.subject,
        "batch",
        _some(day=e.day, count=e.get("count"), scion=e.get("scion"), stock=e.get("stock"), by=e.by,
              sheet=e.get("sheet_version"), buds=e.get("buds", 1), genus=e.get("genus"),
              attempt=2 if e.kind == "regraft" else 1),
    )  # fmt: skip
    bags = [
        Making(bag, "place", _some(place_kind="bag", within=e.get("place"))) for bag in e.get("new_bags", ())
    ]
    return [batch, *bags]


def _codes(e: Entry) -> list[Making]:
    return [Making(plant, "plant", {"day": e.day}, part_of=e.subject) for plant in e.get("plant_codes", ())]


def _fail(e: Entry) -> list[Making]:
    return [Making(e.get("again"), "stock", {"day": e.day, "from_batch": e.subject, "to_work_again": True})]


def _carry(e: Entry) -> list[Making]:
    return [Making(e.subject, "place", {"within": e.get("to")})] if e.get("carries_place") else []


def _adopt(e: Entry) -> list[Making]:
    """A value of one's own, or None where the handbook's holds again; or how practised one is."""
    of = e.get("of")
    if practice := e.get("experience"):
        return [Making(f"{PRACTICE}{of}", "experience", {"experience": practice})]
    own = {"value": e.get("read"), "scope": e.get("scope", ""), "note": e.get("note", "")}
    return [Making(f"{OWN}{of}", "handbook", {e.get("path"): None if e.get("back") else own})]


def _on_the_spot(e: Entry) -> list[Making]:
    """Varieties, people and places that were named for the first time in this entry."""
    return [
        Making(code, kind, {"name": name, **extra}) for code, kind, name, extra in e.get("on_the_spot", ())
    ]


_MAKERS: dict[str, Callable[[Entry], list[Making]]] = {
    "describe": _describe,
    "receive": _lot,
    "cut-scions": _lot,
    "graft": _graft,
    "regraft": _graft,
    "codes": _codes,
    "fail": _fail,
    "carry": _carry,
    "adopt": _adopt,
}
