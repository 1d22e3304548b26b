"""Random drafts of every kind: what a grower might tell, likely or not, right or wrong."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

from graftwright.actions.ports import Draft
from graftwright.ledger import reasons
from graftwright.ledger.codes import new_code
from graftwright.ledger.kinds import EXPERIENCES, KINDS
from graftwright.ledger.stages import LOTS

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from graftwright.ledger.lines import Line

FIRST_DAY = date(2027, 3, 1)
PARTIAL = ("2027-03", "2027-04", "spring 2027", "2027", "winter 2026/27")
VARIETIES = ("Amber Early", "Long Meadow", "Ferry Gold")
# paths of the two sheets, or of neither, with values that fit and that do not
OWN = (
    ("sheet.take_from_day", ("25", "40 days", "0", "late")),
    ("sheet.buds_per_scion", ("1 to 2", "2", "3-1")),
    ("callusing.check_every.days", ("2", "4,5", "-1")),
    ("nowhere.days", ("3",)),
)
PEOPLE = ("Ann", "Bo", "Cai")


class Standing(NamedTuple):
    """Units that stand together now."""

    thing: str
    stage: str
    place: str
    count: int


@dataclass
class Known:
    """What a notebook holds by now, as far as somebody telling it would know."""

    kinds: dict[str, str] = field(default_factory=dict)  # code -> kind of thing
    batch_of: dict[str, str] = field(default_factory=dict)  # plant -> batch
    standing: list[Standing] = field(default_factory=list)
    entries: int = 0

    def of(self, *kinds: str) -> list[str]:
        return sorted(code for code, kind in self.kinds.items() if kind in kinds)

    def here(self, thing: str) -> list[Standing]:
        """What stands under a code now, the plants of a batch included."""
        return [one for one in self.standing if thing in {one.thing, self.batch_of.get(one.thing)}]


def standing_of(lines: Sequence[Line]) -> list[Standing]:
    """Sum the lines of a whole book."""
    totals = Counter[tuple[str, str, str]]()
    for line in lines:
        if line.account.name == "there":
            totals[line.account.thing, line.account.detail, line.account.place] += line.amount
    return [Standing(*where, n) for where, n in sorted(totals.items()) if n]


@dataclass
class Teller:
    """Makes drafts by chance."""

    chance: random.Random
    stages: dict[str, tuple[str, ...]]  # sheet -> its stages
    told: int = 0
    days: int = 1

    def draft(self, kind: str, known: Known, *, replaces: int = 0, subject: str | None = None) -> Draft:
        """Tell something of a kind; now and then about the wrong thing, or with a wrong number."""
        self.told += 1
        about, said = self.makers[kind](self, known)
        about = subject if subject is not None else about
        if self.rarely(12) and kind not in {"describe", "receive", "graft", "regraft", "cut-scions"}:
            about = self.one_of(sorted(known.kinds), about)
        return Draft(
            kind, about, said, self.day(), self.chance.choice(PEOPLE), f"{self.told:026d}", replaces,
            self.rarely(4) and kind in {"cross-out", "receive", "lose"},
        )  # fmt: skip

    # chance

    def rarely(self, out_of: int) -> bool:
        return self.chance.randrange(out_of) == out_of - 1

    def one_of(self, choices: Sequence[Any], otherwise: Any = "") -> Any:
        return self.chance.choice(choices) if choices else otherwise

    def few(self, most: int = 4) -> int:
        return self.chance.randint(1, most)

    def day(self) -> str:
        if self.rarely(10):
            return self.chance.choice(PARTIAL)
        if self.rarely(40):
            return ""
        self.days += self.chance.choice((0, 0, 1, 2))
        ahead = self.days if not self.rarely(3) else self.chance.randint(0, self.days)
        return (FIRST_DAY + timedelta(days=ahead)).isoformat()

    def sometimes(self, **said: Any) -> dict[str, Any]:
        return {name: value for name, value in said.items() if value and self.rarely(3)}

    def why(self, words: Sequence[str], total: int) -> dict[str, int]:
        counts = Counter(self.chance.choice(words) for _ in range(total))
        return dict(counts)

    # units

    def grafts(self, known: Known) -> tuple[str, list[Standing]]:
        """A batch or, more rarely, a plant, and what stands there."""
        about = self.one_of(known.of("plant" if self.rarely(4) else "batch"))
        return about, known.here(about)

    def some(self, known: Known, here: list[Standing]) -> dict[str, Any]:
        """Which of the units are meant: place, stage, plants."""
        coded = [one.thing for one in here if one.thing in known.batch_of]
        one = self.one_of(here, Standing("", "", "", 0))
        said = self.sometimes(place=one.place, stage=one.stage)
        if coded and self.rarely(2):
            said["plants"] = self.chance.sample(coded, self.few(min(3, len(coded))))
        return said

    def step(self, known: Known) -> tuple[str, dict[str, Any]]:
        about, here = self.grafts(known)
        there = sum(one.count for one in here)
        return about, self.some(known, here) | self.sometimes(
            count=self.few(max(there, 1)), to=self.one_of(known.of("place"))
        )

    def leave(self, words: Sequence[str]) -> Callable[[Known], tuple[str, dict[str, Any]]]:
        def tell(known: Known) -> tuple[str, dict[str, Any]]:
            about, here = self.grafts(known)
            said = self.some(known, here)
            return about, {**said, "reasons": self.why(words, len(said.get("plants", ())) or self.few(3))}

        return tell

    # lots

    def receive(self, known: Known) -> tuple[str, dict[str, Any]]:
        what = self.chance.choice(("seed", "scionwood", "stock"))
        lot = self.one_of(known.of(what)) if self.rarely(3) else ""
        much = self.one_of(
            [{"count": self.few(20)}] * 6
            + [{"uncounted": True}, {"sticks": self.few(4), "buds_per_stick": self.few(4)}, {}]
        )
        return lot, {"what": what, "of": self.chance.choice(VARIETIES), **much,
                     **self.sometimes(place=self.one_of(known.of("place")))}  # fmt: skip

    def cut_scions(self, known: Known) -> tuple[str, dict[str, Any]]:
        return "", {"count": self.few(20), "of": self.chance.choice(VARIETIES),
                    **self.sometimes(place=self.one_of(known.of("place")))}  # fmt: skip

    def seed_step(self, known: Known) -> tuple[str, dict[str, Any]]:
        return self.one_of(known.of("seed")), self.sometimes(
            count=self.few(12), place=self.one_of(known.of("place"))
        )

    def pull(self, known: Known) -> tuple[str, dict[str, Any]]:
        count = self.few(8)
        return self.one_of(known.of("seed")), {
            "count": count,
            **self.sometimes(double=self.few(count), odd=1, put_back=self.few(9)),
        }

    def discard(self, known: Known) -> tuple[str, dict[str, Any]]:
        lot = self.one_of(known.of(*LOTS))
        return lot, {"reasons": self.why(reasons.DISCARDS, self.few()),
                     **self.sometimes(stage="in hand", place=self.one_of(known.of("place")))}  # fmt: skip

    def check_wood(self, known: Known) -> tuple[str, dict[str, Any]]:
        return self.one_of(known.of("scionwood")), self.sometimes(reasons=self.why(reasons.WOOD, self.few()))

    def stock_taking(self, known: Known) -> tuple[str, dict[str, Any]]:
        about = self.one_of(known.of(*LOTS, "batch"))
        one = self.one_of(known.here(about), Standing(about, "in hand", "", 0))
        counted = {one.stage: max(0, one.count + self.chance.randint(-3, 3))}
        return about, {"counted": counted, **self.sometimes(place=one.place)}

    # grafts

    def graft(self, known: Known) -> tuple[str, dict[str, Any]]:
        count, places = self.few(12), known.of("place")
        kinds = ("seed", "stock")
        said = {
            "count": count, "scion": self.one_of(known.of("scionwood")), "stock": self.one_of(known.of(*kinds)),
            "sheet": self.chance.choice(sorted(self.stages)), **self.sometimes(buds=2),
        }  # fmt: skip
        if self.rarely(3):
            return "", {**said, "bags": self.few(count), **self.sometimes(place=self.one_of(places))}
        if self.rarely(3) and len(places) > 1 and count > 1:
            first = self.few(count - 1)
            one, other = self.chance.sample(places, 2)
            return "", {**said, "places": {one: first, other: count - first - self.rarely(20)}}
        return "", {**said, **self.sometimes(place=self.one_of(places))}

    def codes(self, known: Known) -> tuple[str, dict[str, Any]]:
        batch = self.one_of(known.of("batch"))
        said = self.some(known, known.here(batch))
        count = self.few(3)
        said.pop("plants", None)
        if self.rarely(3):
            return batch, {**said, "plants": [new_code(random.Random(self.few(10**6))) for _ in range(count)]}
        return batch, {**said, **({} if self.rarely(4) else {"count": count})}

    def check(self, known: Known) -> tuple[str, dict[str, Any]]:
        """What somebody would see who knows what stands there now, or is wrong about it."""
        about, here = self.grafts(known)
        place = self.one_of([one.place for one in here]) if self.rarely(2) else ""
        here = [one for one in here if place in {"", one.place}]
        coded = [one for one in here if one.thing in known.batch_of and one.thing != about]
        named = self.chance.sample(coded, self.chance.randint(0, min(3, len(coded))))
        said: dict[str, Any] = {"place": place} if place else {}
        if named:
            said["plants"] = {one.thing: self.fate(about, one, known) for one in named}
        rest = [one for one in here if one not in named]
        said |= self.seen(about, rest, known, alike=len(named) < len(coded) or self.rarely(5))
        if self.rarely(6):
            off = self.chance.choice((-2, -1, 1, 2))
            said = {**said, "not_looked": max(0, said.get("not_looked", 0) + off)}
            said |= {"miscounted": off} if self.rarely(2) else {}
        return about, said

    def path(self, about: str, known: Known) -> tuple[str, ...]:
        stages = {one.stage for one in known.here(about)}
        return next((path for path in self.stages.values() if stages <= set(path)), ("grafted",))

    def later(self, stage: str, path: tuple[str, ...]) -> str:
        return path[min(path.index(stage) + self.chance.choice((0, 0, 1, 2)), len(path) - 1)]

    def fate(self, about: str, one: Standing, known: Known) -> str:
        if self.rarely(3):
            return str(self.chance.choice(reasons.DEATHS))
        return self.later(one.stage, self.path(about, known))

    def seen(self, about: str, here: list[Standing], known: Known, *, alike: bool) -> dict[str, Any]:
        path = self.path(about, known)
        seen, dead, not_looked = Counter[str](), Counter[str](), 0
        fate = self.chance.random()
        furthest = max((one.stage for one in here), key=path.index, default=path[0])
        for stage in [one.stage for one in here for _ in range(one.count)]:
            if not alike:
                fate = self.chance.random()
            if fate < 0.7:
                seen[furthest if alike else self.later(stage, path)] += 1
            elif fate < 0.85:
                dead["mould" if alike else str(self.chance.choice(("mould", "rotted", "unknown")))] += 1
            else:
                not_looked += 1
        return {"seen": dict(seen), "dead": dict(dead), "not_looked": not_looked}

    def carry(self, known: Known) -> tuple[str, dict[str, Any]]:
        to = self.one_of(known.of("place"))
        if self.rarely(3):
            return self.one_of(known.of("place")), {"to": to}
        if self.rarely(3):
            return self.one_of(known.of(*LOTS)), {"to": to, **self.sometimes(count=self.few(9))}
        about, here = self.grafts(known)
        return about, {"to": to, **self.some(known, here), **self.sometimes(count=self.few())}

    def step_back(self, known: Known) -> tuple[str, dict[str, Any]]:
        about, said = self.step(known)
        said.pop("to", None)
        path = self.path(about, known)
        ahead = self.one_of([one.stage for one in known.here(about)], path[-1])
        back = self.one_of(path[: path.index(ahead)] or path)
        return about, {**said, "back_to": back, "reason": self.chance.choice(reasons.STEP_BACK)}

    def fail(self, known: Known) -> tuple[str, dict[str, Any]]:
        about, said = self.leave(reasons.UNION)(known)
        return about, said | self.sometimes(lot=self.one_of(known.of("stock")))

    def give(self, known: Known) -> tuple[str, dict[str, Any]]:
        if self.rarely(3):
            about, said = self.one_of(known.of(*LOTS)), self.sometimes(count=self.few(9))
        else:
            about, said = self.step(known)
            said.pop("to", None)
        return about, {**said, "to_whom": self.chance.choice(("a friend", "the school"))}

    # remarks

    def describe(self, known: Known) -> tuple[str, dict[str, Any]]:
        if self.rarely(3):
            return self.chance.choice(VARIETIES), {"what": "variety", "name": self.chance.choice(VARIETIES)}
        place = self.one_of(known.of("place")) if self.rarely(3) else ""
        return place, {"what": "place", "name": f"Shelf {self.few(9)}",
                       **self.sometimes(within=self.one_of(known.of("place")), temperature_c=self.few(25))}  # fmt: skip

    def air(self, known: Known) -> tuple[str, dict[str, Any]]:
        return self.one_of(known.of("place", "batch")), {"opening": "two holes"}

    def note(self, known: Known) -> tuple[str, dict[str, Any]]:
        return self.one_of(known.of("batch", "seed", "place", "plant", "variety")), {"note": "cold night"}

    def away(self, known: Known) -> tuple[str, dict[str, Any]]:
        del known
        return "", {"from_day": "2027-04-01", "to_day": "2027-04-05"}

    def wish(self, known: Known) -> tuple[str, dict[str, Any]]:
        del known
        sheet = self.chance.choice([*sorted(self.stages), "none such"])
        return self.chance.choice(VARIETIES), {"count": self.few(20), "ready_by": "2027-06-10", "sheet": sheet,
                                               "genus": "castanea", **self.sometimes(sure=0.8)}  # fmt: skip

    def promise(self, known: Known) -> tuple[str, dict[str, Any]]:
        about = self.one_of(known.of("batch", "variety", "plant"))
        return about, {"count": self.few(), "to_whom": "the school"}

    def plan(self, known: Known) -> tuple[str, dict[str, Any]]:
        del known
        return "", {"plan": {"today": "2027-03-01", "batches": [{"grafts": self.few()}], "unmet": []}}

    def adopt(self, known: Known) -> tuple[str, dict[str, Any]]:
        """A value of one's own, right or wrong, taken back, or how practised somebody is."""
        del known
        said: dict[str, Any] = {"of": self.one_of([*self.stages, "Castanea"])}
        if self.rarely(4):
            return "", {**said, "experience": self.chance.choice(EXPERIENCES)}
        path, values = self.chance.choice(OWN)
        if self.rarely(4):
            return "", {**said, "path": path, "back": True}
        return "", {
            **said,
            "path": path,
            "value": self.chance.choice(values),
            **self.sometimes(scope="a bench"),
        }

    def cross_out(self, known: Known) -> tuple[str, dict[str, Any]]:
        numbers = [self.few(max(known.entries, 1)) for _ in range(self.few(2))]
        return "", {"numbers": numbers, "reason": "it was not so"}

    makers: dict[str, Callable[[Teller, Known], tuple[str, dict[str, Any]]]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        kind = type(self)
        self.makers = {
            "describe": kind.describe, "receive": kind.receive, "cut-scions": kind.cut_scions,
            "pull": kind.pull, "discard": kind.discard, "check-wood": kind.check_wood, "graft": kind.graft,
            "regraft": kind.graft_again, "codes": kind.codes, "check": kind.check, "carry": kind.carry,
            "step-back": kind.step_back, "fail": kind.fail, "give": kind.give,
            "stock-taking": kind.stock_taking, "note": kind.note, "away": kind.away, "wish": kind.wish,
            "promise": kind.promise, "plan": kind.plan, "adopt": kind.adopt, "cross-out": kind.cross_out,
            "lose": lambda self, known: self.leave(reasons.DEATHS)(known),
            "cull": lambda self, known: self.leave(reasons.CULLED)(known),
            **dict.fromkeys(("chill", "bring-out", "return-to-cold"), kind.seed_step),
            **dict.fromkeys(("vent", "open", "close-again"), kind.air),
            **dict.fromkeys(("pot", "settle", "harden", "store", "unwrap", "head-back", "plant"), kind.step),
        }  # fmt: skip
        assert set(self.makers) == set(KINDS), "a kind of entry that nobody tells"

    def graft_again(self, known: Known) -> tuple[str, dict[str, Any]]:
        _, said = self.graft(known)
        return "", {name: said[name] for name in ("count", "scion", "sheet")} | {
            "stock": self.one_of(known.of("stock"))
        }
