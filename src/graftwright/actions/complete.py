"""From what was typed to an entry: codes found by name, codes given, the sheet's version noted."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.actions.own import check_back, check_practice, own_values, page_of, read_own
from graftwright.actions.sense import check_sense
from graftwright.errors import Refusal, ValueComplaint
from graftwright.ledger import codes
from graftwright.ledger.entries import Entry, key_of, order_key, read_said, read_value
from graftwright.ledger.kinds import CODE, KINDS, TEXT, Field, find_kind
from graftwright.ledger.lines import THERE
from graftwright.ledger.things import OWN, one_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.actions.names import Names
    from graftwright.actions.ports import Draft, Page, Sheet
    from graftwright.handbook.values import OwnValue
    from graftwright.ledger.days import Happened
    from graftwright.ledger.kinds import Kind
    from graftwright.ledger.things import Thing

# kinds of entry that make the thing they are about; a code is given if none was typed
MAKES = {"receive", "cut-scions", "graft", "regraft"}
_LOTS = {"scion": ("scionwood",), "stock": ("seed", "stock")}  # what a graft takes, and from which lots
BY = Field("by", TEXT, "Who did it")
_ONE_OF_A_KIND = {"site", "settings"}  # a notebook has one of each
_BARE = {"away", "plan", "adopt", "cross-out"}  # about the notebook itself


class WhichOne(Refusal):
    """A place was named where a batch is meant, and several lie there (or none)."""

    key = "which_one"

    def __init__(self, place: str, found: Iterable[str], kind: Kind) -> None:
        self.about = (place,)
        listed = ", ".join(codes.shown(one) for one in sorted(found)) or "nothing"
        super().__init__(
            f"In {codes.shown(place)} there is: {listed}; '{kind.name}' needs one {one_of(kind.about)}.",
            do="Name it by its code.",
        )


class TakenCode(Refusal):
    """A code typed for something new belongs to something else already."""

    key = "taken_code"

    def __init__(self, thing: Thing) -> None:
        self.about = (thing.code,)
        super().__init__(
            f"{codes.shown(thing.code)} belongs to a {thing.kind} already; a code belongs to one thing for ever.",
            do="Take the next blank label, or leave the code out and one is given.",
        )


class NoSubject(Refusal):
    """An entry that does not say what it is about."""

    key = "subject"

    def __init__(self, kind: Kind) -> None:
        super().__init__(
            f"'{kind.name}' must say what it is about.", do=f"Name a {one_of(kind.about)} by its code."
        )


@dataclass
class Completer:
    """Fills one draft in."""

    page: Page
    draft: Draft
    meant: Happened
    names: Names
    sheets: Callable[[], Mapping[str, Sheet]]
    given: dict[str, Any] = field(default_factory=dict)

    def claim(self, received: str) -> Entry:
        """Return what the person says, codes found, before anything is given or checked further."""
        kind, happened = find_kind(self.draft.kind), self.meant
        said = self._codes_in(kind, read_said(kind.name, self.draft.said or {}))
        if not self.draft.happened.strip():
            self.given["happened"] = True
        typed = happened.typed if happened.partial or happened.has_time else happened.first.isoformat()
        by = read_value(BY, self.draft.by)
        return Entry(
            id=self.draft.id, kind=kind.name, subject=self._subject(kind, said), day=happened.first.isoformat(),
            happened=typed, by=self.names.person(by) if by else "", received=received, said=said,
            given=self.given, replaces=self.draft.replaces,
        )  # fmt: skip

    def filled(self, e: Entry) -> Entry:
        """Give the claim what its kind needs besides: codes, the sheet's version, things made on the spot."""
        kind = find_kind(e.kind)
        if kind.name in MAKES:
            self._not_taken(kind, e)
        subject = self._instead_of_place(kind, e)
        self._complete(kind.name, subject, e.said)
        if self.names.on_the_spot:
            self.given["on_the_spot"] = self.names.on_the_spot
        return replace(e, subject=subject, given=self.given)

    def _codes_in(self, kind: Kind, said: dict[str, Any]) -> dict[str, Any]:
        if genus := said.get("genus"):
            said["genus"] = genus.capitalize()
        for name, value in said.items():
            wanted = kind.field(name)
            if wanted and wanted.holds == CODE:
                lots = _LOTS.get(name, ()) if kind.name in {"graft", "regraft"} else ()
                said[name] = self.names.lot(value, lots) if lots else self.names.find(value)
        if places := said.get("places"):
            said["places"] = dict(sorted((self.names.find(place), n) for place, n in places.items()))
            if len(said["places"]) < len(places):
                raise NamedTwice(places)
        return said

    # the subject

    def _subject(self, kind: Kind, said: Mapping[str, Any]) -> str:
        typed = self.draft.subject.strip()
        if kind.name in _BARE:
            return ""
        if kind.name == "describe":
            return self._described(typed, said)
        if kind.name in MAKES:
            return codes.read(typed) if typed else self._given_code()
        if not typed:
            raise NoSubject(kind)
        return self.names.variety(typed, kind.name) if kind.name == "wish" else self.names.find(typed)

    def _given_code(self) -> str:
        self.given["subject"] = True
        before = self._carried_on("subject")
        return self.names.new_codes(1, [before] if before else None)[0]

    def _carried_on(self, name: str) -> Any:
        """What the corrected entry was given under this name, if it said the same sort of thing."""
        if not self.draft.replaces:
            return None
        old = self.page.entry(self.draft.replaces)
        if old.kind != self.draft.kind:
            return None
        return old.subject if name == "subject" else old.given.get(name)

    def _described(self, typed: str, said: Mapping[str, Any]) -> str:
        if said["what"] in _ONE_OF_A_KIND:
            return str(said["what"])
        if typed:
            return self._described_key(typed)
        if said["what"] == "place" or not said.get("name"):
            return self._given_code()
        return key_of(said["name"])

    def _described_key(self, typed: str) -> str:
        if found := self.names.look_for(typed):
            return found.code
        if "/" in typed or codes.looks_like_code(typed):
            return codes.read(typed)
        return key_of(typed)

    def _not_taken(self, kind: Kind, e: Entry) -> None:
        thing = self.page.find(e.subject)
        wanted = e.said.get("what") or kind.about[0]
        if thing and self.names.said_elsewhere(thing) and (thing.kind != wanted or wanted == "batch"):
            raise TakenCode(thing)

    def _instead_of_place(self, kind: Kind, e: Entry) -> str:
        """A bag may stand for the one thing in it that such an entry can be about."""
        thing = self.page.find(e.subject)
        if thing is None or thing.kind != "place" or "place" in kind.about:
            return e.subject
        inside = filter(None, map(self.page.find, self.page.owners_in(e.subject)))
        owners = {thing.code: thing.part_of or thing.code for thing in inside if thing.kind in kind.about}
        batches = set(owners.values())
        if len(batches) != 1:
            raise WhichOne(e.subject, owners, kind)
        self.given["asked"] = e.subject
        if kind.field("place"):
            self.given["place"] = e.subject
        return min(batches) if len(owners) > 1 else min(owners)

    # what a kind needs besides

    def _complete(self, kind: str, subject: str, said: Mapping[str, Any]) -> None:
        check_sense(kind, said)
        if kind in {"receive", "cut-scions"}:
            self._lot(kind, said)
        elif kind in {"graft", "regraft"}:
            self._graft(said)
        elif kind == "wish":
            self._sheet(said["sheet"])
        elif kind == "codes":
            self._plants(subject, said)
        elif kind == "describe" and said.get("demo_date"):
            self._only_a_demo()
        elif kind == "fail":
            again = said.get("lot") or self._carried_on("again")
            self.given["again"] = again or self.names.new_codes(1)[0]
        elif kind == "adopt":
            self._own_value(said)
        elif kind == "carry":
            thing = self.page.find(subject)
            if thing and thing.kind == "place":
                self.given["carries_place"] = True

    def _own_value(self, said: Mapping[str, Any]) -> None:
        page = page_of(said["of"], self.sheets())
        if "experience" in said:
            check_practice(page)
        elif "value" in said:
            self.given["read"] = read_own(page, self._own_values(said), said)
        else:
            check_back(self._own_values(said), said)

    def _own_values(self, said: Mapping[str, Any]) -> tuple[OwnValue, ...]:
        """Values of the grower's own on a page of the handbook, without the one that is being corrected."""
        thing = self.page.thing(OWN + said["of"])
        return own_values(thing.without((self.draft.replaces,)) if thing else None)

    def _only_a_demo(self) -> None:
        """A notebook is a demo from its first entry on, or never: its date would hide the grower's own days."""
        settings = self.page.find("settings")
        if self.page.next_number() > 1 and not (settings and settings.get("demo_date")):
            raise NoDemo

    def _lot(self, kind: str, said: Mapping[str, Any]) -> None:
        seed = (
            self.sheets().get(f"seed:{said['genus']}")
            if said.get("what") == "seed" and said.get("genus")
            else None
        )
        if seed:
            self._stored(seed)
        if said.get("of"):
            self.given["variety"] = self.names.origin(said["of"])
        self._same_lot(said)
        counted = said.get("count") or (said.get("sticks") and said.get("buds_per_stick"))
        if not counted and not said.get("uncounted"):
            raise NoCount(kind)

    def _same_lot(self, said: Mapping[str, Any]) -> None:
        """More may come into a lot that is there, but nothing of another kind: a lot has one identity."""
        lot = self.page.find(self.draft.subject) if self.draft.subject else None
        if lot is None or not self.names.said_elsewhere(lot):
            return
        told = {"variety": self.given.get("variety"), "genus": said.get("genus")}
        if any(value and lot.get(name) and value != lot.get(name) for name, value in told.items()):
            raise OtherIdentity(lot.code)

    def _graft(self, said: Mapping[str, Any]) -> None:
        self._stored(self._sheet(said["sheet"]))
        lots = (self.page.find(said[side]) for side in ("stock", "scion"))
        self.given["genus"] = next((str(lot.get("genus")) for lot in lots if lot and lot.get("genus")), "")
        if bags := said.get("bags"):
            self.given["new_bags"] = self.names.new_codes(bags, self._carried_on("new_bags"))

    def _sheet(self, key: str) -> Sheet:
        sheets = self.sheets()
        if key not in sheets:
            raise NoSheet(key, sheets)
        return sheets[key]

    def _stored(self, sheet: Sheet) -> None:
        """Keep the sheet's text in the notebook, once for each version."""
        if not self.page.has_sheet(sheet.version):
            self.page.store_sheet(sheet)
        self.given["sheet_version"] = sheet.version

    def _plants(self, batch: str, said: Mapping[str, Any]) -> None:
        bare = self._bare(batch, said)
        every = sum(bare.values())
        plants = said.get("plants") or self.names.new_codes(
            said.get("count") or every, self._carried_on("plant_codes")
        )
        for plant in plants:
            found = self.page.find(plant)
            if found and self.names.said_elsewhere(found):
                raise TakenCode(found)
        self.given["plant_codes"] = plants
        if len(bare) > 1 and len(plants) == every:
            self.given["lying"] = bare

    def _bare(self, batch: str, said: Mapping[str, Any]) -> dict[str, int]:
        """How many grafts without a code lie in each place, on the first day meant on which there are any."""
        place = said.get("place") or self.given.get("place")
        standing = [
            (posted.key, line.account.place, line.amount)
            for posted in self.page.history(batch)
            if posted.number != self.draft.replaces
            for line in posted.lines
            if line.account.name == THERE
            and place in (None, line.account.place)
            and said.get("stage") in (None, line.account.detail)
        ]
        turn = self.page.entry(self.draft.replaces).turn if self.draft.replaces else self.page.next_number()
        for day in self.meant.days():
            until, counts = order_key(day, KINDS["codes"].rank, turn), Counter[str]()
            for key, where, n in standing:
                counts[where] += n if key < until else 0
            if any(n > 0 for n in counts.values()):
                return {where: n for where, n in sorted(counts.items()) if n > 0}
        return {}


