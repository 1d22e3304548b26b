"""What each kind of move posts, given what stands before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.ledger import errors
from graftwright.ledger.lines import THERE, Line, noted, outside, there
from graftwright.ledger.stages import LOTS, STEP_TO
from graftwright.ledger.units import (
    Units,
    View,
    all_units,
    batch_of,
    in_place,
    known,
    least_advanced,
    most_advanced,
    move,
    out,
    path_of,
    place_of,
    places_of,
    split_off,
    standing_at,
    subject,
    take,
    unit_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing


# --- lots --------------------------------------------------------------------------------------


def take_from_lot(
    view: View,
    e: Entry,
    lot: Thing,
    count: int,
    prefer: Sequence[str],
    place: str = "",
    *,
    only: bool = False,
) -> list[Line]:
    """Take units of a lot, from the preferred stages first; what was never counted comes from `recount`.

    Materials do not hold up work: a shortage is noted, not refused. `only` leaves units at other stages alone.
    """
    unit = unit_of(lot)
    if lot.said_by("uncounted", e.key):
        return [outside("outside", lot.code, unit, -count)]
    units = [one for one in all_units(view, lot)
             if place in ("", one.slot.place) and (not only or one.slot.stage in prefer)]  # fmt: skip
    ranked = [*prefer, *(stage for stage in reversed(LOTS[lot.kind][1]) if stage not in prefer)]
    units.sort(key=lambda one: (ranked.index(one.slot.stage), one.slot.place))
    taken = split_off(units, count)
    short = count - sum(one.count for one in taken)
    lines = [there(lot.code, unit, *one.slot, -one.count) for one in taken]
    return lines + ([outside("recount", lot.code, unit, -short)] if short else [])


def receive(view: View, e: Entry) -> list[Line]:
    """Lot comes in from outside."""
    kind = e.get("what", "scionwood")
    lot = known(view, e.subject, (kind,), e.kind)
    place = place_of(view, e)
    if view.is_new(e):
        _one_sort(e, lot)
    if e.get("uncounted"):
        return [noted(e.subject, place)]
    unit, path = LOTS[kind]
    count = e.get("count") or e.get("sticks", 0) * e.get("buds_per_stick", 1)
    return [outside("outside", e.subject, unit, -count), there(e.subject, unit, path[0], place, count)]


def _one_sort(e: Entry, lot: Thing) -> None:
    """A lot is counted or it is not: both in one lot would make its balance a guess."""
    others = [one for one in lot.said.get("uncounted", ()) if one.number != e.number]
    freed = any(one.number != e.number for one in lot.said.get("to_work_again", ()))
    if e.get("uncounted") and (freed or any(not one.value for one in others)):
        raise errors.CountedOrNot(lot.code, counted=True)
    if not e.get("uncounted") and any(one.value for one in others):
        raise errors.CountedOrNot(lot.code, counted=False)


def seed_step(view: View, e: Entry) -> list[Line]:
    """Nuts go on (or back) along the seed's stages."""
    lot = subject(view, e)
    target = STEP_TO[e.kind][0]
    sources = {
        "chill": ("in hand",),
        "bring-out": ("chilling", "in hand"),
        "return-to-cold": ("sprouting",),
        "pull": ("sprouting", "chilling", "in hand"),
    }[e.kind]
    place = place_of(view, e)
    if lot.said_by("uncounted", e.key):
        return [noted(lot.code, place)]
    ready = [one for one in all_units(view, lot) if one.slot.stage in sources]
    count = e.get("count") or sum(one.count for one in ready)
    if not count and view.is_new(e):
        raise errors.NothingLeft(lot.code, f"at '{sources[0]}'")
    if not count:  # a correction may yet bring the nuts: the lot must remember who asked for them
        return [noted(lot.code, place)]
    standing = ready[0].slot.place if ready else ""
    lines = []
    for line in take_from_lot(view, e, lot, count, sources, only=True):
        where = line.account.place if line.account.name == THERE else standing
        lines += [line, there(lot.code, "nut", target, place or where, -line.amount)]
    if double := e.get("double"):
        if double > count:
            raise errors.TooMany(lot.code, double, count, "pulled")
        lines += [outside("recount", lot.code, "nut", -double, "double sprout"),
                  there(lot.code, "nut", target, place or standing, double)]  # fmt: skip
    return lines or [noted(lot.code, place)]


def discard(view: View, e: Entry) -> list[Line]:
    """Part of a lot goes out, by reason."""
    lot = subject(view, e)
    place = place_of(view, e)
    prefer = (e.get("stage"),) if e.get("stage") else tuple(reversed(LOTS[lot.kind][1]))
    for stage in prefer:
        path_of(view, lot).rank(stage)
    reasons = e.get("reasons", {})
    if not reasons:
        return [noted(lot.code, place)]
    lines = take_from_lot(view, e, lot, sum(reasons.values()), prefer, place)
    return lines + [outside("discarded", lot.code, unit_of(lot), n, why) for why, n in reasons.items()]


