"""Made-up seasons: entries of every kind, in order and late, right and wrong, from one seed.

What a season writes depends on its seed and on the answers it gets alone, so the same seed writes the
same season into any notebook that answers alike.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from graftwright import bootstrap
from graftwright.actions.enter import Answer, Desk, enter
from graftwright.actions.ports import Draft
from graftwright.errors import NotebookComplaint, Trouble

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.actions.ports import Notebook
    from graftwright.ledger.entries import Entry

START = datetime(2027, 3, 1, 8, tzinfo=UTC)
SHEETS = bootstrap.sheets()
STAGES = ("callusing", "swollen", "leafing", "weaning")


@dataclass
class Season:
    """One season, written entry by entry."""

    notebook: Notebook
    seed: int
    lots: dict[str, list[str]] = field(default_factory=lambda: {"seed": [], "scionwood": [], "stock": []})
    batches: list[str] = field(default_factory=list)
    bags: list[str] = field(default_factory=list)
    shelves: list[str] = field(default_factory=list)
    plants: list[str] = field(default_factory=list)
    entered: list[Entry] = field(default_factory=list)
    aside: list[Draft] = field(default_factory=list)
    answers: list[Answer | str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)
        self.genera = ("Castanea", "", "") if self.seed % 3 == 0 else ("",)  # a genus makes windows: slow
        self.now = START
        self.count = 0

    def write(self, entries: int) -> Season:
        """Write so many more entries; some of them are refused, and some say nothing new."""
        for _ in range(entries):
            self.one()
        return self

    def one(self) -> Answer | str:
        """Write one entry and keep its answer, or the sentence that refused it."""
        self.now += timedelta(hours=self.chance.choice((0, 1, 3, 20)))
        acts = [act for act, able in self._acts() if able for _ in range(_OFTEN.get(act.__name__, 1))]
        return self.say(self.chance.choice(acts)(), at_the_door=self.chance.random() < 0.85)

    def say(self, draft: Draft, *, at_the_door: bool = True) -> Answer | str:
        """Enter a draft under the next id."""
        self.count += 1
        named = draft if draft.id else replace(draft, id=f"{self.seed:06d}-{self.count:019d}")
        desk = Desk(self.now, self.now.date(), lambda: SHEETS, random.Random(f"{self.seed} {self.count}"))
        try:
            answer: Answer | str = enter(self.notebook, desk, named, at_the_door=at_the_door)
        except NotebookComplaint:
            raise
        except Trouble as trouble:
            answer = str(trouble)
        if isinstance(answer, Answer) and answer.aside:
            self.aside.append(named)
        if isinstance(answer, Answer) and answer.entry and not answer.repeated:
            self._learn(answer.entry)
        self.answers.append(answer)
        return answer

    def _learn(self, e: Entry) -> None:
        self.entered.append(e)
        if e.kind in {"receive", "cut-scions"}:
            self.lots[e.get("what", "scionwood")].append(e.subject)
        elif e.kind in {"graft", "regraft"}:
            self.batches.append(e.subject)
            self.bags += e.given.get("new_bags", [])
        elif e.kind == "codes":
            self.plants += e.given["plant_codes"]
        elif e.kind == "describe" and e.said["what"] == "place":
            self.shelves.append(e.subject)
        elif e.kind == "fail":
            self.lots["stock"].append(e.given["again"])
        elif e.kind == "cross-out":
            self._drop(e.said["numbers"])

    def _drop(self, numbers: list[int]) -> None:
        """Stop using what crossed-out entries had made."""
        for e in self.entered:
            if e.number in numbers:
                made = {e.subject, *e.given.get("new_bags", ()), *e.given.get("plant_codes", ())}
                for codes in (*self.lots.values(), self.batches, self.bags, self.shelves, self.plants):
                    codes[:] = [code for code in codes if code not in made]

    # what there is to write

    def _acts(self) -> list[tuple[Callable[[], Draft], object]]:
        seed, wood, stock = self.lots.values()
        return [
            (self.shelf, True), (self.receive, True), (self.seed_step, seed), (self.wood, wood),
            (self.count_lot, seed), (self.graft, wood and seed + stock),
            *((act, self.batches) for act in (self.check, self.leave, self.step, self.codes, self.carry, self.note,
                                              self.give, self.back)),
            (self.carry_bag, self.bags and self.shelves), (self.vent, self.bags), (self.plant, self.plants),
            *((act, self.entered) for act in (self.cross_out, self.correct, self.again)),
        ]  # fmt: skip

    def _draft(self, kind: str, subject: str = "", **said: Any) -> Draft:
        return Draft(
            kind, subject, {name: value for name, value in said.items() if value}, self._when(), "Ilse"
        )

    def _when(self) -> str:
        if self.chance.random() < 0.75:
            return ""
        if self.chance.random() < 0.15:
            return self.now.strftime("%Y-%m")
        return (self.now - timedelta(days=self.chance.randint(0, 12))).date().isoformat()

    def _one_of(self, codes: list[str]) -> str:
        return self.chance.choice(codes) if codes else ""

    def shelf(self) -> Draft:
        name = f"Shelf {self.chance.randint(1, 4)}"
        return self._draft("describe", what="place", name=name, place_kind="shelf", within=self._one_of(self.shelves),
                           temperature_c=self.chance.choice((3, 18, 22, 24)))  # fmt: skip

    def receive(self) -> Draft:
        what = self.chance.choice(tuple(self.lots))
        subject = self._one_of(self.lots[what]) if self.chance.random() < 0.1 else ""
        of, genus = self.chance.choice(("Alder Hill", "Old Hedge", "")), self.chance.choice(self.genera)
        return self._draft("receive", subject, what=what, count=self.chance.randint(1, 40), genus=genus, of=of,
                           place=self._one_of(self.shelves))  # fmt: skip

    def seed_step(self) -> Draft:
        kind = self.chance.choice(("chill", "bring-out", "return-to-cold", "pull"))
        count = self.chance.choice((0, 3, 9))
        double = self.chance.choice((0, 0, 1)) if kind == "pull" else 0
        return self._draft(
            kind, self._one_of(self.lots["seed"]), count=count or (kind == "pull") * 2, double=double
        )

    def wood(self) -> Draft:
        return self._draft(
            "check-wood", self._one_of(self.lots["scionwood"]), reasons={"mouldy": self.chance.randint(0, 3)}
        )

    def graft(self) -> Draft:
        bags = self.chance.choice((0, 1, 3))
        stock = self._one_of(self.lots["seed"] + self.lots["stock"])
        sheet = self.chance.choice(("hypocotyl-closed-bag", "hypocotyl-closed-bag", "plain"))
        return self._draft("graft", count=self.chance.randint(1, 12), scion=self._one_of(self.lots["scionwood"]),
                           stock=stock, sheet=sheet, bags=bags, place=self._one_of(self.shelves))  # fmt: skip

    def check(self) -> Draft:
        """Look at one place of a batch: most checks add up, and some are forgotten for a few days."""
        batch = self._one_of(self.batches)
        standing = self._standing(batch)
        place = self._one_of(sorted({place for _, place in standing}))
        here = {stage: n for (stage, where), n in standing.items() if where == place}
        left = sum(here.values()) + self.chance.choice((0, 0, 0, 0, 0, 1))
        seen: dict[str, int] = {}
        for stage in self.chance.sample((*here, *STAGES), 2) if here else STAGES[:1]:
            seen[stage] = seen.get(stage, 0) + (n := self.chance.randint(0, left))
            left -= n
        dead = self.chance.randint(0, min(left, 2))
        reason = self.chance.choice(("mould", "no join", "unknown"))
        return self._draft("check", batch, place=place, seen=seen, dead={reason: dead}, not_looked=left - dead,
                           miscounted=self.chance.choice((0, 0, 0, 0, 0, 1)))  # fmt: skip

    def _standing(self, batch: str) -> Counter[tuple[str, str]]:
        """What stands of a batch now, by stage and place."""
        found: Counter[tuple[str, str]] = Counter()
        with self.notebook.writing() as page:
            for code in (batch, *page.parts(batch)):
                for posted in page.history(code):
                    for line in posted.lines:
                        if line.account.name == "there":
                            found[line.account.detail, line.account.place] += line.amount
        return Counter(dict(sorted((+found).items())))  # in an order that no notebook decides

    def _place(self) -> str:
        return self._one_of(self.bags) if self.chance.random() < 0.5 else ""

    def leave(self) -> Draft:
        kind, why = self.chance.choice((("lose", "mould"), ("cull", "weak"), ("fail", "no join")))
        return self._draft(
            kind,
            self._one_of(self.batches + self.bags),
            reasons={why: self.chance.randint(1, 2)},
            place=self._place(),
        )

    def step(self) -> Draft:
        kind = self.chance.choice(("pot", "settle", "harden", "plant"))
        return self._draft(
            kind,
            self._one_of(self.batches),
            count=self.chance.choice((0, 1, 3)),
            to=self._one_of(self.shelves),
        )

    def codes(self) -> Draft:
        return self._draft(
            "codes", self._one_of(self.batches), count=self.chance.randint(0, 3), place=self._place()
        )

    def carry(self) -> Draft:
        return self._draft("carry", self._one_of(self.batches), to=self._one_of(self.shelves + self.bags) or "nowhere",
                           count=self.chance.choice((0, 1, 2)))  # fmt: skip

    def carry_bag(self) -> Draft:
        return self._draft("carry", self._one_of(self.bags + self.shelves), to=self._one_of(self.shelves))

    def vent(self) -> Draft:
        return self._draft(self.chance.choice(("vent", "open", "close-again")), self._one_of(self.bags))

    def plant(self) -> Draft:
        plant = self._one_of(self.plants)
        if self.chance.random() < 0.5:
            return self._draft("lose", plant, reasons={"frost": 1})
        return self._draft("check", plant, seen={self.chance.choice(STAGES): 1})

    def note(self) -> Draft:
        return self._draft("note", self._one_of(self.batches + self.plants), note="Leaves pale, more light.")

    def count_lot(self) -> Draft:
        return self._draft(
            "stock-taking", self._one_of(self.lots["seed"]), counted={"in hand": self.chance.randint(0, 30)}
        )

    def give(self) -> Draft:
        return self._draft("give", self._one_of(self.batches), count=1, to_whom="Milan")

    def back(self) -> Draft:
        return self._draft(
            "step-back", self._one_of(self.batches), back_to="leafing", reason="frost", count=1
        )

    def cross_out(self) -> Draft:
        number = self._earlier().number
        draft = self._draft("cross-out", numbers=[number], reason="It was another bag.")
        return replace(draft, happened="", with_those_behind=self.chance.random() < 0.3)

    def _earlier(self) -> Entry:
        """Choose an entry to put right: mostly one of the last."""
        return self.chance.choice(self.entered[-self.chance.choice((6, 6, 60)) :])

    def correct(self) -> Draft:
        e = self._earlier()
        said = dict(e.said)
        if "count" in said:
            said["count"] = max(1, said["count"] + self.chance.randint(-2, 4))
        days = self.chance.choice((0, 0, -2, 2))
        day = (datetime.fromisoformat(e.day) + timedelta(days=days)).date()
        return Draft(
            e.kind,
            e.subject,
            said,
            min(day, self.now.date()).isoformat(),
            "Ilse",
            replaces=e.number,
        )

    def again(self) -> Draft:
        """Send something a second time, now and then with other words."""
        if self.aside and self.chance.random() < 0.3:
            kept = self.chance.choice(self.aside)
            return kept if self.chance.random() < 0.6 else replace(kept, happened="2027-02-02")
        e = self.chance.choice(self.entered)
        said = dict(e.said) if self.chance.random() < 0.7 else {**e.said, "note": "And again."}
        happened = "" if e.given.get("happened") else e.happened
        subject = "" if e.given.get("subject") else e.given.get("asked", e.subject)
        return Draft(e.kind, subject, said, happened, "Ilse", id=e.id, replaces=e.replaces)


_OFTEN = {"check": 6, "leave": 3, "graft": 3, "receive": 3, "step": 2, "codes": 2, "plant": 2, "shelf": 2}
