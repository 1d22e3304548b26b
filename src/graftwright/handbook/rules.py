"""What must hold between values: ascending responses, one path of stages, one spread to a clock."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from graftwright.handbook import errors
from graftwright.handbook.schema import ANY

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.errors import Trouble
    from graftwright.handbook.paper import Paper
    from graftwright.handbook.toml_lines import Path

    Stages = Sequence[Mapping[str, Any]]

MOST_RHO = 0.5
DAYS_OF = {"thermal": ("response", "days_at_optimum"), "calendar": ("days",)}


@dataclass(frozen=True)
class Block:
    """What is known of one stage for one genus: as written, and without what is doubtful."""

    stage: Mapping[str, Any]
    given: Mapping[str, Any]
    sound: Mapping[str, Any]
    path: Path


def sheet_rules(data: Mapping[str, Any], plain: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:
    """All that is wrong with a sheet whose keys and numbers are in order."""
    stages: Stages = data["stage"]
    yield from _stage_rules(stages, ("stage",), paper)
    yield from _take_rule(data, paper)
    for genus in dict.fromkeys(genus for stage in stages for genus in stage.get("for", ())):
        yield from _genus_rule(genus, data, paper)
        blocks = [
            Block(stage, stage["for"][genus], sound["for"][genus], ("stage", number, "for", genus))
            for number, (stage, sound) in enumerate(zip(stages, plain["stage"], strict=True))
            if genus in stage.get("for", ())
        ]
        yield from _block_rules(blocks, paper)


def species_rules(data: Mapping[str, Any], plain: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:
    """All that is wrong with a species file whose keys and numbers are in order."""
    for name, response in plain.get("response", {}).items():
        yield from _response_rule(name, response, paper)
    stages: Stages = data.get("seed", {}).get("stage", [])
    if stages:
        blocks = [
            Block(stage, stage, sound, ("seed", "stage", number))
            for number, (stage, sound) in enumerate(zip(stages, plain["seed"]["stage"], strict=True))
        ]
        yield from _stage_rules(stages, ("seed", "stage"), paper)
        yield from _block_rules(blocks, paper)


def no_rules(data: Mapping[str, Any], plain: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:  # noqa: ARG001
    """For files in which each value stands for itself."""
    yield from ()


def _stage_rules(stages: Stages, path: Path, paper: Paper) -> Iterator[Trouble]:
    seen: set[str] = set()
    for number, stage in enumerate(stages):
        if stage["key"] in seen:
            yield errors.DuplicateStage(stage["key"], paper.place((*path, number, "key")))
        seen.add(stage["key"])
        yield from _row_rules(stage, (*path, number), paper)
    for number, (stage, following) in enumerate(pairwise(stages)):
        yield from _end_rule(stage, following["key"], (*path, number), paper)
    if stages and stages[-1].keys() & {"ends", "milestone"}:
        place = paper.place((*path, len(stages) - 1))
        yield errors.OpenPath(stages[-1]["key"], last=True, where=place)


def _end_rule(stage: Mapping[str, Any], following: str, path: Path, paper: Paper) -> Iterator[Trouble]:
    if not stage.keys() >= {"ends", "milestone"}:
        yield errors.OpenPath(stage["key"], last=False, where=paper.place(path))
        return
    if stage["milestone"] != following:
        place = paper.place((*path, "milestone"))
        yield errors.BrokenPath(stage["key"], stage["milestone"], following, place)
    needed = "ended_by" if stage["ends"] == "by you" else "ends_when"
    if needed not in stage:
        yield errors.MissingKey(needed, f"the stage '{stage['key']}'", paper.place(path))


def _row_rules(stage: Mapping[str, Any], path: Path, paper: Paper) -> Iterator[Trouble]:
    for number, task in enumerate(stage.get("work", ())):
        if len(task.keys() & {"at", "every_days", "after_days"}) != 1:
            yield errors.TaskWithoutTime(task["do"], paper.place((*path, "work", number)))
    for number, use in enumerate(stage.get("uses", ())):
        if len(use.keys() & {"each", "litres"}) != 1:
            yield errors.UseWithoutAmount(use["item"], paper.place((*path, "uses", number)))


def _take_rule(data: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:
    keys = [stage["key"] for stage in data["stage"]]
    take_at = data["sheet"]["take_at"]
    if take_at not in keys:
        yield errors.UnknownWord(take_at, "stage", keys, paper.place(("sheet", "take_at")))


def _genus_rule(genus: str, data: Mapping[str, Any], paper: Paper) -> Iterator[Trouble]:
    """Refuse a block for a genus the sheet is not meant for: nothing would ever read it."""
    genera = data["sheet"]["genera"]
    for number, stage in enumerate(data["stage"]):
        if genus in stage.get("for", ()) and genus not in genera and ANY not in genera:
            place = paper.place(("stage", number, "for", genus))
            yield errors.UnknownWord(genus, "genus of this sheet", genera, place)


def _response_rule(name: str, response: Mapping[str, float], paper: Paper) -> Iterator[Trouble]:
    for lower, upper in pairwise(("base", "optimum", "ceiling")):
        if response[lower] >= response[upper]:
            place = paper.place(("response", name, lower))
            yield errors.ResponseOutOfOrder(name, (lower, response[lower]), (upper, response[upper]), place)


def _block_rules(blocks: Sequence[Block], paper: Paper) -> Iterator[Trouble]:
    clocks: dict[str, float] = {}
    for block in blocks:
        if "pace" in block.given:
            yield from _pace_rule(block, paper)
            yield from _clock_rule(block, clocks, paper)
        yield from _survival_rules(block, paper)


def _pace_rule(block: Block, paper: Paper) -> Iterator[Trouble]:
    if "started_by" not in block.stage:
        yield errors.NoClock(block.stage["key"], paper.place(block.path))
    pace = block.given["pace"]
    for key in DAYS_OF[pace["kind"]]:
        if key not in pace:
            name = f"a {pace['kind']} pace"
            yield errors.MissingKey(key, name, paper.place((*block.path, "pace")))


def _clock_rule(block: Block, clocks: dict[str, float], paper: Paper) -> Iterator[Trouble]:
    if "pace" not in block.sound or "started_by" not in block.stage:
        return
    clock, spread = block.stage["started_by"], block.sound["pace"]["batch_spread"]
    if clocks.setdefault(clock, spread) != spread:
        place = paper.place((*block.path, "pace", "batch_spread"))
        yield errors.BatchSpreadDiffers(block.stage["key"], spread, clock, clocks[clock], place)


def _survival_rules(block: Block, paper: Paper) -> Iterator[Trouble]:
    path = (*block.path, "survival")
    if "survival" in block.given and "between_seasons" not in block.given["survival"]["practised"]:
        yield errors.NoSeasons(paper.place(path))
    for name, share in block.sound.get("survival", {}).items():
        between, mean = share.get("between_seasons", 0.0), share["mean"]
        rho = between**2 / (mean * (1 - mean))
        if rho >= MOST_RHO:
            place = paper.place((*path, name, "between_seasons"))
            yield errors.SeasonsTooFarApart(between, mean, rho, place)
