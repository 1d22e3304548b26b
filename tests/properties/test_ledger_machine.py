"""Random histories in every kind of notebook at once: after each entry all rules of the ledger hold.

`ledger.md`, 'What never breaks', is written down in `ledger_rules`; what can be told, in
`ledger_histories`. All notebooks get the same drafts and must answer alike.
"""

from __future__ import annotations

import json
from contextlib import ExitStack
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, Phase, note, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from graftwright.actions.enter import Answer, enter
from graftwright.actions.ports import Draft, Notebook, Page
from graftwright.errors import Trouble
from graftwright.ledger.aside import KeptAside
from graftwright.ledger.entries import order_key
from graftwright.ledger.errors import OtherContent
from graftwright.ledger.kinds import KINDS
from ledger_bench import NOTEBOOKS, desk, sheets, stages
from ledger_histories import Known, Teller, standing_of
from ledger_rules import check_all_rules

if TYPE_CHECKING:
    import random
    from collections.abc import Iterable

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.things import Thing

chances = st.randoms(use_true_random=True)

# every kind, and more of those that make a history
TOLD = [*sorted(KINDS), "graft", "check", "check", "lose", "codes", "carry", "receive", "cross-out", "pot"]


@dataclass
class Copy:
    """Everything a notebook's port shows, for comparing."""

    entries: tuple[Entry, ...]
    lines: tuple[frozenset[Line], ...]
    things: dict[str, Thing | None]
    aside: dict[str, KeptAside]


def as_stored(e: Entry) -> Entry:
    """The entry as a file gives it back: a pair is a list there."""
    return replace(e, said=json.loads(json.dumps(e.said)), given=json.loads(json.dumps(e.given)))


def comparable(thing: Thing | None) -> Thing | None:
    """A thing without what a notebook notes for its own use."""
    if thing is None:
        return None
    said = {name: tuple(replace(one, value=json.loads(json.dumps(one.value))) for one in sayings)
            for name, sayings in thing.said.items()}  # fmt: skip
    return replace(thing, said=said, latest="")


class OneNotebook:
    """One of the notebooks that are written side by side."""

    def __init__(self, notebook: Notebook, seed: int) -> None:
        self.notebook = notebook
        self.desk = desk(seed)

    def copy(self, ids: Iterable[str]) -> Copy:
        with self.notebook.writing() as page:
            aside = {id_: kept for id_ in ids if isinstance(kept := self.answer(page, id_), KeptAside)}
            page.look_up("", ())
            numbers = range(1, page.next_number())
            entries = tuple(as_stored(page.entry(n)) for n in numbers)
            lines = tuple(frozenset(page.lines(n)) for n in numbers)
            codes = {line.account.thing for own in lines for line in own} | {e.subject for e in entries}
            things = {code: comparable(page.thing(code)) for code in sorted(codes)}
        return Copy(entries, lines, things, aside)

    def answer(self, page: Page, id_: str) -> Entry | KeptAside | None:
        page.look_up(id_, ())
        return page.answered(id_)

    def send(self, draft: Draft, *, at_the_door: bool) -> Answer | Trouble:
        try:
            return enter(self.notebook, self.desk, draft, at_the_door=at_the_door)
        except Trouble as trouble:
            return trouble


