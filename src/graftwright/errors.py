"""What a person is told when something cannot be done: one sentence, where, and what to do now.

Three families share one shape. A `Complaint` is something the person can put right, a `Refusal`
is a rule of the ledger, and anything else is our fault. Each situation has a class of its own in
the layer that meets it; the classes here only carry the exit code and the short key.
"""

from __future__ import annotations

_SHOWN = 60  # characters of what was typed that a sentence repeats


def as_typed(value: object) -> str:
    """Write what was typed so that a sentence can repeat it: no more than a line, nothing unprintable."""
    text = str(value).strip()
    shown = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text[:_SHOWN])
    return shown + "…" if len(text) > _SHOWN else shown


class Trouble(Exception):
    """Base of all that is told to a person without a traceback."""

    exit_code = 12
    key = "value"
    about: tuple[str, ...] = ()  # codes and keys that the sentence speaks of

    def __init__(self, sentence: str, *, where: str = "", do: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.where = where
        self.do = do

    def __str__(self) -> str:
        """Sentence, place and remedy in one line."""
        place = f" ({self.where})" if self.where else ""
        remedy = f" {self.do}" if self.do else ""
        return f"{self.sentence}{place}{remedy}"

    def as_json(self) -> dict[str, object]:
        """Return the value that scripts receive."""
        return {"code": self.key, "sentence": self.sentence, "where": self.where, "do": self.do}


class Complaint(Trouble):
    """The person can put this right."""


class FileComplaint(Complaint):
    """A file is missing, unreadable or cannot be written."""

    exit_code = 10
    key = "file"


class ContentComplaint(Complaint):
    """A file's content is not what it should be."""

    exit_code = 11
    key = "content"


class ValueComplaint(Complaint):
    """A value is out of its range or of the wrong kind."""

    exit_code = 12
    key = "value"


class NotebookComplaint(Complaint):
    """The notebook is missing, locked, foreign or too new."""

    exit_code = 13
    key = "notebook"


class NotEnoughComplaint(Complaint):
    """No number, however large, gives what was asked."""

    exit_code = 14
    key = "not_enough"


class Refusal(Trouble):
    """A rule of the ledger says no; nothing was stored."""

    exit_code = 20
    key = "rule"


class SetAside(Trouble):
    """The entry was kept aside with its reason."""

    exit_code = 21
    key = "kept_aside"


class Unproved(Trouble):
    """The proof of the notebook found a problem."""

    exit_code = 22
    key = "verify"
