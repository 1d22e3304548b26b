"""The rules that never break, as `ledger.md` lists them, checked on entries and lines alone.

Nothing here asks the code how it came to its lines: what is summed, ordered and compared is written anew.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.ledger.book import Replay, things_said

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.actions.ports import Notebook
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line

EARLY = {"receive": 1, "cut-scions": 1, "graft": 3} | dict.fromkeys(
    ("chill", "bring-out", "return-to-cold", "pull", "discard", "check-wood"), 2
)


@dataclass(frozen=True)
class Read:
    """A notebook as its port shows it."""

    entries: tuple[Entry, ...]
    lines: Mapping[int, tuple[Line, ...]]
    batch_of: Mapping[str, str]  # plant -> its batch
    stages: Mapping[str, tuple[str, ...]]  # batch -> its stages

    def in_order(self) -> list[Entry]:
        standing = (e for e in self.entries if not e.crossed_by)
        return sorted(standing, key=lambda e: (e.day, EARLY.get(e.kind, 4), e.turn))

    def family(self, thing: str) -> str:
        return self.batch_of.get(thing, thing)


def read(notebook: Notebook) -> Read:
    with notebook.writing() as page:
        page.look_up("", ())
        entries = tuple(page.entry(number) for number in range(1, page.next_number()))
        lines = {e.number: tuple(page.lines(e.number)) for e in entries}
        plants, stages = {}, {}
        for code in {line.account.thing for own in lines.values() for line in own}:
            thing = page.thing(code)
            if thing and thing.kind == "plant":
                plants[code] = thing.part_of
            if thing and thing.kind == "batch":
                stages[code] = page.path(thing.get("sheet")).stages
    return Read(entries, lines, plants, stages)


def check_all_rules(notebook: Notebook) -> Read:
    """Hold a notebook to every rule; returns what was read."""
    book = read(notebook)
    for rule in (
        entries_sum_to_zero, nothing_is_ever_negative, every_lot_and_batch_adds_up, plants_are_part_of_their_batch,
        what_nobody_counted_has_no_balance, checks_keep_to_what_was_seen, every_entry_says_who_and_when,
        numbers_and_turns,
    ):  # fmt: skip
        rule(book)
    replay_gives_what_is_stored(notebook, book)
    return book


# 1


def entries_sum_to_zero(book: Read) -> None:
    for number, lines in book.lines.items():
        sums = Counter[str]()
        for line in lines:
            sums[line.account.unit] += line.amount
        assert not any(sums.values()), f"entry {number} does not sum to zero: {lines}"


# 2


def nothing_is_ever_negative(book: Read) -> None:
    standing = Counter[tuple[str, ...]]()
    for e in book.in_order():
        for line in book.lines[e.number]:
            if line.account.name == "there":
                standing[line.account] += line.amount
        wrong = {account: n for account, n in standing.items() if n < 0}
        assert not wrong, f"after entry {e.number}: {wrong}"


# 3


def every_lot_and_batch_adds_up(book: Read) -> None:
    """Every entry keeps: received + made + recount = there + used + lost + culled + discarded + given + sold."""
    for number, lines in book.lines.items():
        came, went = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
        for line in lines:
            thing = (book.family(line.account.thing), line.account.unit)
            if line.account.name in {"outside", "made", "recount"}:
                came[thing] -= line.amount
            else:
                went[thing] += line.amount
        for thing in {*came, *went}:
            assert came[thing] == went[thing], f"entry {number} makes or loses {thing}: {lines}"


# lots, 'counted, or uncounted, then with no balance, only what was used'


def what_nobody_counted_has_no_balance(book: Read) -> None:
    nobody, counted = set[str](), set[str]()
    for e in book.in_order():
        if e.kind in {"receive", "cut-scions"}:
            (nobody if e.said.get("uncounted") else counted).add(e.subject)
        elif e.kind == "fail" and e.given["again"] not in nobody:
            counted.add(e.given["again"])
        there = {line.account.thing for line in book.lines[e.number] if line.account.name == "there"}
        assert not there & (nobody - counted), f"entry {e.number} counts what nobody counted"
    received = {e.subject for e in book.in_order() if e.kind == "receive" and not e.said.get("uncounted")}
    assert not received & nobody, "a lot is counted and uncounted"


# 4


def plants_are_part_of_their_batch(book: Read) -> None:
    count = Counter[str]()
    for e in book.in_order():
        for line in book.lines[e.number]:
            if line.account.name == "there":
                count[line.account.thing] += line.amount
        wrong = {plant: count[plant] for plant in book.batch_of if count[plant] not in {0, 1}}
        assert not wrong, f"after entry {e.number}: {wrong}"
    assert all(batch in book.stages for batch in book.batch_of.values())


# checks: 2, and 'an observation never moves a unit to an earlier stage'


def checks_keep_to_what_was_seen(book: Read) -> None:
    for e, before, after in _states(book):
        if e.kind != "check":
            continue
        batch = book.family(e.subject)
        path = book.stages[batch]
        _dead_are_among_those_named(e, book.lines[e.number])
        _seen_are_there(e, before, after, book)
        _nobody_goes_back(e, book.lines[e.number], path)


def _states(book: Read) -> Iterator[tuple[Entry, Counter[tuple[str, ...]], Counter[tuple[str, ...]]]]:
    """Each entry in order, with what stood before it and what stands after it."""
    standing = Counter[tuple[str, ...]]()
    for e in book.in_order():
        before = standing.copy()
        for line in book.lines[e.number]:
            if line.account.name == "there":
                standing[line.account] += line.amount
        yield e, before, standing.copy()


def _dead_are_among_those_named(e: Entry, lines: tuple[Line, ...]) -> None:
    found = Counter(e.said.get("dead", {})) + Counter(e.said.get("plants", {}).values())
    posted = Counter[str]()
    for line in lines:
        if line.account.name == "lost":
            posted[line.account.detail] += line.amount
    assert posted <= found, f"check {e.number} found {dict(found)} dead and posts {dict(posted)}"


def _seen_are_there(
    e: Entry, before: Counter[tuple[str, ...]], after: Counter[tuple[str, ...]], book: Read
) -> None:
    named = e.said.get("plants", {})
    place = e.get("place")
    stages = Counter[str]()
    for (thing, _, _, stage, where), n in after.items():
        if n and (thing == e.subject or book.batch_of.get(thing) == e.subject) and thing not in named:
            stages[stage] += n if place in {None, where} else 0
    seen = Counter({stage: n for stage, n in e.said.get("seen", {}).items() if n})
    assert seen <= stages, f"check {e.number} saw {dict(seen)} and leaves {dict(stages)}"
    for plant, outcome in named.items():
        stands = {stage for (thing, _, _, stage, _), n in after.items() if thing == plant and n}
        if outcome in book.stages[book.family(e.subject)]:
            assert stands == {outcome}, f"check {e.number} saw {plant} {outcome}, and it stands at {stands}"
        else:
            assert not stands, f"check {e.number} found {plant} dead, and it stands at {stands}"


def _nobody_goes_back(e: Entry, lines: tuple[Line, ...], path: tuple[str, ...]) -> None:
    """Those that come to the first stages cannot be more than those that left the first stages."""
    came, left = Counter[str](), Counter[str]()
    for line in lines:
        if line.account.name == "there":
            (came if line.amount > 0 else left)[line.account.detail] += abs(line.amount)
    more = max(0, -sum(line.amount for line in lines if line.account.name == "recount"))
    for n in range(len(path)):
        first = path[: n + 1]
        assert sum(came[s] for s in first) <= sum(left[s] for s in first) + more, f"check {e.number}: {lines}"


# 5


def replay_gives_what_is_stored(notebook: Notebook, book: Read) -> None:
    """Derive every entry from the first again; what the port answers of each thing is the same."""
    with notebook.writing() as page:
        page.look_up("", ())
        things = things_said(book.in_order())
        replay = Replay(things, page.path)
        for e in book.in_order():
            assert set(replay.next(e)) == set(book.lines[e.number]), f"entry {e.number} replays otherwise"
        for e in book.entries:
            assert not e.crossed_by or not book.lines[e.number], f"entry {e.number} is crossed out and posts"
        for code, thing in things.items():
            stored = page.thing(code)
            assert stored is not None, code
            assert stored.said == thing.said, code
            assert (stored.kind, stored.part_of) == (thing.kind, thing.part_of)
        _places_hold_what_the_lines_say(page, book)


def _places_hold_what_the_lines_say(page: object, book: Read) -> None:
    owners = defaultdict(Counter[str])
    for lines in book.lines.values():
        for line in lines:
            if line.account.name == "there":
                owners[line.account.place][line.account.thing, line.account[1:4]] += line.amount
    for place, standing in owners.items():
        inside = sorted({thing for (thing, _), n in standing.items() if n})
        assert list(page.owners_in(place)) == inside, place  # type: ignore[attr-defined]


# 8, 9


def every_entry_says_who_and_when(book: Read) -> None:
    for e in book.entries:
        assert all((e.id, e.by, e.happened, e.day, e.received)), f"entry {e.number}"


def numbers_and_turns(book: Read) -> None:
    assert [e.number for e in book.entries] == list(range(1, len(book.entries) + 1))
    assert len({e.id for e in book.entries}) == len(book.entries)
    for e in book.entries:
        old = book.entries[e.replaces - 1] if e.replaces else None
        assert e.turn == (old.turn if old else e.number)
        assert old is None or old.crossed_by == e.number
