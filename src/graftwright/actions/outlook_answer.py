"""The outlook as scripts receive it, and as sentences for people."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.outlook import Chance, Kept, Outlook

AT_RISK = 0.8  # a promise less sure than this is named


def as_json(seen: Outlook) -> dict[str, Any]:
    """Return the outlook as scripts receive it."""
    return {
        "date": seen.today.isoformat(),
        "wishes": [_wish(one) for one in seen.chances],
        "together": [{"sheet": sheet, "chance": chance, "error": error} for sheet, chance, error in seen.together],
        "promised": [
            {"number": one.promise.number, "variety": one.promise.variety, "trees": one.promise.count,
             "to_whom": one.promise.to_whom, "chance": one.chance, "at_risk": one.chance < AT_RISK}
            for one in seen.promised
        ],
    }  # fmt: skip


def _wish(one: Chance) -> dict[str, Any]:
    wish = one.wish
    return {
        "wish": wish.number, "variety": wish.variety, "trees": wish.trees, "by": wish.by.isoformat(),
        "sure": wish.sure, "sheet": wish.sheet, "for": wish.purpose, "made": one.made, "living": one.living,
        "done": one.done, "taken_before": one.before, "chance": one.chance, "error": one.error,
        "median": one.median, "low": one.low, "high": one.high, "planned": one.planned,
        "chance_with_planned": one.with_planned, "top_up": one.top_up,
        "top_up_possible": bool(one.top_up) and not one.why_not, "why_not": one.why_not or None,
        "late": list(one.late),
    }  # fmt: skip


def sentences(one: Chance) -> Iterator[str]:
    """Say the outlook of one wish; the answer first."""
    wish = one.wish
    yield f"{wish.trees} {wish.variety} by {wish.by}: {_odds(one.chance) if one.made else 'nothing is grafted yet'}."
    shared = f", after {one.before} for earlier wishes" if one.before else ""
    if one.made:
        yield (
            f"{one.made} grafted, {one.living} living, {one.done} finished; expect {one.median} trees, "
            f"{one.low} to {one.high} in 8 seasons of 10{shared}."
        )
    if one.with_planned is not None:
        yield f"With the {one.planned} grafts still planned: {_odds(one.with_planned)}."
    if one.chance < wish.sure:
        yield _mended(one)
    if one.late:
        yield f"Some may not be ready in time: {', '.join(map(shown, one.late))}."


def _mended(one: Chance) -> str:
    """Say how many grafts would mend it, and whether they can still be made."""
    sure = _level(one.wish.sure)
    if one.top_up is None:
        return f"No number of grafts makes that {sure}."
    do = f"Graft {one.top_up} more" if one.made else f"Start {one.top_up}"
    if one.why_not:
        return f"{do} to make it {sure}; but that cannot be done now: {one.why_not}."
    return f"{do} to make it {sure}: there is still time."


def promise_sentence(one: Kept) -> str:
    """Say whether what was promised will be there."""
    promise = one.promise
    risk = "AT RISK, " if one.chance < AT_RISK else ""
    return f"{promise.count} {promise.variety} promised to {promise.to_whom}: {risk}{_odds(one.chance)}."


def _odds(chance: float) -> str:
    """Put a chance into words of ten seasons; near the ends into words of a hundred."""
    if chance > 0.995:
        return "as good as sure"
    if chance < 0.005:
        return "as good as no chance"
    if 0.095 <= chance <= 0.905:
        return f"{chance * 10:.0f} in 10" if abs(chance * 10 - round(chance * 10)) < 0.05 else f"{chance:.0%}"
    return f"{chance:.0%}"


def _level(sure: float) -> str:
    return f"{sure * 10:.0f} in 10" if abs(sure * 10 - round(sure * 10)) < 1e-9 else f"{sure:.1%}"
