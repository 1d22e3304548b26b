"""From what was typed to an entry: codes found by name, codes given, the sheet's version noted."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from graftwright.actions.site import read_weekdays, read_zone
from graftwright.errors import Refusal
from graftwright.ledger import codes, errors
from graftwright.ledger.entries import Entry, name_or_code, read_said, slug
from graftwright.ledger.kinds import CODE, find_kind

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.actions.ports import Draft, Page, Sheet
    from graftwright.ledger.days import Happened
    from graftwright.ledger.kinds import Kind
    from graftwright.ledger.things import Thing

# kinds of entry that make the thing they are about; a code is given if none was typed
_MAKES = {"receive", "cut-scions", "graft", "regraft"}
_BARE = {"away", "cross-out"}  # about the notebook itself


class WhichOne(Refusal):
    """A place was named where a batch is meant, and several lie there (or none)."""

    key = "which_one"

    def __init__(self, place: str, found: Iterable[str], wanted: str) -> None:
        listed = ", ".join(codes.shown(one) for one in sorted(found)) or "nothing"
        super().__init__(
            f"In {codes.shown(place)} there is: {listed}; '{wanted}' needs one batch or plant.",
            do="Name it by its code.",
        )


class TakenCode(Refusal):
    """A code typed for something new belongs to something else already."""

    key = "taken_code"

    def __init__(self, thing: Thing) -> None:
        super().__init__(
            f"{codes.shown(thing.code)} belongs to a {thing.kind} already; a code belongs to one thing for ever.",
            do="Take the next blank label, or leave the code out and one is given.",
        )


class NoSubject(Refusal):
    """An entry that does not say what it is about."""

    key = "subject"

    def __init__(self, kind: Kind) -> None:
        super().__init__(
            f"'{kind.name}' must say what it is about.", do=f"Name a {' or '.join(kind.about)} by its code."
        )


@dataclass
class Completer:
    """Fills one draft in; `chance` draws codes."""

    page: Page
    draft: Draft
    chance: random.Random
    sheets: Callable[[], Mapping[str, Sheet]]
    given: dict[str, Any] = field(default_factory=dict)
    on_the_spot: list[tuple[str, str, str, dict[str, Any]]] = field(default_factory=list)

    def claim(self, happened: Happened, received: str) -> Entry:
        """Return what the person says, codes found, before anything is given or checked further."""
        kind = find_kind(self.draft.kind)
        said = self._codes_in(kind, read_said(kind.name, self.draft.said or {}))
        if not self.draft.happened.strip():
            self.given["happened"] = True
        typed = happened.typed if happened.partial or happened.has_time else happened.first.isoformat()
        return Entry(
            id=self.draft.id, kind=kind.name, subject=self._subject(kind, said), day=happened.first.isoformat(),
            happened=typed, by=self._person(), received=received, said=said, given=self.given,
            replaces=self.draft.replaces,
        )  # fmt: skip

    def filled(self, e: Entry) -> Entry:
        """Give the claim what its kind needs besides: codes, the sheet's version, things made on the spot."""
        kind = find_kind(e.kind)
        if kind.name in _MAKES:
            self._not_taken(kind, e)
        subject = self._instead_of_place(kind, e)
        self._complete(kind.name, subject, e.said)
        if self.on_the_spot:
            self.given["on_the_spot"] = self.on_the_spot
        return replace(e, subject=subject, given=self.given)

    # names and codes

    def _find(self, word: str) -> str:
        """Code of something typed by code or by name."""
        thing = self.page.find(word)
        if thing is None:
            raise errors.NothingKnown(word)
        return thing.code

    def _codes_in(self, kind: Kind, said: dict[str, Any]) -> dict[str, Any]:
        for name, value in said.items():
            wanted = kind.field(name)
            if wanted and wanted.holds == CODE:
                said[name] = self._find(value)
        if "places" in said:
            said["places"] = {self._find(place): n for place, n in said["places"].items()}
        return said

    def _person(self) -> str:
        name = self.draft.by.strip()
        if not name:
            return ""
        found = self.page.find(slug(name))
        if found is None:
            self.on_the_spot.append((slug(name), "person", name, {}))
            return slug(name)
        return found.code

    def _variety(self, name: str) -> str:
        found = self.page.find(slug(name))
        if found is None:
            self.on_the_spot.append((slug(name), "variety", name, {}))
            return slug(name)
        return found.code

    def _new_codes(self, count: int) -> list[str]:
        """Draw codes that belong to nothing yet."""
        drawn: dict[str, None] = {}
        while len(drawn) < count:
            drawn |= dict.fromkeys(codes.new_code(self.chance) for _ in range(count - len(drawn)))
            for code in self.page.taken(drawn):
                del drawn[code]
        return list(drawn)

    # the subject

    def _subject(self, kind: Kind, said: Mapping[str, Any]) -> str:
        typed = self.draft.subject.strip()
        if kind.name in _BARE:
            return ""
        if kind.name == "describe":
            return self._described(typed, said)
        if kind.name in _MAKES:
            return codes.read(typed) if typed else self._given_code()
        if not typed:
            raise NoSubject(kind)
        return self._find(name_or_code(typed))

    def _given_code(self) -> str:
        self.given["subject"] = True
        return self._new_codes(1)[0]

    def _described(self, typed: str, said: Mapping[str, Any]) -> str:
        if typed:
            return self._described_key(typed)
        if said.get("what") == "place" or not said.get("name"):
            return self._given_code()
        return slug(said["name"])

    def _described_key(self, typed: str) -> str:
        key = name_or_code(typed)
        found = self.page.find(key)
        return found.code if found else key

    def _not_taken(self, kind: Kind, e: Entry) -> None:
        thing = self.page.find(e.subject)
        wanted = e.said.get("what") or kind.about[0]
        if thing and thing.exists and not e.replaces and (thing.kind != wanted or wanted == "batch"):
            raise TakenCode(thing)

    def _instead_of_place(self, kind: Kind, e: Entry) -> str:
        """A bag may stand for the one batch or plant in it."""
        thing = self.page.find(e.subject)
        if thing is None or thing.kind != "place" or "place" in kind.about:
            return e.subject
        owners = set(self.page.owners_in(e.subject))
        batches = {(found.part_of or owner) for owner in owners if (found := self.page.find(owner))}
        if len(batches) != 1:
            raise WhichOne(e.subject, owners, kind.name)
        self.given["asked"] = e.subject
        if kind.field("place"):
            self.given["place"] = e.subject
        return min(batches) if len(owners) > 1 else min(owners)

    # what a kind needs besides

    def _complete(self, kind: str, subject: str, said: Mapping[str, Any]) -> None:
        if kind in {"receive", "cut-scions"}:
            self._lot(kind, said)
        elif kind in {"graft", "regraft"}:
            self._graft(said)
        elif kind == "describe":
            read_zone(said.get("time_zone", "UTC"))
            read_weekdays(said.get("free_days", ""))
        elif kind == "codes":
            self._plants(subject, said)
        elif kind == "fail":
            self.given["again"] = said.get("lot") or self._new_codes(1)[0]
        elif kind == "carry":
            thing = self.page.find(subject)
            if thing and thing.kind == "place":
                self.given["carries_place"] = True

    def _lot(self, kind: str, said: Mapping[str, Any]) -> None:
        if said.get("of"):
            self.given["variety"] = self._variety(said["of"])
        counted = said.get("count") or said.get("sticks")
        if not counted and not said.get("uncounted"):
            raise NoCount(kind)

    def _graft(self, said: Mapping[str, Any]) -> None:
        sheets = self.sheets()
        sheet = sheets.get(said["sheet"])
        if sheet is None:
            raise NoSheet(said["sheet"], sheets)
        if not self.page.has_sheet(sheet.version):
            self.page.store_sheet(sheet)
        self.given["sheet_version"] = sheet.version
        lots = (self.page.find(said[side]) for side in ("stock", "scion"))
        self.given["genus"] = next((str(lot.get("genus")) for lot in lots if lot and lot.get("genus")), "")
        if bags := said.get("bags"):
            self.given["new_bags"] = self._new_codes(bags)

    def _plants(self, batch: str, said: Mapping[str, Any]) -> None:
        count = said.get("count") or self._bare(batch, said)
        plants = said.get("plants") or self._new_codes(count)
        for plant in plants:
            found = self.page.find(plant)
            if found and found.exists:
                raise TakenCode(found)
        self.given["plant_codes"] = plants

    def _bare(self, batch: str, said: Mapping[str, Any]) -> int:
        """How many grafts of a batch have no code yet."""
        standing = [
            line.amount
            for posted in self.page.history(batch)
            for line in posted.lines
            if line.account.name == "there"
            and said.get("place") in (None, line.account.place)
            and said.get("stage") in (None, line.account.detail)
        ]
        return sum(standing)


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
        super().__init__(f"The handbook has no sheet '{name}'.", do=f"It has: {', '.join(sorted(sheets))}.")
