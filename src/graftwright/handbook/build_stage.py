"""From the checked values of a stage to the stage."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.handbook.schema import EXPERIENCES
from graftwright.handbook.stages import (
    ActWithin,
    Keep,
    Light,
    LossShown,
    Pace,
    Share,
    Stage,
    StageFigures,
    Step,
    Survival,
    Task,
    Use,
)
from graftwright.handbook.values import NOWHERE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.handbook.values import Figure, Origin


def stage_from(row: Mapping[str, Any], by_genus: Mapping[str, StageFigures]) -> Stage:
    """Make a stage of a sheet or of a species' seed."""
    sign = row.get("ends_when", {})
    return Stage(
        key=row["key"],
        of=row["of"],
        **{key: row.get(key) for key in ("ends", "milestone", "started_by", "ended_by")},
        sign=sign.get("sign", ""),
        measure=sign.get("measure"),
        at_least=sign.get("at_least"),
        act_within=made(ActWithin, row.get("act_within")),
        check_every=row.get("check_every", {}).get("days"),
        loss_shown=made(LossShown, row.get("loss_shown")),
        give_up_after=row.get("give_up_after", {}).get("days"),
        work=tuple(map(_task, row.get("work", ()))),
        uses=tuple(Use(**use) for use in row.get("uses", ())),
        steps=tuple(map(_step, row.get("step", ()))),
        caution=tuple(row.get("caution", ())),
        by_genus=by_genus,
    )


def stage_figures(
    genus: str, block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]
) -> StageFigures:
    """Make what a block says of a stage; a part that lacks a sound value is left out."""
    return StageFigures(
        genus=genus,
        pace=_pace(block.get("pace", {}), f"{dotted}.pace", figures),
        keep=_keep(block.get("keep")),
        survival=_survival(block.get("survival", {}), f"{dotted}.survival", figures),
    )


def _pace(block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]) -> Pace | None:
    days = "days_at_optimum" if block.get("kind") == "thermal" else "days"
    if days not in block:
        return None
    return Pace(
        kind=block["kind"],
        response=block.get("response"),
        days=block[days],
        spread=block["spread"],
        batch_spread=block["batch_spread"],
        worth=block["worth"],
        origin=_origin(f"{dotted}.{days}", figures),
    )


def _survival(block: Mapping[str, Any], dotted: str, figures: Mapping[str, Figure]) -> Survival | None:
    practised = _rho(block.get("practised", {}))
    shares = {
        name: Share(
            mean=part["mean"],
            worth=part["worth"],
            rho=rho,
            origin=_origin(f"{dotted}.{name}.mean", figures),
        )
        for name, part in block.items()
        if (rho := _rho(part, practised)) is not None
    }
    return Survival(**shares) if len(shares) == len(EXPERIENCES) else None


def _rho(part: Mapping[str, float], usual: float | None = None) -> float | None:
    """Compare the variance between seasons with the largest there can be; `usual` where none is given."""
    if "between_seasons" not in part:
        return usual
    return part["between_seasons"] ** 2 / (part["mean"] * (1 - part["mean"]))


def _origin(dotted: str, figures: Mapping[str, Figure]) -> Origin:
    return figures[dotted].origin if dotted in figures else NOWHERE


def _keep(block: Mapping[str, Any] | None) -> Keep | None:
    if not block:
        return None
    return Keep(
        temperature=span(block.get("temperature")),
        rest=span(block.get("rest")),
        night=span(block.get("night")),
        humidity=span(block.get("humidity")),
        light=made(Light, block.get("light")),
        in_below=block.get("in_below"),
    )


def _task(row: Mapping[str, Any]) -> Task:
    rest = {key: row[key] for key in ("at", "every_days", "after_days") if key in row}
    return Task(
        do=row["do"],
        minutes=row["minutes"],
        per=row["per"],
        only_from=row.get("from"),
        caution=tuple(row.get("caution", ())),
        **rest,
    )


def _step(row: Mapping[str, Any]) -> Step:
    return Step(
        what=row["what"],
        hours=span(row["hours"]),
        sign=row["sign"],
        variant=row.get("variant", "usual"),
        opening=row.get("opening"),
        humidity=span(row.get("humidity")),
    )


def span(pair: Any) -> Any:
    """Make a pair of a list of two, where there is one."""
    return None if pair is None else tuple(pair)


def made(kind: Any, block: Mapping[str, Any] | None) -> Any:
    """Make a thing of its block, pairs of its spans; a block of which nothing may be used makes none."""
    if not block:
        return None
    return kind(**{key: tuple(value) if isinstance(value, list) else value for key, value in block.items()})
