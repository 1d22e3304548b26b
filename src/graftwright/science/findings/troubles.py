"""What a person is told when counts cannot be read as rates."""

from __future__ import annotations

from graftwright.errors import ValueComplaint


class TooManyLevels(ValueComplaint):
    """Two crossed columns have more levels than memory holds pairs of."""

    def __init__(self, largest: int, others: int) -> None:
        super().__init__(
            f"One column has {largest} levels and the others {others} together: too many to weigh at once.",
            do="Name fewer columns, or join levels that belong together.",
        )


class NotAShare(ValueComplaint):
    """A share is not between 0 and 1."""

    def __init__(self, what: str, value: float) -> None:
        super().__init__(f"{what} is a share between 0 and 1, not {value:g}.", do="Write 60 % as 0.6.")


class NotAWeight(ValueComplaint):
    """A weight is not above zero."""

    def __init__(self, value: float) -> None:
        super().__init__(
            f"The usual take is worth a number of grafts above 0, not {value:g}.",
            do="Write it as MEAN@GRAFTS, for instance 0.6@12.",
        )


class AllOrNone(ValueComplaint):
    """Without priors some estimate has no end, because all or none took."""

    def __init__(self) -> None:
        super().__init__(
            "Without priors these rates have no estimate: somewhere all or none of the grafts took.",
            do="Leave out --flat, or join that level with another.",
        )
