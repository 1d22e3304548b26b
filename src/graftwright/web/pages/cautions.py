"""Cautions of the handbook, where the work is."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING
from urllib.parse import quote

from graftwright.actions.course import course_of
from graftwright.handbook.load import Handbook, published
from graftwright.handbook.sheets import parse_sheet
from graftwright.web.parts import Caution

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from graftwright.actions.course import Course
    from graftwright.actions.ports import Reading
    from graftwright.handbook.sheets import Sheet
    from graftwright.ledger.windows import Forecast


def handbook() -> Handbook:
    """Return the handbook that comes with the program."""
    return published()


def handbook_href(of: str) -> str:
    """Address of a page of the handbook: of a sheet by its key, or of a genus in small letters."""
    return f"/handbook/{quote(of if of in handbook().sheets else of.lower())}"


# a text is read once: reading it takes longer than the page that needs it
_sheet = lru_cache(maxsize=64)(parse_sheet)
_course = lru_cache(maxsize=64)(course_of)


def stored_sheet(reading: Reading, version: str) -> Sheet:
    """Return a method sheet as the book keeps it."""
    return _sheet(reading.sheet(version), version)


def stored_course(reading: Reading, version: str) -> Course:
    """Return the stages of a method sheet, or of a genus' seed, as the book keeps them."""
    return _course(version, reading.sheet(version))


def cautions(keys: Iterable[str]) -> tuple[Caution, ...]:
    """Return cautions in words, each once."""
    known = handbook().cautions
    return tuple(Caution(known[key].says) for key in dict.fromkeys(keys) if key in known)


def of_stages(sheet: Sheet | Course, stages: Iterable[str]) -> tuple[Caution, ...]:
    """Cautions of the stages that grafts stand at."""
    return cautions(key for stage in stages if stage in sheet.path for key in sheet.stage(stage).caution)


def of_the_day(reading: Reading, living: Sequence[Forecast]) -> tuple[Caution, ...]:
    """The first caution of each stage that anything stands at: what can still be forgotten today."""
    standing = {(forecast.rests_on["sheet"], stage) for forecast in living for group in forecast.groups
                for stage in group.stages}  # fmt: skip
    sheets = {version: stored_course(reading, version) for version, _ in standing}
    stages = [sheets[version].stage(stage) for version, stage in sorted(standing)]
    return cautions(stage.caution[0] for stage in stages if stage.caution)