# --- grafts ------------------------------------------------------------------------------------


def graft(view: View, e: Entry) -> list[Line]:
    """Scion and stock are used, a batch is made at its first stage."""
    count = e.get("count")
    scion = known(view, e.get("scion"), ("scionwood",), e.kind)
    stock = known(view, e.get("stock"), ("seed", "stock"), e.kind)
    for lot in (scion, stock):
        if lot.made_at > e.key:
            raise errors.NotYet(lot.code, e.day, lot.made_at[:10])
    known(view, e.subject, ("batch",), e.kind)
    lines = _used(view, e, stock, count, ("pulled", "sprouting")) + _used(
        view, e, scion, count * e.get("buds", 1), ("in hand",)
    )
    first = view.path(e.get("sheet_version")).first
    lines.append(outside("made", e.subject, "graft", -count))
    for place, n in sorted(_spread(view, e, count).items()):
        lines.append(there(e.subject, "graft", first, place, n))
    if place := e.get("place"):
        lines += [noted(around) for bag in e.get("new_bags", ()) for around in _around(view, e, bag, place)]
    return lines


def _used(view: View, e: Entry, lot: Thing, count: int, prefer: Sequence[str]) -> list[Line]:
    used = outside("used", lot.code, unit_of(lot), count, e.subject)
    return [*take_from_lot(view, e, lot, count, prefer), used]


def _spread(view: View, e: Entry, count: int) -> Mapping[str, int]:
    """How many grafts lie in each place."""
    place = place_of(view, e)
    if bags := e.get("new_bags"):
        share, over = divmod(count, len(bags))
        return {bag: share + (i < over) for i, bag in enumerate(bags) if share + (i < over)}
    places: Mapping[str, int] = e.get("places") or {place: count}
    for one in places:
        if one:
            known(view, one, ("place",), e.kind)
    if sum(places.values()) != count:
        raise errors.PlacesDiffer(sum(places.values()), count)
    return places


def give_codes(view: View, e: Entry) -> list[Line]:
    """Grafts of a batch become plants with codes, where they stand."""
    batch = subject(view, e)
    plants: Sequence[str] = e.get("plant_codes")

    waiting = standing_at(
        view, e, batch, [one for one in in_place(view, e, batch) if one.thing == batch.code]
    )
    have = sum(one.count for one in waiting)
    if len(places_of(waiting)) > 1 and len(plants) < have:
        waiting = _where_they_lay(view, e, batch, waiting)
    if not plants or not have:
        raise errors.NothingLeft(batch.code)
    if len(plants) > have:
        raise errors.TooMany(batch.code, len(plants), have, "without codes")
    units = split_off(sorted(waiting, key=most_advanced(path_of(view, batch))), len(plants))
    lines = [there(batch.code, "graft", *one.slot, -one.count) for one in units]
    slots = [one.slot for one in units for _ in range(one.count)]
    return lines + [there(plant, "graft", *slot, 1) for plant, slot in zip(plants, slots, strict=True)]


def _where_they_lay(view: View, e: Entry, batch: Thing, waiting: Sequence[Units]) -> list[Units]:
    """Grafts of which each had got a code, in their places; what was told to lie there besides has none."""
    lying: Mapping[str, int] = {} if view.is_new(e) else e.get("lying", {})
    order = most_advanced(path_of(view, batch))
    here = {place: sorted((one for one in waiting if one.slot.place == place), key=order) for place in lying}
    chosen = [one for place, n in lying.items() for one in split_off(here[place], n)]
    if not chosen or sum(one.count for one in chosen) != len(e.get("plant_codes")):
        raise errors.WhichPlace(batch.code, places_of(waiting))
    return chosen


def step(view: View, e: Entry) -> list[Line]:
    """Pot, settle, harden, plant: forward along the stages, and to another place if one is named.

    A path without that stage (a sheet without figures) notes the step and keeps the stage.
    """
    thing = subject(view, e)
    path = path_of(view, thing)
    stage = path.step_stage(e.kind)

    def behind(one: Units) -> bool:
        return stage is None or path.rank(one.slot.stage) < path.rank(stage)

    if stage and not any(map(behind, in_place(view, e, thing))):
        raise errors.NoStageLeft(thing.code, stage)
    units = take(view, e, thing, e.get("count"), most_advanced(path), keep=behind)
    return [*move(units, "graft", stage, place_of(view, e, "to") or None), noted(thing.code)]


def step_back(view: View, e: Entry) -> list[Line]:
    """Back along the stages, with the reason."""
    thing = subject(view, e)
    path = path_of(view, thing)
    stage = e.get("back_to")
    ahead = path.rank(stage)
    units = take(
        view,
        e,
        thing,
        e.get("count"),
        most_advanced(path),
        keep=lambda one: path.rank(one.slot.stage) > ahead,
    )
    return move(units, "graft", stage, None)