class LedgerMachine(RuleBasedStateMachine):
    """A grower and some phones telling a notebook things in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.open = ExitStack()
        self.sent: list[tuple[Draft, Answer | Trouble]] = []
        self.notebooks: list[OneNotebook] = []

    @initialize(seed=st.integers(0, 2**32 - 1), chance=chances)
    def a_room_with_nuts_and_wood(self, seed: int, chance: random.Random) -> None:
        for opened in NOTEBOOKS.values():
            self.notebooks.append(OneNotebook(self.open.enter_context(opened()), seed))
        self.teller = Teller(chance, {key: stages(key) for key in sheets()})
        self.now = self.notebooks[0].copy([])
        for kind, said in (
            ("describe", {"what": "place", "name": "Shelf one"}),
            ("describe", {"what": "place", "name": "Shelf two"}),
            ("receive", {"what": "seed", "count": 30}),
            ("receive", {"what": "scionwood", "count": 40, "of": "Amber Early"}),
        ):
            self.teller.told += 1
            self.send(Draft(kind, "", said, "2027-02-20", "Ann", f"{self.teller.told:026d}"))
        self.send(replace(self.teller.draft("graft", self.known()), happened="2027-03-01"))

    def teardown(self) -> None:
        for one in self.notebooks[1:]:
            check_all_rules(one.notebook)
        self.open.close()

    # telling

    @rule(kind=st.sampled_from(TOLD), at_the_door=st.booleans(), chance=chances)
    def tell(self, kind: str, at_the_door: bool, chance: random.Random) -> None:
        self.teller.chance = chance
        self.send(self.teller.draft(kind, self.known()), at_the_door=at_the_door)

    @rule(chance=chances)
    def some_days_at_the_bench(self, chance: random.Random) -> None:
        """Many things in a row, told at the bench or from a phone, some of them corrected."""
        self.teller.chance = chance
        for kind in chance.choices((*TOLD, "correct", "correct", "correct"), k=8):
            draft = self.corrected() if kind == "correct" else self.teller.draft(kind, self.known())
            self.send(draft, at_the_door=chance.random() < 0.5)

    @rule(chance=chances)
    def correct(self, chance: random.Random) -> None:
        self.teller.chance = chance
        self.send(self.corrected())

    def corrected(self) -> Draft:
        """An entry told otherwise: mostly one thing that it says, or its day."""
        old = self.teller.one_of(self.now.entries)
        kind = self.teller.one_of(sorted(KINDS)) if self.teller.rarely(6) else old.kind
        draft = self.teller.draft(kind, self.known(), replaces=old.number, subject=old.subject)
        draft = replace(draft, with_those_behind=self.teller.rarely(3))
        if kind != old.kind:
            return draft
        fresh = draft.said or {}
        changed = self.teller.one_of([name for name in fresh if name != "what"])
        said = {**old.said, changed: fresh[changed]} if changed else dict(old.said)
        return replace(draft, said=said, happened=old.happened if self.teller.rarely(2) else draft.happened)

    @rule(chance=chances, at_the_door=st.booleans())
    def send_again(self, chance: random.Random, at_the_door: bool) -> None:
        """6: the same id with the same content counts once and gets the first answer."""
        draft, first = chance.choice(self.sent)
        if isinstance(first, Trouble):
            return  # nothing was stored: it may be sent again, and is by `tell`
        for one in self.notebooks:
            again = one.send(draft, at_the_door=at_the_door)
            assert isinstance(again, Answer)
            assert again.repeated
            assert again.aside == first.aside
            if first.entry:
                assert again.entry is not None
                assert again.entry.number == first.entry.number
                assert again.entry.content == first.entry.content
            assert one.copy(self.aside) == self.now

    @rule(chance=chances, at_the_door=st.booleans())
    def send_something_else_under_the_same_id(self, chance: random.Random, at_the_door: bool) -> None:
        """6: the same id with other content is refused."""
        draft, first = chance.choice(self.sent)
        if isinstance(first, Trouble):
            return
        said = {**(draft.said or {}), "note": "something else"}
        other = chance.choice([
            replace(draft, happened="2027-02-27"),
            replace(draft, by="Dee"),
            replace(draft, said=said),
            replace(draft, replaces=draft.replaces + 1),
            replace(draft, kind="note", said=said),
        ])  # fmt: skip
        for one in self.notebooks:
            assert isinstance(one.send(other, at_the_door=at_the_door), OtherContent)
            assert one.copy(self.aside) == self.now

    # what must come of it

    @property
    def aside(self) -> list[str]:
        return [draft.id for draft, answer in self.sent if isinstance(answer, Answer) and answer.aside]

    def known(self) -> Known:
        standing = [e for e in self.now.entries if not e.crossed_by]
        made = [thing for thing in self.now.things.values() if thing and thing.exists]
        bags = {bag: "place" for e in standing for bag in e.given.get("new_bags", ())}
        plants = {thing.code: thing.part_of for thing in made if thing.part_of}
        lines = [line for own in self.now.lines for line in own]
        return Known(
            {thing.code: thing.kind for thing in made} | bags,
            plants,
            standing_of(lines),
            len(self.now.entries),
        )

    def send(self, draft: Draft, *, at_the_door: bool = True) -> None:
        before = self.now
        note(
            f"{draft.replaces or ''} {draft.kind} {draft.subject} {draft.happened} {draft.said} {at_the_door=}"
        )
        answers = [one.send(draft, at_the_door=at_the_door) for one in self.notebooks]
        first = answers[0]
        self.sent.append((draft, first))
        copies = [one.copy(self.aside) for one in self.notebooks]
        self.now = copies[0]
        assert len({told(answer) for answer in answers}) == 1
        for copy in copies[1:]:
            assert copy == self.now
        if isinstance(first, Answer) and first.entry:
            self.accepted(draft, first, first.entry, before)
            return
        assert not must_stand(draft, before), f"{draft}: {told(first)}"
        if isinstance(first, Trouble):
            assert at_the_door
            assert self.now == before  # 7: refused, and nothing is stored
        else:
            assert first.aside is not None
            assert not at_the_door
            self.kept_aside(draft, first.aside, before)

    def kept_aside(self, draft: Draft, kept: KeptAside, before: Copy) -> None:
        """7: from an outbox it is kept aside with its reason, all of it, and nothing else changes."""
        assert kept.reason
        assert (kept.id, kept.kind, kept.subject, kept.by) == (draft.id, draft.kind, draft.subject, draft.by)
        said = [draft.kind, draft.subject, draft.happened, draft.by, draft.replaces, draft.said]
        assert json.loads(kept.content) == json.loads(json.dumps(said))
        assert self.now.aside == {**before.aside, kept.id: kept}
        assert replace(self.now, aside=before.aside) == before

    def accepted(self, draft: Draft, answer: Answer, entry: Entry, before: Copy) -> None:
        assert entry.number == len(before.entries) + 1
        assert self.now.entries[-1] == as_stored(entry)
        assert self.now.lines[-1] == frozenset(answer.lines)
        assert (entry.id, entry.kind, entry.replaces) == (draft.id, draft.kind, draft.replaces)
        crossed = self.crossed(entry, before)
        asked = {*entry.said.get("numbers", ()), entry.replaces} - {0}
        assert asked <= crossed
        assert draft.with_those_behind or crossed == asked
        changed = {n for n, old in enumerate(before.lines, start=1) if old != self.now.lines[n - 1]}
        assert changed - crossed == set(answer.derived_again)

    def crossed(self, entry: Entry, before: Copy) -> set[int]:
        """8: entries are never edited or deleted; being crossed out, once, is all that happens to them."""
        found = set()
        for old, new in zip(before.entries, self.now.entries, strict=False):
            assert replace(new, crossed_by=old.crossed_by) == old
            if new.crossed_by != old.crossed_by:
                assert (old.crossed_by, new.crossed_by) == (0, entry.number)
                found.add(old.number)
        return found

    @invariant()
    def every_rule_holds(self) -> None:
        for one in self.notebooks[:1]:  # the others were found to be the same
            check_all_rules(one.notebook)


def told(answer: Answer | Trouble) -> str:
    """An answer in one form, to hold notebooks to each other."""
    if isinstance(answer, Trouble):
        return str(answer)
    entry = answer.entry and as_stored(answer.entry)
    return f"{entry} {answer.aside} {sorted(answer.lines, key=str)} {sorted(answer.derived_again)}"


def must_stand(draft: Draft, before: Copy) -> bool:
    """Materials do not hold up work: a graft of lots that were there by then stands, whatever was counted."""
    said = draft.said or {}
    if draft.kind != "graft" or draft.replaces or len(draft.happened) != len("2027-03-01"):
        return False
    if sum(said.get("places", {}).values()) not in {0, said["count"]}:
        return False
    lots = [before.things.get(said[side]) for side in ("scion", "stock")]
    latest = order_key(draft.happened, KINDS["graft"].rank, len(before.entries) + 1)
    return all(lot and lot.exists and lot.made_at < latest for lot in lots)


def run(examples: int, steps: int) -> None:
    small = settings(
        max_examples=examples,
        stateful_step_count=steps,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],  # shrinking such a long history takes hours and gains little
    )
    run_state_machine_as_test(LedgerMachine, settings=small)


def test_random_histories_keep_every_rule() -> None:
    run(examples=15, steps=25)


@pytest.mark.long
@pytest.mark.timeout(3600)
def test_many_random_histories_keep_every_rule() -> None:
    run(examples=600, steps=50)
