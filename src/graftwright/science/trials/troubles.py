"""What a person is told when a trial cannot be designed or read."""

from __future__ import annotations

from graftwright.errors import NotEnoughComplaint, ValueComplaint


class NotBetween(ValueComplaint):
    """A rate, power or alpha is not strictly between 0 and 1."""

    def __init__(self, what: str, value: float) -> None:
        super().__init__(f"{what} is a share between 0 and 1, not {value:g}.", do="Write 65 % as 0.65.")


class NothingToFind(ValueComplaint):
    """The two rates are the same."""

    def __init__(self, rate: float) -> None:
        super().__init__(
            f"Both rates are {rate:g}, so there is no difference to find.",
            do="Say the smallest lead that matters.",
        )


class TooFewInABag(ValueComplaint):
    """A bag holds too few grafts for the layout."""

    def __init__(self, per_bag: int, least: int) -> None:
        super().__init__(
            f"A bag of {per_bag} is too small for this layout.", do=f"It takes at least {least} grafts a bag."
        )


class NoLikeness(ValueComplaint):
    """How alike bag-mates are is not a correlation."""

    def __init__(self, alike: float) -> None:
        super().__init__(
            f"How alike bag-mates are is a number from 0 to below 1, not {alike:g}.",
            do="0 is not at all alike; 0.1 to 0.4 is usual where grafts share a bag.",
        )


class TooManyNeeded(NotEnoughComplaint):
    """The lead is too small for a trial of practical size."""

    def __init__(self, most: int) -> None:
        super().__init__(
            f"More than {most} grafts an arm would be needed to see so small a lead.",
            do="Look for a larger lead, or settle for less power.",
        )


class NoTrial(ValueComplaint):
    """A layout cannot be laid out."""

    def __init__(self, why: str) -> None:
        super().__init__(why, do="Give at least two arms, each named once, and at least one block.")


class OneArm(ValueComplaint):
    """Fewer than two arms have grafts."""

    def __init__(self) -> None:
        super().__init__(
            "Only one arm has grafts, so there is nothing to compare.", do="Name the column of arms."
        )


class MixedBags(ValueComplaint):
    """Some bags hold one arm and some hold both."""

    def __init__(self, whole: str, both: str) -> None:
        super().__init__(
            f"Bag {whole} holds one arm and bag {both} holds both, and no one test fits both layouts.",
            do="Read the two kinds of bags apart.",
        )
