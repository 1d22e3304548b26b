"""Whatever is told of places, late or early: the stored windows are those that the entries give."""

from __future__ import annotations

import random
from dataclasses import asdict
from typing import TYPE_CHECKING

import pytest

from bench import Bench
from database.books import new_memory, new_notebook
from graftwright.actions.forecast import forecast
from graftwright.adapters.database.convert import to_text
from graftwright.adapters.memory import MemoryNotebook
from graftwright.errors import Trouble

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.actions.enter import Answer
    from graftwright.actions.ports import Notebook
    from graftwright.ledger.windows import Forecast


def stored(notebook: Notebook) -> dict[str, Forecast]:
    if isinstance(notebook, MemoryNotebook):
        return {code: one for code, one in notebook.page.forecasts.items() if one.living}
    with notebook.reading() as reading:
        return {one.batch: one for one in reading.living()}


def out_of_step(notebook: Notebook) -> list[str]:
    """Batches whose windows, worked out anew from all entries, are others than those that are stored."""
    known = stored(notebook)
    with notebook.writing() as page:
        page.look_up("", ())
        fresh = {batch: forecast(page, batch) for batch in known}
    return [batch for batch in known if _told(known[batch]) != _told(fresh[batch])]


def _told(one: Forecast) -> str:
    return to_text(asdict(one))


class Mover:
    """Carries grafts and places about, and tells much of it late."""

    def __init__(self, notebook: Notebook, seed: int) -> None:
        self.bench, self.chance = Bench(notebook=notebook), random.Random(seed)
        self.shelves = [self.bench.shelf(temperature_c) for temperature_c in (22, 18, None)]
        self.batches, self.bags = list[str](), list[str]()
        for shelf in self.shelves:
            batch, bags = self.bench.grafts(3, "2027-04-03", bags=1, place=shelf)
            self.batches.append(batch)
            self.bags += bags
        self.numbers = [1]

    def one(self) -> None:
        """Tell one thing; what cannot stand is refused and changes nothing."""
        act = self.chance.choice(
            (self.carry, self.carry, self.move, self.move, self.warmth, self.air, self.cross)
        )
        try:
            answer = act(f"2027-04-{self.chance.randint(4, 28):02d}")
        except Trouble:
            return
        assert answer.entry is not None
        self.numbers.append(answer.entry.number)

    def carry(self, day: str) -> Answer:
        count = self.chance.choice((None, 1, 2))
        to = self.chance.choice(self.shelves + self.bags)
        return self.bench.enter("carry", self.chance.choice(self.batches), day, to=to, count=count)

    def move(self, day: str) -> Answer:
        what, to = self.chance.sample(self.shelves + self.bags, 2)
        return self.bench.enter("carry", what, day, to=to)

    def warmth(self, day: str) -> Answer:
        warmth = self.chance.choice((5, 16, 20, 24))
        place = self.chance.choice(self.shelves + self.bags)
        return self.bench.enter("describe", place, day, what="place", temperature_c=warmth)

    def air(self, day: str) -> Answer:
        return self.bench.enter("vent", self.chance.choice(self.shelves + self.bags), day)

    def look(self, day: str) -> Answer:
        return self.bench.enter("note", self.chance.choice(self.shelves + self.bags), day, note="All well.")

    def cross(self, day: str) -> Answer:
        del day
        number = self.chance.choice(self.numbers)
        return self.bench.enter("cross-out", numbers=[number], reason="It was another bag.")


@pytest.mark.parametrize(("kind", "seed"), [("memory", 3), ("file", 1), ("file", 3)])
def test_windows_keep_up_with_all_that_is_told_of_places(tmp_path: Path, kind: str, seed: int) -> None:
    notebook = new_memory() if kind == "memory" else new_notebook(tmp_path / "book.graftwright")
    mover = Mover(notebook, seed)
    for _ in range(8):
        for _ in range(5):
            mover.one()
        assert out_of_step(notebook) == []
    assert len(mover.numbers) > 20


def test_venting_a_shelf_does_not_vent_the_bags_on_it() -> None:
    bench = Bench()
    shelf = bench.new("describe", "2027-04-01", what="place", name="Sill", temperature_c=22.5)
    batch, (bag,) = bench.grafts(2, "2027-04-03", bags=1, place=shelf)
    bench.enter("check", batch, "2027-04-19", place=bag, seen={"weaning": 2})
    bench.enter("vent", shelf, "2027-04-20")
    assert [one.what for one in bench.group(batch).tasks if not one.expected] == ["check", "vent"]
