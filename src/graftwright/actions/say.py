"""Entries and counts in a grower's words."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line


PRACTISED = {"first_time": "first time", "some": "some practice", "practised": "practised"}


def counted(counts: Mapping[str, int], joint: str = " · ") -> str:
    """Say counts: '1 mould · 2 no join'."""
    return joint.join(f"{n} {word}" for word, n in counts.items() if n)


def tally(lines: Iterable[Line]) -> dict[str, Any]:
    """Count a batch or lot: made or received, where they went, what is there."""
    came, gone, there = 0, Counter[str](), Counter[str]()
    for line in lines:
        name, n = line.account.name, line.amount
        if name in {"made", "outside"}:
            came -= n
        elif name == "there":
            there[line.account.detail] += n
        elif name == "recount":
            gone["recounted"] += n
        elif name in {"lost", "culled", "discarded"}:
            gone[reason_word(name, line.account.detail)] += n
        else:
            gone[name] += n
    return {
        "came": came,
        "gone": {why: n for why, n in gone.items() if n},
        "there": {s: n for s, n in there.items() if n},
    }


def reason_word(name: str, detail: str) -> str:
    """Word under which a tally counts what left."""
    return f"culled: {detail}" if name == "culled" else detail


def tally_sentence(lines: Iterable[Line], made: str) -> str:
    """Say a tally in one sentence: '12 made · 1 mould · 1 no join · 10 growing'."""
    found = tally(lines)
    planted = found["there"].pop("planted", 0)
    growing = sum(found["there"].values())
    recounted = found["gone"].pop("recounted", 0)
    parts = [f"{found['came']} {made}"]
    if recounted:
        parts.append(f"{abs(recounted)} {'fewer' if recounted > 0 else 'more'} at recount")
    parts += [f"{n} {why}" for why, n in sorted(found["gone"].items())]
    if planted:
        parts.append(f"{planted} planted")
    if growing or not planted:
        parts.append(f"{growing} {'growing' if made == 'made' else 'there'}")
    return " · ".join(parts)


def entry_sentence(e: Entry, name: Callable[[str], str]) -> str:
    """Say what an entry tells, in a few words; `name` gives a thing's name."""
    teller = _TELLERS.get(e.kind)
    told = teller(e, name) if teller else _plain(e, name)
    note = f" — {e.get('note')}" if e.get("note") and e.kind != "note" else ""
    return told + note


def _plain(e: Entry, name: Callable[[str], str]) -> str:
    where = f" in {name(e.get('place'))}" if e.get("place") else ""
    to = f" to {name(e.get('to'))}" if e.get("to") else ""
    count = f"{e.get('count')} " if e.get("count") else ""
    words = {
        "pot": "potted", "settle": "settled", "harden": "set out to harden", "plant": "planted out",
        "store": "put into the cold", "unwrap": "unwrapped", "head-back": "headed back",
        "vent": "vented", "open": "opened", "close-again": "closed again", "chill": "put to chill",
        "bring-out": "brought out", "return-to-cold": "put back into the cold", "carry": "carried",
    }.get(e.kind, e.kind.replace("-", " "))  # fmt: skip
    opening = f" ({e.get('opening')})" if e.get("opening") else ""
    return f"{count}{words}{where}{to}{opening}"


def _check(e: Entry, name: Callable[[str], str]) -> str:
    parts = [counted(e.get("seen", {}))]
    if e.get("dead"):
        guess = " (a guess)" if e.get("guess") else ""
        parts.append(f"dead: {counted(e.get('dead'))}{guess}")
    parts += [f"{shown(plant)} {outcome}" for plant, outcome in (e.get("plants") or {}).items()]
    if e.get("not_looked"):
        parts.append(f"{e.get('not_looked')} not looked at")
    if e.get("miscounted"):
        parts.append(f"miscounted by {e.get('miscounted'):+d}")
    parts += [
        f"{label} {e.get(label)}"
        for label in ("leaves", "air", "medium", "mould", "tie", "below")
        if e.get(label)
    ]
    where = f"{name(e.get('place'))}: " if e.get("place") else ""
    return f"check, {where}" + " · ".join(part for part in parts if part)


def _out(e: Entry, name: Callable[[str], str]) -> str:
    where = f" in {name(e.get('place'))}" if e.get("place") else ""
    what = {"lose": "lost", "cull": "culled", "fail": "failed, stock kept", "discard": "thrown out"}[e.kind]
    guess = " (a guess)" if e.get("guess") else ""
    return f"{what}{where}: {counted(e.get('reasons', {}))}{guess}"


def _graft(e: Entry, name: Callable[[str], str]) -> str:
    bags = e.get("new_bags") or e.get("places") or ()
    sort = "bags" if e.get("new_bags") else "places"
    where = f" in {len(bags)} {sort}" if bags else f" in {name(e.get('place'))}" if e.get("place") else ""
    return f"{e.get('count')} grafted{where}, scions {name(e.get('scion'))}, on {name(e.get('stock'))}"


