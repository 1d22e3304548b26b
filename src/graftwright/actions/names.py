"""Names and codes: what a typed word means in this notebook, and what is made the first time it is named."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from graftwright.errors import Refusal, ValueComplaint, as_typed
from graftwright.ledger import codes, errors
from graftwright.ledger.entries import key_of, spellings
from graftwright.ledger.things import one_of

if TYPE_CHECKING:
    import random

    from graftwright.actions.ports import Page
    from graftwright.errors import Trouble
    from graftwright.ledger.things import Thing

_MOST_CODES = 10_000  # in one entry; one statement asks which of them are taken
_HAS_PROVENANCE = ("variety", "source-tree", "batch", "plant", "seed", "scionwood", "stock")


class TooManyCodes(ValueComplaint):
    """More new codes than one entry gives."""

    def __init__(self, count: int) -> None:
        super().__init__(
            f"One entry gives at most {_MOST_CODES} codes, not {count}.", do="Enter it in parts."
        )


class WhichLot(Refusal):
    """A variety or genus was named where a lot is meant, and there are several of it, or none."""

    key = "which_lot"

    def __init__(self, name: str, found: list[str], kinds: tuple[str, ...]) -> None:
        listed = ", ".join(map(codes.shown, sorted(found)))
        super().__init__(
            f"Of {name} there are {len(found)} lots: {listed}." if found
            else f"Nothing is left of any {one_of(kinds)} of {name}.",
            do="Name the one by its code." if found else "Receive it first, or name another lot by its code.",
        )  # fmt: skip


def in_words(page: Page, trouble: Trouble, fresh: str = "") -> Trouble:
    """Let a sentence call things as their labels do, and name the code that a mistyped one must have been.

    A blank label, typed for something `fresh`, is none of the codes that are known.
    """
    for key in trouble.about:
        thing = None if codes.is_code(key) else page.thing(key)
        if thing and thing.exists:
            pattern = rf"(?<![\w-]){re.escape(key)}(?![\w-])"
            trouble.sentence = re.sub(pattern, thing.name.replace("\\", r"\\"), trouble.sentence)
    if isinstance(trouble, codes.UnknownCode | errors.NothingKnown) and trouble.typed != fresh:
        close = codes.near(trouble.typed)
        known = [code for code in page.taken(close) if (thing := page.thing(code)) and thing.exists]
        trouble.do = did_you_mean(known) or trouble.do
    return trouble


def did_you_mean(known: list[str]) -> str:
    """Ask after the one known code that was nearly typed; '' where there is none, or several."""
    return f"Did you mean {codes.shown(known[0])}?" if len(known) == 1 else ""


@dataclass
class Names:
    """Finds what words mean; `replaced` is the entry that a correction takes out."""

    page: Page
    chance: random.Random
    replaced: int = 0
    on_the_spot: list[tuple[str, str, str, dict[str, Any]]] = field(default_factory=list)

    def look_for(self, typed: str) -> Thing | None:
        """Find something by its code or by its name."""
        return next(filter(None, map(self.page.find, spellings(typed))), None)

    def find(self, typed: str) -> str:
        """Code of something typed by code or by name; refuses what nothing has."""
        thing = self.look_for(typed)
        if thing and thing.exists:
            return thing.code
        keys = spellings(typed)
        if keys and codes.is_code(keys[0]):
            raise errors.NothingKnown(keys[0])
        if "/" in typed or codes.looks_like_code(typed):
            raise codes.UnknownCode(typed)
        key_of(typed)  # refuses what can be no name
        raise errors.NothingKnown(as_typed(typed))

    def lot(self, typed: str, kinds: tuple[str, ...]) -> str:
        """Code of a lot, which the variety (or the genus) may stand for where there is only one of it."""
        thing = self.look_for(typed)
        if thing and thing.kind != "variety":
            return self.find(typed)
        left = self.page.lots_left(kinds)
        if thing:
            found = [lot for lot in left if lot.get("variety") == thing.code]
        else:
            found = [lot for lot in left if str(lot.get("genus", "")).casefold() == typed.strip().casefold()]
        if not thing and not found:
            return self.find(typed)
        if len(found) != 1:
            raise WhichLot(thing.name if thing else as_typed(typed), [lot.code for lot in found], kinds)
        return found[0].code

    def person(self, name: str) -> str:
        """Key of a person, made on the spot if nobody is called that."""
        return self._found_or_made(name, "person", ("person",), "by")

    def origin(self, name: str) -> str:
        """Key of a variety or of the tree or lot that was named; a variety is made on the spot."""
        return self._found_or_made(name, "variety", _HAS_PROVENANCE, "of")

    def variety(self, name: str, doing: str) -> str:
        """Key of a variety, made on the spot if none is called that."""
        return self._found_or_made(name, "variety", ("variety",), doing)

    def _found_or_made(self, name: str, kind: str, kinds: tuple[str, ...], doing: str) -> str:
        found = self.look_for(name)
        if found and found.exists and found.kind not in kinds:
            raise errors.WrongThing(found.code, found.kind, kinds, doing)
        if found and self.said_elsewhere(found):
            return found.code
        key = found.code if found else key_of(name)
        self.on_the_spot.append((key, kind, name, {}))
        return key

    def said_elsewhere(self, thing: Thing) -> bool:
        """Whether anything is left of a thing once the corrected entry is out."""
        return any(one.number != self.replaced for sayings in thing.said.values() for one in sayings)

    def new_codes(self, count: int, carried_on: list[str] | None = None) -> list[str]:
        """Codes for new things: those of the corrected entry first, then some that belong to nothing yet."""
        if count > _MOST_CODES:
            raise TooManyCodes(count)
        drawn = dict.fromkeys((carried_on or [])[:count])
        while len(drawn) < count:
            fresh = {codes.new_code(self.chance) for _ in range(count - len(drawn))} - set(drawn)
            drawn |= dict.fromkeys(sorted(fresh - self.page.taken(fresh)))
        return list(drawn)