class NamedTwice(ValueComplaint):
    """One place under two of its names."""

    def __init__(self, places: Iterable[str]) -> None:
        super().__init__(
            f"'places' names one place twice: {', '.join(places)}.", where="places", do="Name each once."
        )


class OtherIdentity(Refusal):
    """Something of another variety or genus is to join a lot."""

    key = "identity"

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{codes.shown(code)} is a lot of another variety or genus; a lot has one identity.",
            do="Receive this as a lot of its own.",
        )


class NoDemo(Refusal):
    """A demo's date for a grower's own notebook."""

    key = "demo"

    def __init__(self) -> None:
        super().__init__("This notebook is your own and lives today; only a demo has a date of its own.",
                         do="Leave demo_date out; the demo is made with: graftwright demo.")  # fmt: skip


class NoCount(Refusal):
    """A lot comes in without a number, and is not said to be uncounted."""

    key = "count"

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"'{kind}' does not say how many.",
            do="Give the number, or sticks with buds_per_stick, or say that it is uncounted.",
        )


class NoSheet(Refusal):
    """A method sheet that the handbook does not have."""

    key = "sheet"

    def __init__(self, name: str, sheets: Iterable[str]) -> None:
        super().__init__(
            f"The handbook has no sheet '{name}'.",
            do=f"It has: {', '.join(sorted(one for one in sheets if ':' not in one))}.",
        )