_UNITS = {"seed": "nuts", "stock": "stocks"}


def _receive(e: Entry, name: Callable[[str], str]) -> str:
    del name
    unit = _UNITS.get(e.get("what", ""), "buds")
    many = f"{e.get('count')} {unit}" if e.get("count") else f"{unit}, not counted"
    if e.get("sticks") and not e.get("count"):
        many = f"{e.get('sticks')} sticks of {e.get('buds_per_stick', 1)} buds"
    of = f" of {e.get('of')}" if e.get("of") else ""
    origin = f" from {e.get('origin') or e.get('tree')}" if e.get("origin") or e.get("tree") else ""
    return f"{'cut' if e.kind == 'cut-scions' else 'received'} {many}{of}{origin}"


def _pull(e: Entry, name: Callable[[str], str]) -> str:
    del name
    extra = [f"{e.get(word)} {label}" for word, label in
             (("double", "double"), ("odd", "odd"), ("put_back", "put back")) if e.get(word)]  # fmt: skip
    return f"pulled {e.get('count')} with usable sprouts" + (f" ({', '.join(extra)})" if extra else "")


def _wood(e: Entry, name: Callable[[str], str]) -> str:
    del name
    return f"wood checked: {counted(e.get('reasons', {})) or 'all good'}"


_DESCRIBED: dict[str, Callable[[Any, Callable[[str], str]], str]] = {
    "name": lambda value, _: f"named {value}",
    "place_kind": lambda value, _: str(value),
    "within": lambda value, name: f"stands in {name(value)}",
    "temperature_c": lambda value, _: f"{round(value, 1):g} °C",
    "walking": lambda value, _: f"number {value} on your way round",
    "species": lambda value, _: ", ".join(f"{word} {share:g}" for word, share in value.items()),
    "pollen_sterile": lambda value, _: "gives no pollen" if value else "gives pollen",
    "variety": lambda value, _: f"of {value}",
    "protection": lambda value, _: f"protection: {value}",
    "protection_number": lambda value, _: f"number {value}",
}


def _describe(e: Entry, name: Callable[[str], str]) -> str:
    said = {word: value for word, value in e.said.items() if word not in {"what", "note"}}
    parts = [
        _DESCRIBED[word](value, name) if word in _DESCRIBED else f"{word.replace('_', ' ')} {value}"
        for word, value in said.items()
    ]
    return " · ".join(parts) or "described"


def _back(e: Entry, name: Callable[[str], str]) -> str:
    del name
    return f"{e.get('count') or 'all'} back to {e.get('back_to')}: {e.get('reason')}"


def _codes(e: Entry, name: Callable[[str], str]) -> str:
    del name
    plants = e.get("plant_codes", [])
    return f"{len(plants)} given codes: {', '.join(map(shown, plants[:4]))}{' …' if len(plants) > 4 else ''}"


def _adopt(e: Entry, name: Callable[[str], str]) -> str:
    del name
    if practice := e.get("experience"):
        return f"{e.get('of')}: {PRACTISED[practice]}"
    if e.get("back"):
        return f"{e.get('of')}: the handbook's {e.get('path')} again"
    scope = f" ({e.get('scope')})" if e.get("scope") else ""
    return f"{e.get('of')}: own value {e.get('value')} for {e.get('path')}{scope}"


_TELLERS: dict[str, Callable[[Entry, Callable[[str], str]], str]] = {
    "check": _check,
    "lose": _out,
    "cull": _out,
    "fail": _out,
    "discard": _out,
    "graft": _graft,
    "regraft": _graft,
    "receive": _receive,
    "cut-scions": _receive,
    "pull": _pull,
    "check-wood": _wood,
    "describe": _describe,
    "step-back": _back,
    "codes": _codes,
    "note": lambda e, _: str(e.get("note")),
    "stock-taking": lambda e, _: f"counted {counted(e.get('counted'))}",
    "give": lambda e, _: f"{e.get('count') or 'all'} given to {e.get('to_whom')}",
    "wish": lambda e, _: (
        f"wanted: {e.get('count')} by {e.get('ready_by')}, {e.get('sheet')}"
        + (f", for {e.get('purpose')}" if e.get("purpose") else "")
    ),
    "promise": lambda e, _: f"{e.get('count')} promised to {e.get('to_whom')}",
    "plan": lambda e, _: f"kept a plan: {sum(one['grafts'] for one in e.get('plan')['batches'])} grafts",
    "away": lambda e, _: f"away {e.get('from_day')} to {e.get('to_day')}",
    "adopt": _adopt,
    "cross-out": lambda e, _: f"crossed out {', '.join(map(str, e.get('numbers')))}: {e.get('reason')}",
}
