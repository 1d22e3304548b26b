"""A small bench for tests: a notebook in memory with the real handbook, entered as a grower would."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from graftwright.actions.enter import Answer, Desk, enter
from graftwright.actions.ports import Draft
from graftwright.adapters.memory import MemoryNotebook
from graftwright.bootstrap import sheets, stages_of

if TYPE_CHECKING:
    from graftwright.ledger.windows import Forecast, Group

SHEETS = sheets()
PATHS = {key: stages_of(sheet.text).stages for key, sheet in SHEETS.items() if ":" not in key}


@dataclass
class Bench:
    """Enters drafts one after another; `today` is the day at the bench."""

    today: date = date(2027, 6, 30)
    notebook: Any = field(default_factory=lambda: MemoryNotebook(PATHS))
    chance: random.Random = field(default_factory=lambda: random.Random(1))
    told: int = 0

    def enter(self, kind: str, subject: str = "", day: str = "", **said: Any) -> Answer:
        """Enter as a person at the door."""
        self.told += 1
        draft = Draft(kind, subject, said, day, "Mira Voss", f"01TEST{self.told:020d}")
        now = datetime(self.today.year, self.today.month, self.today.day, 12, tzinfo=UTC)
        return enter(self.notebook, Desk(now, self.today, lambda: SHEETS, self.chance), draft)

    def new(self, kind: str, day: str = "", **said: Any) -> str:
        """Enter something that makes a thing, and return the thing's code."""
        entry = self.enter(kind, "", day, **said).entry
        assert entry is not None
        return entry.subject

    def shelf(self, temperature_c: float | None = None) -> str:
        """Make a shelf of that temperature."""
        return self.new("describe", what="place", name=f"Shelf {self.told}", place_kind="shelf",
                        temperature_c=temperature_c)  # fmt: skip

    def grafts(self, count: int, day: str, *, bags: int, place: str, sheet: str = "hypocotyl-closed-bag",
               genus: str = "Castanea") -> tuple[str, list[str]]:  # fmt: skip
        """Make a batch from uncounted wood and stocks; return its code and its bags."""
        wood = self.new(
            "receive", "2027-01-30", what="scionwood", uncounted="yes", of="Alder Hill", genus=genus
        )
        nuts = self.new("receive", "2026-10-20", what="seed", uncounted="yes", of="Old Hedge", genus=genus)
        entry = self.enter(
            "graft", "", day, count=count, scion=wood, stock=nuts, sheet=sheet, place=place, bags=bags
        ).entry
        assert entry is not None
        return entry.subject, list(entry.given["new_bags"])

    def forecast(self, batch: str) -> Forecast:
        """Return the stored windows of a batch."""
        return self.notebook.page.forecasts[batch]

    def group(self, batch: str) -> Group:
        """Return the only group of a batch."""
        (group,) = self.forecast(batch).groups
        return group
