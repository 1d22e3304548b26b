"""A grower's own values, told in the notebook: read at the door, laid over the handbook wherever it is used.

What stands is kept by things that nobody can type: one for each page of the handbook with own values on it,
and one for each method sheet of which somebody said how practised they are. So a later value takes the place
of an earlier one, and crossing out takes back what an entry said, as for everything in the ledger.
"""

from __future__ import annotations

import json
from dataclasses import replace
from difflib import get_close_matches
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from graftwright.errors import Trouble, ValueComplaint, as_typed
from graftwright.handbook.errors import UnknownPlace, UnknownSubject
from graftwright.handbook.overlay import field_at, overlay
from graftwright.handbook.sheets import Sheet, parse_sheet
from graftwright.handbook.species import Species, parse_species
from graftwright.handbook.typed import read_typed
from graftwright.handbook.values import OwnValue
from graftwright.ledger.things import OWN, PRACTICE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from graftwright.actions.ports import Page, Reading
    from graftwright.actions.ports import Sheet as StoredSheet
    from graftwright.handbook import Handbook
    from graftwright.ledger.things import Thing

Subject = TypeVar("Subject", bound=Sheet | Species)

FIRST_TIME, SOME, PRACTISED = "first_time", "some", "practised"
MOST_FIGURES = 6
PRACTISED_FROM = 50  # grafts of a sheet; common practice, no published source


class NothingOfYours(ValueComplaint):
    """A value of one's own is to be taken back, and there is none."""

    def __init__(self, path: str, of: str) -> None:
        super().__init__(
            f"You have no value of your own for '{as_typed(path)}' of {as_typed(of)}.", where="path",
            do="All of yours: graftwright handbook own.",
        )  # fmt: skip


class NotForTheHandbook(ValueComplaint):
    """A typed value that no file of the handbook could hold there; the sentence is what the file would be told."""

    def __init__(self, trouble: Trouble) -> None:
        super().__init__(trouble.sentence, where=trouble.where, do=trouble.do)


class NoSuchPath(ValueComplaint):
    """A path that a sheet or species does not have."""

    def __init__(self, path: str, page: Sheet | Species) -> None:
        close = get_close_matches(path, page.shown, n=1)
        others = f"graftwright handbook show {key_of(page)} --json names them all."
        super().__init__(
            f"'{key_of(page)}' has no value '{as_typed(path)}'.", where="path",
            do=f"Did you mean '{close[0]}'?" if close else others,
        )  # fmt: skip


# at the door


def page_of(of: str, sheets: Mapping[str, StoredSheet]) -> Sheet | Species:
    """Find the page of the handbook that a value is of: a method sheet by its key, or a genus."""
    genera = {genus: text for sheet in sheets.values() for genus, text in sheet.species.items()}
    genera |= {key.partition(":")[2]: sheet.text for key, sheet in sheets.items() if ":" in key}
    if of in genera:
        return parse_species(genera[of], of)
    if of in sheets and ":" not in of:
        return parse_sheet(sheets[of].text, of)
    raise NotForTheHandbook(UnknownSubject(of, [*(key for key in sheets if ":" not in key), *genera], "of"))


def read_own(page: Sheet | Species, others: Iterable[OwnValue], said: Mapping[str, Any]) -> Any:
    """Read a value typed for a path; refuses what the handbook could not hold there, your other values considered."""
    path = said["path"]
    try:
        value = read_typed(field_at(page, path, "path"), said["value"], "value")
        own = OwnValue(path, value, said.get("scope", ""), said.get("note", ""), "value")
        overlay(laid(page, [one for one in others if one.path != path]), [own])
    except UnknownPlace:
        raise NoSuchPath(path, page) from None
    except Trouble as trouble:
        raise NotForTheHandbook(trouble) from None
    return value


def check_back(own: Iterable[OwnValue], said: Mapping[str, Any]) -> None:
    """Refuse to take back a value that is not there."""
    if said["path"] not in {one.path for one in own}:
        raise NothingOfYours(said["path"], said["of"])


def check_practice(page: Sheet | Species) -> None:
    """Practice is with a method, not with a genus."""
    if isinstance(page, Species):
        raise NotASheet(page.genus)


class NotASheet(ValueComplaint):
    """A genus where a method sheet is meant."""

    def __init__(self, genus: str) -> None:
        super().__init__(
            f"{genus} is a genus; you are practised with a method sheet.", where="of",
            do="Name the sheet: graftwright handbook list.",
        )  # fmt: skip


# what stands


