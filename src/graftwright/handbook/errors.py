"""What can be wrong with a sheet, a species file or a bibliography: one class for each situation."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

from graftwright.errors import ContentComplaint, FileComplaint, ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Iterable


MOST_SHOWN = 10**15


def nearest(word: str, known: Iterable[str]) -> str:
    """Name the known word that is nearest, else all of them."""
    words = sorted(known)
    close = get_close_matches(word, words, n=1, cutoff=0.5)
    if close:
        return f"Did you mean '{close[0]}'?"
    return f"Known here: {', '.join(words)}."


class NoSuchFolder(FileComplaint):
    """The grower's own folder is not there."""

    def __init__(self, folder: str) -> None:
        super().__init__("There is no folder of this name.", where=folder, do="Check the spelling.")


class NothingHere(FileComplaint):
    """The folder is there, but nothing in it is a part of a handbook."""

    def __init__(self, folder: str) -> None:
        super().__init__(
            "The folder holds no sheet, species, source or value of a handbook.",
            where=folder,
            do="Put sheets in 'sheets', species in 'species', and own values in 'values.toml'.",
        )


class NotReadable(FileComplaint):
    """The file system does not give the file."""

    def __init__(self, where: str, reason: str) -> None:
        super().__init__(
            f"The file cannot be read: {reason}.", where=where, do="Check that it is there and may be read."
        )


class NotUtf8(ContentComplaint):
    """The bytes are no text in UTF-8."""

    def __init__(self, where: str, line: int) -> None:
        super().__init__(
            "The file is not text in UTF-8.", where=f"{where}, line {line}", do="Save it again as UTF-8."
        )


class EmptyFile(ContentComplaint):
    """The file holds nothing, or comments only."""

    def __init__(self, where: str) -> None:
        super().__init__("The file is empty.", where=where, do="Fill it in, or take it away.")


class HugeFile(ContentComplaint):
    """The file is far larger than any sheet."""

    def __init__(self, where: str, size: int, most: int) -> None:
        super().__init__(
            f"The file has {size:,} bytes; a file of the handbook has at most {most:,}.",
            where=where,
            do="Check that it is the right file.",
        )


class NotToml(ContentComplaint):
    """The text breaks the grammar of TOML."""

    def __init__(self, where: str, reason: str) -> None:
        super().__init__(
            f"The file is not valid TOML: {reason}.",
            where=where,
            do="Mend the line, or the one before it.",
        )


class UnknownKey(ContentComplaint):
    """A key that the schema does not have."""

    def __init__(self, key: str, table: str, known: Iterable[str], where: str) -> None:
        super().__init__(f"There is no key '{key}' in {table}.", where=where, do=nearest(key, known))


class MissingKey(ContentComplaint):
    """A key that must be there is not."""

    def __init__(self, key: str, table: str, where: str) -> None:
        super().__init__(f"The key '{key}' is missing in {table}.", where=where, do="Add it.")


class WrongKind(ContentComplaint):
    """Text where a number should be, and the like."""

    def __init__(self, key: str, wanted: str, where: str) -> None:
        super().__init__(f"'{key}' must be {wanted}.", where=where, do="Write it so.")


class UnknownWord(ContentComplaint):
    """A word outside a fixed list."""

    def __init__(self, word: str, key: str, known: Iterable[str], where: str) -> None:
        super().__init__(f"'{word}' is no {key}.", where=where, do=nearest(word, known))


class OutOfRange(ContentComplaint):
    """A number that cannot be."""

    def __init__(self, key: str, value: float, span: tuple[float, float], unit: str, where: str) -> None:
        low, high = span
        super().__init__(
            f"'{key}' is {_number(value, unit)}; it must lie between {low:g} and {_number(high, unit)}.",
            where=where,
            do="Check the number and its unit.",
        )


class BackwardSpan(ContentComplaint):
    """A span that ends before it begins."""

    def __init__(self, key: str, low: float, high: float, where: str) -> None:
        super().__init__(
            f"'{key}' runs from {low:g} down to {high:g}.", where=where, do="Put the smaller number first."
        )


class WrongUnit(ContentComplaint):
    """A block states another unit than the schema's."""

    def __init__(self, given: str, wanted: str, where: str) -> None:
        super().__init__(
            f"The unit here is {wanted}, not '{given}'.", where=where, do=f"Convert the numbers to {wanted}."
        )


class MissingSource(ContentComplaint):
    """A value of which nobody says where it comes from."""

    def __init__(self, path: str, where: str) -> None:
        super().__init__(
            f"The value '{path}' has no source.",
            where=where,
            do="Give 'source' and 'grade' beside it, in its block or in its stage.",
        )


class SourceWithoutGrade(ContentComplaint):
    """Source and grade are given apart."""

    def __init__(self, given: str, missing: str, where: str) -> None:
        super().__init__(
            f"'{given}' is given without '{missing}'.", where=where, do="Give the two in the same place."
        )


class UnknownSource(ContentComplaint):
    """A source that the bibliography does not hold."""

    def __init__(self, source: str, known: Iterable[str], where: str) -> None:
        super().__init__(
            f"The source '{source}' is not in sources.toml.", where=where, do=nearest(source, known)
        )


