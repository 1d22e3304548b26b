"""Complaints and refusals as pages say them: the status, the sentence, and what to do on a page.

The ledger's remedies sometimes name a command; here they name what a page offers instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.errors import NotebookComplaint, Refusal, Trouble, ValueComplaint
from graftwright.ledger import errors
from graftwright.ledger.entries import MissingValue

if TYPE_CHECKING:
    from collections.abc import Mapping

NOT_THERE = {"unknown_code", "code", "number", "kind"}  # keys of what an address can name wrongly


class NoSuchPage(ValueComplaint):
    """An address that nothing answers to."""

    key = "page"

    def __init__(self) -> None:
        super().__init__("There is no such page in this book.", do="Go back, or find a code below.")


class BrokenForm(ValueComplaint):
    """A form without the number that keeps it from being written twice."""

    key = "form"

    def __init__(self) -> None:
        super().__init__(
            "This form has lost its number, so nothing was written.",
            do="Open it again from the page you came from.",
        )


class NoReason(ValueComplaint):
    """A number of dead without a reason."""

    key = "reasons"

    def __init__(self, where: str) -> None:
        super().__init__("A number has no reason beside it.", where=where, do="Choose one; 'unknown' is one.")


class SameReason(ValueComplaint):
    """A reason chosen twice."""

    key = "reasons"

    def __init__(self, where: str) -> None:
        super().__init__("This reason is chosen twice.", where=where, do="Put the numbers together.")


class NothingGrowing(Refusal):
    """A check of what has died or gone."""

    key = "nothing_growing"

    def __init__(self, title: str) -> None:
        super().__init__(f"{title}: nothing is growing there any more.", do="Its page tells where they went.")


class BookChanged(Refusal):
    """A check filled in on a form that was opened before something else was written."""

    key = "changed"

    def __init__(self, total: int) -> None:
        are = "1 graft is" if total == 1 else f"{total} grafts are"
        super().__init__(
            f"The book has changed since you opened this form: {are} growing there now.",
            do="Look over your numbers and send them once more.",
        )


_DO: Mapping[str, str] = {
    "unknown_code": "Read the label again and type its six characters.",
    "number": "Look the number up in the history of what it is about.",
    "which_place": "Choose the place.",
    "kind": "Choose from the list under Record.",
    "same_id": "If it is something new, write it down once more now; if not, leave it.",
}
_SENTENCES: Mapping[type[Trouble], str] = {
    errors.OtherContent: "You wrote this form down before, with other words or numbers.",
}


def status_of(trouble: Trouble) -> int:
    """Return the status of an answer that tells of this trouble."""
    if isinstance(trouble, NoSuchPage):
        return 404
    if isinstance(trouble, NotebookComplaint):
        return 503
    return 409 if isinstance(trouble, Refusal) else 422


def status_of_address(trouble: Trouble) -> int:
    """Return the status where the trouble lies in the address: what it names is not there."""
    return 404 if trouble.key in NOT_THERE else status_of(trouble)


def sentence_of(trouble: Trouble) -> str:
    """Say what is wrong."""
    return _SENTENCES.get(type(trouble), trouble.sentence)


def remedy_of(trouble: Trouble) -> str:
    """Say what to do about it on a page."""
    asks = trouble.do.endswith("?")  # after the code that was nearly typed
    return trouble.do if asks else _DO.get(trouble.key, trouble.do)


def beside(trouble: Trouble) -> str:
    """Say what is wrong right beside the question, where its name need not be said."""
    if isinstance(trouble, MissingValue):
        return "This is needed."
    words = sentence_of(trouble).replace(f"'{trouble.where}'", "This", 1)
    remedy = remedy_of(trouble)
    return words if remedy in ("", "Type it again.") else f"{words} {remedy}"