def own_values(thing: Thing | None) -> tuple[OwnValue, ...]:
    """Return the values that stand on a page of the handbook, in the order in which they were told."""
    said = thing.said.items() if thing else ()
    standing = sorted((every[-1].key, every[-1].number, path, every[-1].value) for path, every in said)
    return tuple(OwnValue(path, own["value"], own["scope"], own["note"], f"entry {number}")
                 for _, number, path, own in standing if own)  # fmt: skip


def laid(subject: Subject, own: Sequence[OwnValue]) -> Subject:
    """Lay own values over a sheet or species; those that it cannot take (any more) are left out."""
    try:
        return overlay(subject, own) if own else subject
    except Trouble:
        return _laid_one_by_one(subject, own)


def _laid_one_by_one(subject: Subject, own: Sequence[OwnValue]) -> Subject:
    """Lay what fits, again and again: a value may only fit once another has been laid."""
    fitting, left = subject, list(own)
    while left:
        for value in left:
            try:
                fitting = overlay(fitting, [value])
            except Trouble:
                continue
            left.remove(value)
            break
        else:
            break
    return fitting


def stored_sheet(page: Page, stored: StoredSheet) -> Sheet:
    """Return a method sheet as the notebook keeps it, with the grower's own values."""
    own = own_values(page.thing(OWN + stored.version.partition("/")[0]))
    return _sheet(stored.text, stored.version, _written(own))


def stored_species(page: Page, text: str, genus: str) -> Species:
    """Return a species as the notebook keeps it, with the grower's own values."""
    return _species(text, genus, _written(own_values(page.thing(OWN + genus))))


def _written(own: Iterable[OwnValue]) -> str:
    """Write own values as one text, by which a page that carries them is known again."""
    return json.dumps([[one.path, one.value, one.scope, one.note, one.where] for one in own])


# reading a text takes longer than working out the windows that rest on it
@lru_cache(maxsize=64)
def _sheet(text: str, where: str, own: str) -> Sheet:
    return laid(parse_sheet(text, where), [OwnValue(*one) for one in json.loads(own)])


@lru_cache(maxsize=64)
def _species(text: str, genus: str, own: str) -> Species:
    return laid(parse_species(text, genus), [OwnValue(*one) for one in json.loads(own)])


def names_of_own(*pages: Sheet | Species | None) -> list[str]:
    """Name the own values that were laid over pages of the handbook."""
    return [f"{key_of(page)} {one.path}" for page in pages if page for one in page.own]


def key_of(page: Sheet | Species) -> str:
    """Return what a page of the handbook is called by: the key of the sheet, or the genus."""
    return page.key if isinstance(page, Sheet) else page.genus


# for whoever looks


def own_handbook(reading: Reading, handbook: Handbook) -> Handbook:
    """Return the handbook with the notebook's own values laid over it."""
    own = {thing.code.removeprefix(OWN): own_values(thing) for thing in reading.things_of("handbook")}
    return replace(
        handbook,
        sheets={key: laid(sheet, own.get(key, ())) for key, sheet in handbook.sheets.items()},
        species={genus: laid(species, own.get(genus, ())) for genus, species in handbook.species.items()},
    )


def practice(reading: Reading) -> dict[str, str]:
    """Return how practised the grower said they are, by method sheet."""
    said = reading.things_of("experience")
    return {thing.code.removeprefix(PRACTICE): str(thing.get("experience")) for thing in said}


def experience(reading: Reading, sheet: str) -> str:
    """Say how practised the grower is with a sheet; the first time, until they say otherwise."""
    return practice(reading).get(sheet, FIRST_TIME)


def read_done(typed: str) -> int:
    """Read how many grafts somebody has done."""
    if not (typed.isascii() and typed.isdecimal() and len(typed) <= MOST_FIGURES):
        raise NoNumberDone(typed)
    return int(typed)


class NoNumberDone(ValueComplaint):
    """Something that cannot be a number of grafts."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"'{as_typed(typed)}' is no number of grafts.", where="done", do="Type 0, 12 or however many it were.",
        )  # fmt: skip


def experience_of(done: int) -> str:
    """Return the experience of somebody who has made so many grafts by one sheet."""
    return PRACTISED if done >= PRACTISED_FROM else SOME if done else FIRST_TIME


def own_words(handbook: Handbook, keys: Iterable[str]) -> str:
    """Name the own values that lie over some pages of the handbook; '' if there are none."""
    known = [handbook.sheets.get(key) or handbook.species.get(key) for key in sorted(keys)]
    return ", ".join(names_of_own(*known))
