"""Findings in words: the answer first, then the table, then what it rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graftwright.actions.find_lasting import Difference, Group, Lasting, Step
    from graftwright.actions.rates_found import Cell, Compared, Rates, Scatter

SHOWN = 40


def rates_lines(found: Rates) -> str:
    """Say what took."""
    parts = [_lead(found.compared)] if found.compared else []
    parts += _table([*found.cells[:SHOWN]])
    if len(found.cells) > SHOWN:
        parts.append(f"and {len(found.cells) - SHOWN} more; --json lists all.")
    parts += [_scatter(scatter) for scatter in found.batch_sd]
    parts += found.notes
    parts += [_resting(found)]
    return "\n".join(parts)


def _lead(seen: Compared) -> str:
    better, than = _name(seen.better), _name(seen.than)
    if seen.chance < 0.9 and seen.low < 0.0 < seen.high:
        more = "more than 500" if seen.more_per_arm is None else f"about {seen.more_per_arm}"
        verdict = f"It cannot be told yet: {more} more of each would settle it."
    else:
        verdict = "That is unlikely to be luck."
    return (
        f"{better} is better than {than} with {seen.chance:.0%} chance; the difference is probably "
        f"between {_points(seen.low)} and {_points(seen.high)} points. {verdict}"
    )


def _points(share: float) -> str:
    return f"{100 * share:+.0f}".replace("-", "\N{MINUS SIGN}")


def _name(by: dict[str, str]) -> str:
    return " · ".join(by.values()) or "all"


def _table(cells: list[Cell]) -> list[str]:
    rows = [(_name(cell.by), f"{cell.taken} of {cell.made}", _interval(cell)) for cell in cells]
    widths = [max(len(row[column]) for row in rows) for column in (0, 1)]
    return [f"{name:<{widths[0]}}  {counted:>{widths[1]}}  {interval}" for name, counted, interval in rows]


def _interval(cell: Cell) -> str:
    if cell.rate is None or cell.low is None or cell.high is None:
        return "none made, so no rate"
    line = f"{cell.rate:.0%}, probably between {cell.low:.0%} and {cell.high:.0%}"
    if cell.new_batch:
        line += f"; one new batch {cell.new_batch['low']:.0%} to {cell.new_batch['high']:.0%}"
    return line


def _scatter(scatter: Scatter) -> str:
    if scatter.low is None or scatter.high is None:
        return f"Scatter of {scatter.name}: sd {scatter.mean:.2f} in log odds."
    return (
        f"Scatter of {scatter.name}: sd {scatter.mean:.2f} in log odds, "
        f"probably between {scatter.low:.2f} and {scatter.high:.2f}."
    )


def _resting(found: Rates) -> str:
    before = "; ".join(str(prior["in_words"]) for prior in found.priors if "in_words" in prior)
    taken_before = f" Taken for granted before: {before}." if before else ""
    return f"Method: {found.method}.{taken_before}"


def lasting_lines(found: Lasting) -> str:
    """Say how long units lasted."""
    parts = [_difference(found.difference)] if found.difference else []
    for group in found.groups:
        parts += [_group(group), *(_step(step) for step in group.steps[:SHOWN])]
    parts.append(f"Method: {found.method}.")
    return "\n".join(parts)


def _difference(seen: Difference) -> str:
    verdict = "It cannot be told whether they last differently" if seen.p > 0.05 else "They last differently"
    return f"{verdict} (p {seen.p:.2g}, {seen.test})."


def _group(group: Group) -> str:
    half = "more than half are left" if group.half is None else f"half were gone by {group.half:g}"
    return f"{group.name}: {group.n} followed, {half}."


def _step(step: Step) -> str:
    when = f"at {step.to:g}" if step.from_ == step.to else f"after {step.from_:g}, by {step.to:g}"
    band = (
        ""
        if step.low is None or step.high is None
        else f", probably between {step.low:.0%} and {step.high:.0%}"
    )
    return f"  {when}: {step.survival:.0%} left{band}"