def leave(view: View, e: Entry) -> list[Line]:
    """Deaths and culls: out, by reason."""
    thing = subject(view, e)
    reasons = e.get("reasons")
    units = take(view, e, thing, sum(reasons.values()), least_advanced(path_of(view, thing)))
    return out(units, reasons, "culled" if e.kind == "cull" else "lost")


def fail(view: View, e: Entry) -> list[Line]:
    """The graft is lost, its stock lives and goes to a lot 'to work again', where it stands.

    A stock is then used by its batch no more; a nut stays used, and what it grew into is made.
    """
    lines = leave(view, e)
    batch = view.thing(batch_of(subject(view, e)))
    assert batch is not None
    stock = known(view, batch.get("stock"), ("seed", "stock"), e.kind)
    lot = known(view, e.get("again"), ("stock",), e.kind)
    began = [one.key for sayings in lot.said.values() for one in sayings if one.number != e.number]
    if view.is_new(e) and began and min(began) > e.key:
        raise errors.NotYet(lot.code, e.day, min(began)[:10])
    came_from, detail = ("made", "") if stock.kind == "seed" else ("used", batch.code)
    for line in [one for one in lines if one.account.name == "lost"]:
        lines += [outside(came_from, lot.code, "stock", -line.amount, detail),
                  _freed(lot, e, line.account.place, line.amount)]  # fmt: skip
    return lines


def _freed(lot: Thing, e: Entry, place: str, count: int) -> Line:
    """Stocks that live on are there to be used again; in a lot that nobody counted they are not counted either."""
    if lot.said_by("uncounted", e.key):
        return outside("outside", lot.code, "stock", count)
    return there(lot.code, "stock", "in hand", place, count)


def carry(view: View, e: Entry) -> list[Line]:
    """A place into another posts nothing; grafts and lots change their place."""
    thing = subject(view, e)
    to = known(view, e.get("to"), ("place",), e.kind).code
    if thing.kind == "place":
        return [noted(thing.code), *map(noted, _around(view, e, thing.code, to))]
    if thing.kind in LOTS and thing.said_by("uncounted", e.key):
        return [noted(thing.code, to)]
    units = taken(view, e, thing, keep=lambda one: one.slot.place != to)
    return [*move(units, unit_of(thing), None, to), noted(thing.code)]


def taken(
    view: View, e: Entry, thing: Thing, *, keep: Callable[[Units], bool] = lambda _: True
) -> list[Units]:
    """Take what an entry carries off or gives away, the furthest first.

    Of a lot as many as are left: a graft told late may have used some, and materials do not hold up work.
    """
    order = most_advanced(path_of(view, thing))
    if thing.kind not in LOTS or view.is_new(e):
        return take(view, e, thing, e.get("count"), order, keep=keep)
    units = standing_at(view, e, thing, [one for one in all_units(view, thing) if keep(one)])
    here = [one for one in units if e.get("place") in (None, one.slot.place)]
    have = sum(one.count for one in here)
    return split_off(sorted(here, key=order), min(e.get("count") or have, have))


def _around(view: View, e: Entry, place: str, to: str) -> list[str]:
    """Return where a place comes to stand, from the inside out; refuses one that stands in it.

    An entry that puts a place somewhere remembers all of them: a ring may be closed later at any of them.
    """
    found: list[str] = []
    above: str | None = to
    while above:
        if above == place or above in found:
            raise errors.InsideItself(place, to)
        found.append(above)
        outer = view.thing(above)
        above = outer.said_by("within", e.key) if outer else None
    return found


def give(view: View, e: Entry) -> list[Line]:
    """Out of the ledger, to somebody."""
    thing = subject(view, e)
    unit, whom = unit_of(thing), e.get("to_whom")
    uncounted = thing.kind in LOTS and thing.said_by("uncounted", e.key)
    units = [] if uncounted else taken(view, e, thing)
    lines = [there(one.thing, unit, *one.slot, -one.count) for one in units]
    lines += [outside("given", one.thing, unit, one.count, whom) for one in units]
    short = (e.get("count") or 0) - sum(one.count for one in units)
    if short > 0:
        source = "outside" if uncounted else "recount"
        lines += [outside(source, thing.code, unit, -short), outside("given", thing.code, unit, short, whom)]
    return [*lines, noted(thing.code)]


# --- remarks -----------------------------------------------------------------------------------


def remark(view: View, e: Entry) -> list[Line]:
    """Something that posts nothing; it is remembered with what it is about."""
    if e.subject:
        thing = subject(view, e)
        if thing.kind == "batch" and e.get("place"):
            in_place(view, e, thing)
    lines = [noted(e.subject, e.get("place") or "")] if e.subject else []
    if within := place_of(view, e, "within"):
        lines += map(noted, _around(view, e, e.subject, within))
    return lines