class GradeAgainstSource(ContentComplaint):
    """A grade that this source cannot have."""

    def __init__(self, source: str, allowed: Iterable[str], grade: str, where: str) -> None:
        grades = " or ".join(f"'{one}'" for one in allowed)
        super().__init__(
            f"A value from '{source}' cannot be of grade '{grade}'.", where=where, do=f"Use {grades}."
        )


class ResponseOutOfOrder(ContentComplaint):
    """Base, optimum and ceiling do not ascend."""

    def __init__(self, name: str, lower: tuple[str, float], upper: tuple[str, float], where: str) -> None:
        super().__init__(
            f"In the {name} response the {lower[0]} ({lower[1]:g} °C) is not below "
            f"the {upper[0]} ({upper[1]:g} °C).",
            where=where,
            do="Base, optimum and ceiling must ascend.",
        )


class SeasonsTooFarApart(ContentComplaint):
    """Seasons differ more than a share with this mean can bear."""

    def __init__(self, between: float, mean: float, ratio: float, where: str) -> None:
        super().__init__(
            f"'between_seasons' {between:g} is too much for a mean of {mean:g}: its square is {ratio:.2f} "
            "of the largest variance such a share can have, and must stay under 0.5.",
            where=where,
            do="Lower it.",
        )


class NoSeasons(ContentComplaint):
    """A survival without any figure of how seasons differ."""

    def __init__(self, where: str) -> None:
        super().__init__(
            "The survival does not say how much seasons differ.",
            where=where,
            do="Give 'between_seasons' in its 'practised' block.",
        )


class BatchSpreadDiffers(ContentComplaint):
    """Two milestones of one clock with different spreads between batches."""

    def __init__(self, stage: str, spread: float, clock: str, first: float, where: str) -> None:
        super().__init__(
            f"'{stage}' has batch_spread {spread:g}, but the clock that starts at '{clock}' has {first:g}.",
            where=where,
            do="All milestones of one clock share one batch_spread.",
        )


class DuplicateStage(ContentComplaint):
    """Two stages of one key."""

    def __init__(self, key: str, where: str) -> None:
        super().__init__(f"There are two stages '{key}'.", where=where, do="Give one of them another key.")


class BrokenPath(ContentComplaint):
    """A stage that does not lead to the next one."""

    def __init__(self, stage: str, milestone: str, following: str, where: str) -> None:
        super().__init__(
            f"The stage '{stage}' leads to '{milestone}', but the next stage is '{following}'.",
            where=where,
            do="The milestone of a stage is the key of the next one.",
        )


class OpenPath(ContentComplaint):
    """The last stage leads on, or one before it does not end."""

    def __init__(self, stage: str, *, last: bool, where: str) -> None:
        sentence = f"The last stage '{stage}' leads on." if last else f"The stage '{stage}' has no end."
        remedy = (
            "Take 'ends' and 'milestone' out of it."
            if last
            else "Say how it 'ends' and give its 'milestone'."
        )
        super().__init__(sentence, where=where, do=remedy)


class NoClock(ContentComplaint):
    """A stage with a pace that does not say which step starts its clock."""

    def __init__(self, stage: str, where: str) -> None:
        super().__init__(
            f"The stage '{stage}' has a pace but no clock.",
            where=where,
            do="Say which step starts it with 'started_by'.",
        )


class TaskWithoutTime(ContentComplaint):
    """A task that says how long it takes but not when."""

    def __init__(self, do: str, where: str) -> None:
        super().__init__(
            f"The task '{do}' must say when, once.",
            where=where,
            do="Give one of 'at', 'every_days' and 'after_days'.",
        )


class UseWithoutAmount(ContentComplaint):
    """A material without its amount, or with two."""

    def __init__(self, item: str, where: str) -> None:
        super().__init__(
            f"The use of '{item}' must say how much, once.",
            where=where,
            do="Give one of 'each' and 'litres'.",
        )


class UnknownCaution(ContentComplaint):
    """A caution that is not written anywhere."""

    def __init__(self, key: str, known: Iterable[str], where: str) -> None:
        super().__init__(f"There is no caution '{key}'.", where=where, do=nearest(key, known))


class DuplicateKey(ContentComplaint):
    """A sheet, species, source or caution that is there already."""

    def __init__(self, kind: str, key: str, where: str) -> None:
        super().__init__(
            f"There is already a {kind} '{key}'.",
            where=where,
            do="Give it another key, or put changed figures in 'values.toml'.",
        )


class UnknownPlace(ContentComplaint):
    """An own value for something the sheet does not have."""

    def __init__(self, path: str, of: str, known: Iterable[str], where: str) -> None:
        super().__init__(f"'{of}' has no value '{path}'.", where=where, do=nearest(path, known))


class UnknownSubject(ContentComplaint):
    """An own value for a sheet or genus that is not there."""

    def __init__(self, of: str, known: Iterable[str], where: str) -> None:
        super().__init__(f"There is no sheet or genus '{of}'.", where=where, do=nearest(of, known))


class NoSuchSheet(ValueComplaint):
    """A sheet asked for by a key that no sheet has."""

    def __init__(self, key: str, known: Iterable[str]) -> None:
        super().__init__(f"There is no sheet '{key}'.", do=nearest(key, known))


def _number(value: float, unit: str) -> str:
    if isinstance(value, int) and abs(value) > MOST_SHOWN:  # TOML writes any, floating point does not
        return "far too large"
    return f"{value:g} {unit}".rstrip()
