"""What a person is told when times cannot be read as a curve."""

from __future__ import annotations

from graftwright.errors import ValueComplaint


class EndsBeforeItStarts(ValueComplaint):
    """An interval's right end is before its left end, or a time is below zero."""

    def __init__(self, left: float, right: float) -> None:
        super().__init__(
            f"A unit cannot be alive at {left:g} and gone by {right:g}.",
            do="The left time is the last look that saw it alive; put the two right.",
        )


class NobodyThere(ValueComplaint):
    """There is no unit to follow."""

    def __init__(self) -> None:
        super().__init__("No unit was followed.", do="Give at least one row with a count above 0.")


class OneGroup(ValueComplaint):
    """A comparison needs two groups."""

    def __init__(self) -> None:
        super().__init__(
            "There is only one group, so nothing to compare.", do="Name a column with two levels."
        )
