"""Cautions of the handbook, where the work is."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from graftwright.handbook.load import Handbook, load_handbook
from graftwright.handbook.sheets import Sheet, parse_sheet
from graftwright.web.parts import Caution

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from graftwright.actions.ports import Reading
    from graftwright.ledger.windows import Forecast


@lru_cache(maxsize=1)
def handbook() -> Handbook:
    """Return the handbook that comes with the program."""
    return load_handbook()


@lru_cache(maxsize=64)
def _parsed(version: str, text: str) -> Sheet:
    return parse_sheet(text, version)


def stored_sheet(reading: Reading, version: str) -> Sheet:
    """Return a method sheet as the book keeps it."""
    return _parsed(version, reading.sheet(version))


def cautions(keys: Iterable[str]) -> tuple[Caution, ...]:
    """Return cautions in words, each once."""
    known = handbook().cautions
    return tuple(Caution(known[key].says) for key in dict.fromkeys(keys) if key in known)


def of_stages(sheet: Sheet, stages: Iterable[str]) -> tuple[Caution, ...]:
    """Cautions of the stages that grafts stand at."""
    return cautions(key for stage in stages if stage in sheet.path for key in sheet.stage(stage).caution)


def of_the_day(reading: Reading, living: Sequence[Forecast]) -> tuple[Caution, ...]:
    """The first caution of each stage that anything stands at: what can still be forgotten today."""
    standing = {(forecast.rests_on["sheet"], stage) for forecast in living for group in forecast.groups
                for stage in group.stages}  # fmt: skip
    sheets = {version: stored_sheet(reading, version) for version, _ in standing}
    stages = [sheets[version].stage(stage) for version, stage in sorted(standing)]
    return cautions(stage.caution[0] for stage in stages if stage.caution)
