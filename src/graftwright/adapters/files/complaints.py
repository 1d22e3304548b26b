"""What can be wrong with a file of temperatures: one class for each situation."""

from __future__ import annotations

from graftwright.errors import ContentComplaint, FileComplaint, as_typed


class FileNotReadable(FileComplaint):
    """The file is not there, or may not be read."""

    def __init__(self, path: str) -> None:
        super().__init__(
            f"The file '{as_typed(path)}' cannot be read.", do="Look whether it is there and open to you."
        )


class NoHeading(ContentComplaint):
    """No line names the columns."""

    def __init__(self) -> None:
        super().__init__(
            "No line of the file names a time and a temperature column.",
            do="Name them time and temperature_c, or date, tmin_c and tmax_c.",
        )


class SeveralColumns(ContentComplaint):
    """More than one column may be meant."""

    def __init__(self, what: str, names: list[str], line: int) -> None:
        listed = ", ".join(f"'{as_typed(name)}'" for name in names)
        super().__init__(
            f"More than one column may be the {what}: {listed}.",
            where=f"line {line}",
            do="Choose with --column NAME, or leave the others out of the file.",
        )


class NoSuchColumn(ContentComplaint):
    """The column asked for is not there."""

    def __init__(self, name: str, line: int) -> None:
        super().__init__(
            f"There is no column '{as_typed(name)}'.", where=f"line {line}", do="Take a name from that line."
        )


class UnitNotSaid(ContentComplaint):
    """The column does not say its unit, and guessing would be a lie."""

    def __init__(self, name: str, line: int, choices: str = "--unit C or --unit F") -> None:
        super().__init__(
            f"Column '{as_typed(name)}' does not say the unit of its temperatures.",
            where=f"line {line}",
            do=f"Add {choices}.",
        )


class DateDoubtful(ContentComplaint):
    """A date can be read in more than one way, and no other date of the file decides."""

    def __init__(self, text: str, line: int, orders: list[str]) -> None:
        super().__init__(
            f"The date '{as_typed(text)}' can be read in more than one way, and no date of the file decides.",
            where=f"line {line}",
            do=f"Add --dates {' or --dates '.join(orders)} (d day, m month, y year).",
        )


class NotATime(ContentComplaint):
    """A cell is no date or time."""

    def __init__(self, text: str, line: int) -> None:
        super().__init__(
            f"'{as_typed(text)}' is not a date and time.",
            where=f"line {line}",
            do="Correct or remove the line.",
        )


class TimeWithoutOffset(ContentComplaint):
    """Some times carry a UTC offset, others do not."""

    def __init__(self, text: str, line: int) -> None:
        super().__init__(
            f"The time '{as_typed(text)}' has no UTC offset while others of the file have one.",
            where=f"line {line}",
            do="Write all times in one way.",
        )


class NotATemperature(ContentComplaint):
    """A cell is no number."""

    def __init__(self, text: str, line: int) -> None:
        super().__init__(
            f"'{as_typed(text)}' is not a temperature.",
            where=f"line {line}",
            do="Correct it or leave the cell empty.",
        )


class DecimalsMixed(ContentComplaint):
    """Point and comma both stand for decimals."""

    def __init__(self, text: str, line: int) -> None:
        super().__init__(
            f"'{as_typed(text)}' has a decimal point where others of the column have a comma.",
            where=f"line {line}",
            do="Write all numbers in one way.",
        )


class CellsMissing(ContentComplaint):
    """A line has another number of cells than the heading."""

    def __init__(self, cells: int, wanted: int, line: int) -> None:
        super().__init__(
            f"The line has {cells} cells where the heading has {wanted}.",
            where=f"line {line}",
            do="Look for a decimal comma in a file separated by commas, or a broken line.",
        )


class ReadingsDiffer(ContentComplaint):
    """Two readings of one time do not agree."""

    def __init__(self, time: str, first: int, second: int) -> None:
        super().__init__(
            f"Two readings for {time} differ.",
            where=f"lines {first} and {second}",
            do="Where clocks went back add --time-zone, for example Europe/Paris; else remove one.",
        )


class TimeNeverWas(ContentComplaint):
    """A local time lies in the hour that clocks leapt over."""

    def __init__(self, time: str, zone: str, line: int) -> None:
        super().__init__(
            f"{time} never was in {zone}: clocks leapt over it.",
            where=f"line {line}",
            do="The logger seems to keep standard time: leave --time-zone out.",
        )


class UnknownZone(ContentComplaint):
    """There is no time zone of this name."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is no time zone '{as_typed(name)}'.", do="Write it like Europe/Paris.")


class DayUpsideDown(ContentComplaint):
    """A day's lowest temperature lies above its highest."""

    def __init__(self, low: float, high: float, line: int) -> None:
        super().__init__(
            f"The day's lowest temperature ({low:g} °C) lies above its highest ({high:g} °C).",
            where=f"line {line}",
            do="Correct the line or leave its cells empty.",
        )


class NothingToRead(ContentComplaint):
    """The file has a heading and no temperature."""

    def __init__(self) -> None:
        super().__init__("The file holds no temperature.", do="Look whether it is the right file.")


class SeveralStations(ContentComplaint):
    """The file mixes stations."""

    def __init__(self, first: str, second: str, line: int) -> None:
        super().__init__(
            f"The file holds more than one station, {first} and {second}.",
            where=f"line {line}",
            do="Keep the lines of one station.",
        )


class CellsUnclear(ContentComplaint):
    """The cells cannot be told apart, for instance because a quotation mark is never closed."""

    def __init__(self, line: int) -> None:
        super().__init__(
            "The cells of the file cannot be told apart.",
            where=f"near line {line}",
            do="Look for a quotation mark that is never closed.",
        )


class NotALatitude(ContentComplaint):
    """A station's latitude is none."""

    def __init__(self, text: str, line: int) -> None:
        super().__init__(f"'{as_typed(text)}' is not a latitude.", where=f"line {line}", do="Correct it.")


class SpanTooLong(ContentComplaint):
    """First and last time lie so far apart that one must be wrong."""

    def __init__(self, first: str, last: str, lines: tuple[int, int]) -> None:
        super().__init__(
            f"The file goes from {first} to {last}: a year must be wrong.",
            where=f"lines {lines[0]} and {lines[1]}",
            do="Correct the date.",
        )
