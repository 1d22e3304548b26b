"""The rules of the ledger, each as the sentence a person reads when it says no."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.errors import Refusal
from graftwright.ledger.codes import shown
from graftwright.ledger.things import one_of

if TYPE_CHECKING:
    from collections.abc import Mapping


_NAMED = 6  # so many places or entries a sentence names


class NothingKnown(Refusal):
    """A code or key that belongs to nothing in this notebook."""

    key = "unknown_code"

    def __init__(self, code: str, wanted: str = "") -> None:
        what = f"{wanted} " if wanted else ""
        super().__init__(
            f"Nothing in this notebook has the {what}code or name {shown(code)}.",
            do="Read the label again, or type the name as it was given.",
        )
        self.typed = code


class WrongThing(Refusal):
    """The code belongs to another kind of thing than the entry is about."""

    key = "wrong_thing"

    def __init__(self, code: str, kind: str, wanted: tuple[str, ...], doing: str) -> None:
        self.about = (code,)
        super().__init__(
            f"{shown(code)} is a {one_of([kind])}; '{doing}' is about a {one_of(wanted)}.",
            do="Name the right one.",
        )


class NotYet(Refusal):
    """The thing did not exist at that point of the order."""

    key = "not_yet"

    def __init__(self, code: str, day: str, made: str) -> None:
        self.about = (code,)
        if day == made:
            super().__init__(
                f"{shown(code)} begins only after this on {day}: within a day come receipts first, then work on"
                " seed, wood and stock, then grafts, then everything else.",
                do="Type a later day; a stock that lost its graft that day can be taken with 'regraft'.",
            )
            return
        super().__init__(
            f"{shown(code)} was not there yet on {day}: it begins on {made}.", do="Type the right day."
        )


class TooMany(Refusal):
    """More are to leave than are there."""

    key = "too_many"

    def __init__(self, code: str, wanted: int, there: int, where: str = "") -> None:
        self.about = (code,)
        place = f" {where}" if where else ""
        super().__init__(
            f"{shown(code)} has {there}{place}, not {wanted}.",
            do="Correct the number, or enter first what is missing.",
        )


class NothingLeft(Refusal):
    """All of them are meant, and there are none."""

    key = "nothing_left"

    def __init__(self, code: str, where: str = "") -> None:
        self.about = (code,)
        place = f" {where}" if where else ""
        super().__init__(
            f"Nothing of {shown(code)} is left{place} that this could mean.",
            do="See what is there with: graftwright show CODE.",
        )


class OnePlant(Refusal):
    """A plant that would be several."""

    key = "one_plant"

    def __init__(self, code: str, count: int) -> None:
        self.about = (code,)
        super().__init__(
            f"{shown(code)} is one plant and cannot be {count}.", do="Give the others codes of their own."
        )


class PlacesDiffer(Refusal):
    """Grafts spread over places that take more or fewer than were made."""

    key = "places"

    def __init__(self, placed: int, made: int) -> None:
        super().__init__(f"The places take {placed} of {made} grafts.", do="Say how many lie in each place.")


class FewerThanSeen(Refusal):
    """An earlier entry would leave fewer than a later check saw alive."""

    key = "fewer_than_seen"

    def __init__(self, code: str, day: str, seen: int, there: int) -> None:
        self.about = (code,)
        super().__init__(
            f"The check of {shown(code)} on {day} saw {seen} alive, and this leaves only {there}.",
            do="Correct that check, or this entry.",
        )


class PastSeen(Refusal):
    """An earlier entry would move a unit past the stage a later check saw it in."""

    key = "past_seen"

    def __init__(self, code: str, day: str, stage: str) -> None:
        self.about = (code,)
        super().__init__(
            f"The check of {shown(code)} on {day} saw '{stage}', and some are already further than that.",
            do="Use step-back if they went back, or correct one of the two.",
        )


class DoesNotAddUp(Refusal):
    """A check that accounts for more or fewer than there are."""

    key = "adds_up"

    def __init__(self, code: str, said: int, there: int, where: str = "") -> None:
        self.about = (code,)
        place = f" {where}" if where else ""
        more = said - there
        rest = f"{-more} {'is' if more == -1 else 'are'} missing" if more < 0 else f"{more} too many"
        super().__init__(
            f"The check names {said} and {shown(code)} has {there}{place}: {rest}.",
            do="Say which: not looked at, dead, or miscounted.",
        )
        self.missing = -more


class NoSuchPlace(Refusal):
    """The grafts do not stand in the place the entry names."""

    key = "place"

    def __init__(self, code: str, place: str, places: tuple[str, ...]) -> None:
        self.about = (code, place, *places)
        where = ", ".join(shown(one) for one in places[:_NAMED]) + (" …" if len(places) > _NAMED else "")
        where = where or "nowhere"
        super().__init__(
            f"{shown(code)} does not stand in {shown(place)} but in: {where}.", do="Name its place."
        )


class WhichPlace(Refusal):
    """The batch lies in several places and the entry does not say which it means."""

    key = "which_place"

    def __init__(self, code: str, places: tuple[str, ...]) -> None:
        self.about = (code, *places)
        listed = ", ".join(shown(one) for one in places[:_NAMED]) + (" …" if len(places) > _NAMED else "")
        super().__init__(
            f"{shown(code)} lies in {len(places)} places: {listed}.", do="Say which one with --place."
        )


class WhichStage(Refusal):
    """Some of the grafts that are meant stand at one stage and some at another."""

    key = "which_stage"

    def __init__(self, code: str, stages: tuple[str, ...]) -> None:
        self.about = (code,)
        super().__init__(
            f"The grafts of {shown(code)} there stand at several stages: {' · '.join(stages)}.",
            do="Say at which stage those are.",
        )


class NamePlants(Refusal):
    """Plants have codes of their own, so a number does not say which."""

    key = "name_plants"

    def __init__(self, code: str) -> None:
        self.about = (code,)
        super().__init__(
            f"The plants of {shown(code)} have codes of their own.",
            do="Name the plants, or mean all of them.",
        )


class NoStageLeft(Refusal):
    """A step that would not lead forward."""

    key = "stage"

    def __init__(self, code: str, stage: str) -> None:
        self.about = (code,)
        super().__init__(
            f"None of {shown(code)} stands before '{stage}'.", do="Use step-back to go back, or correct."
        )


class CountedOrNot(Refusal):
    """Counted and uncounted material in one lot: its balance would say nothing."""

    key = "uncounted"

    def __init__(self, code: str, *, counted: bool) -> None:
        self.about = (code,)
        super().__init__(
            f"{shown(code)} was counted; what nobody counted cannot join it."
            if counted
            else f"{shown(code)} is a lot that nobody counted; what was counted cannot join it.",
            do="Receive this as a lot of its own.",
        )


class NoBalance(Refusal):
    """Stock-taking of a lot that nobody counted."""

    key = "uncounted"

    def __init__(self, code: str) -> None:
        self.about = (code,)
        super().__init__(
            f"Nobody counted {shown(code)} when it came in, so there is no number to compare with.",
            do="Correct its receipt: what is left and what was used is the number that came in.",
        )


class InsideItself(Refusal):
    """A place cannot be carried into itself."""

    key = "place"

    def __init__(self, place: str, to: str) -> None:
        self.about = (place, to)
        super().__init__(
            f"{shown(place)} cannot stand in itself."
            if place == to
            else f"{shown(place)} cannot stand in {shown(to)}: that stands in it.",
            do="Name another place.",
        )


class AlreadyCrossed(Refusal):
    """The entry has been crossed out or corrected before."""

    key = "crossed"

    def __init__(self, number: int, by: int) -> None:
        super().__init__(f"Entry {number} is already crossed out, by entry {by}.", do=f"Look at entry {by}.")


class NoSuchEntry(Refusal):
    """A number that no entry has."""

    key = "number"

    def __init__(self, number: int) -> None:
        super().__init__(f"There is no entry {number}.", do="Look the number up with: graftwright show CODE.")


class OtherContent(Refusal):
    """One id, two different entries."""

    key = "same_id"

    def __init__(self, id_: str) -> None:
        super().__init__(
            f"An entry with the id {id_} is there already and says something else.",
            do="Send the new entry with a new id.",
        )


class CannotStand(Refusal):
    """An entry that, put in its place, would make later entries untrue."""

    key = "cannot_stand"

    def __init__(self, failed: Mapping[int, Refusal]) -> None:
        self.about = failed[min(failed)].about
        numbers = sorted(failed)
        first = failed[numbers[0]]
        more = f" and {len(numbers) - _NAMED} more" if len(numbers) > _NAMED else ""
        listed = ", ".join(map(str, numbers[:_NAMED])) + more
        plural = "entry" if len(numbers) == 1 else "entries"
        gone = isinstance(first, NothingKnown | NotYet)
        because = "what it made is needed there." if gone else first.sentence
        super().__init__(
            f"It cannot stand because of {plural} {listed}: {because}",
            do=f"Correct or cross out {plural} {listed} first, or in the same act.",
        )
        self.numbers = numbers


class NoSuchDay(Refusal):
    """A partial date on none of whose days the entry can stand."""

    key = "day"

    def __init__(self, typed: str, last: Refusal) -> None:
        self.about = last.about
        super().__init__(f"On no day of '{typed}' can this stand: {last.sentence}", do=last.do)
