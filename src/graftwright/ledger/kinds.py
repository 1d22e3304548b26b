"""The kinds of entry: what each is about, what it must say, and where in a day it stands.

One table serves the command line, the forms of the pages and the check at the door.
"""

from __future__ import annotations

from dataclasses import dataclass

from graftwright.errors import ValueComplaint, as_typed
from graftwright.ledger import reasons
from graftwright.ledger.things import PLACE_KINDS

# kinds of value a field can hold
TEXT, CODE, CODES, DAY, FLAG, CHOICE = "text", "code", "codes", "day", "flag", "choice"
COUNT, SIGNED, NUMBER, NUMBERS, TEMPERATURE = "count", "signed", "number", "numbers", "temperature"
COUNTS, OUTCOMES, SHARES = "counts", "outcomes", "shares"  # word = value, several times
MADE = "made"  # worked out by the program: nobody types it
EXPERIENCES = ("first_time", "some", "practised")


class UnknownKind(ValueComplaint):
    """A kind of entry that does not exist."""

    key = "kind"

    def __init__(self, kind: str, nearest: str) -> None:
        do = f"Did you mean '{nearest}'?" if nearest else "All of them: graftwright record --help."
        super().__init__(f"There is no kind of entry called '{as_typed(kind)}'.", do=do)


@dataclass(frozen=True)
class Field:
    """One thing an entry can say."""

    name: str
    holds: str
    help: str
    required: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kind:
    """A kind of entry.

    `rank` is its place within a day; `about` names what kinds of thing its subject can be.
    """

    name: str
    rank: int
    sort: str  # move | observation | remark
    about: tuple[str, ...]
    does: str
    fields: tuple[Field, ...] = ()

    def field(self, name: str) -> Field | None:
        """Return the field of that name, if this kind has it."""
        return next((field for field in self.fields if field.name == name), None)


LOTS = ("seed", "scionwood", "stock")
GRAFTS = ("batch", "plant")
ANY = ("seed", "scionwood", "stock", "batch", "plant", "place", "variety", "source-tree", "person", "site")

_NOTE = Field("note", TEXT, "Anything else, in your own words")
_PLACE = Field("place", CODE, "Where it stands, or is put")
_FROM_PLACE = Field("place", CODE, "Where the grafts stand")
_STAGE = Field("stage", TEXT, "The stage they are taken from, where there are several")
_PLANTS = Field("plants", CODES, "Which plants, where they have codes of their own")
_TO = Field("to", CODE, "The place they go to")


def _count(help_: str, *, required: bool = True) -> Field:
    return Field("count", COUNT, help_, required=required)


def _why(words: tuple[str, ...], help_: str, *, required: bool = True) -> Field:
    return Field("reasons", COUNTS, help_, required=required, choices=words)


def _step(name: str, does: str, about: tuple[str, ...] = GRAFTS) -> Kind:
    return Kind(name, 4, "move", about, does, (_count("How many; all of them if left out", required=False),
                _FROM_PLACE, _STAGE, _TO, _PLANTS, _NOTE))  # fmt: skip


def _seed_step(name: str, does: str) -> Kind:
    return Kind(name, 2, "move", ("seed",), does,
                (_count("How many nuts; all of them if left out", required=False), _PLACE, _NOTE))  # fmt: skip


def _air(name: str, does: str) -> Kind:
    opening = Field("opening", TEXT, "Holes, gap or how far open")
    return Kind(name, 4, "remark", ("place", "batch"), does, (opening, _FROM_PLACE, _NOTE))


_ALL = (
    Kind("describe", 4, "remark", ("place", "variety", "source-tree", "person", "site", "settings"),
         "Say what a variety, source tree, place, person or site is, or give it a new name from a day on", (
        Field("what", CHOICE, "What it is", required=True,
              choices=("variety", "source-tree", "place", "person", "site", "settings")),
        Field("name", TEXT, "Its name"),
        Field("place_kind", CHOICE, "Which kind of place", choices=PLACE_KINDS),
        Field("within", CODE, "The place it stands in"),
        Field("temperature_c", TEMPERATURE, "Its usual temperature, as you know it: 22.5, or 72 F"),
        Field("walking", COUNT, "Its number on your way round"),
        Field("species", SHARES, "Species make-up, as shares that sum to 1"),
        Field("variety", TEXT, "The variety of a source tree"),
        Field("seed_parent", TEXT, "Seed parent of a variety"),
        Field("pollen_parent", TEXT, "Pollen parent of a variety"),
        Field("protection", CHOICE, "Protection of a variety", choices=("none", "patent", "plant variety right")),
        Field("protection_number", TEXT, "Number of the patent or right"),
        Field("protected_until", DAY, "Last day of the protection"),
        Field("pollen_sterile", FLAG, "It gives no pollen"),
        Field("latitude", NUMBER, "Latitude of a site, south negative"),
        Field("time_zone", TEXT, "Time zone of a site, such as Europe/Paris"),
        Field("free_days", TEXT, "Days of the week you are at the bench, such as 'sat sun'"),
        Field("minutes", COUNT, "Minutes you have at the bench on such a day"),
        Field("last_frost", DAY, "Usual day of the last frost, in any year"),
        Field("demo_date", DAY, "The date a demo lives on"),
        _NOTE,
    )),
    Kind("receive", 1, "move", LOTS, "Seed, scionwood or stocks come in and become a lot", (
        Field("what", CHOICE, "What came in", required=True, choices=LOTS),
        _count("How many nuts, buds or stocks", required=False),
        Field("sticks", COUNT, "Sticks of scionwood, with buds_per_stick instead of a count"),
        Field("buds_per_stick", COUNT, "Buds on each stick"),
        Field("uncounted", FLAG, "A bag nobody counted: only what was used is known"),
        Field("of", TEXT, "Variety, or mother tree of seed and stocks"),
        Field("genus", TEXT, "Genus of seed and stocks, such as Castanea"),
        Field("origin", TEXT, "From whom or where"),
        Field("permit", TEXT, "Permit or plant passport number"),
        Field("hold_until", DAY, "Kept apart until this day"),
        _PLACE, _NOTE,
    )),
    Kind("cut-scions", 1, "move", ("scionwood",), "Cut dormant scionwood from a known tree", (
        _count("How many buds", required=False),
        Field("sticks", COUNT, "Sticks cut, with buds_per_stick instead of a count"),
        Field("buds_per_stick", COUNT, "Buds on each stick"),
        Field("of", TEXT, "The variety", required=True),
        Field("genus", TEXT, "Genus, such as Castanea"),
        Field("tree", TEXT, "The source tree"),
        _PLACE, _NOTE,
    )),
    _seed_step("chill", "Put nuts to chill"),
    _seed_step("bring-out", "Bring nuts out of the cold to sprout"),
    _seed_step("return-to-cold", "Put nuts back into the cold"),
    Kind("pull", 2, "move", ("seed",), "Pull the nuts with usable sprouts", (
        _count("How many nuts have usable sprouts"),
        Field("double", COUNT, "Of these, how many have two sprouts: each gives one stock more"),
        Field("odd", COUNT, "Of these, how many have odd sprouts"),
        Field("put_back", COUNT, "How many were looked at and put back"),
        _PLACE, _NOTE,
    )),
    Kind("discard", 2, "move", LOTS, "Throw out part of a lot, with the reason", (
        _why(reasons.DISCARDS, "Reason and number, such as rotted=3"), _STAGE, _PLACE, _NOTE,
    )),
    Kind("check-wood", 2, "move", ("scionwood",), "Look through stored wood; what is bad goes out", (
        _why(reasons.WOOD, "Reason and number of buds thrown out", required=False), _PLACE, _NOTE,
    )),
    Kind("graft", 3, "move", ("batch",), "Grafts made in one sitting become a batch", (
        _count("How many grafts"),
        Field("scion", CODE, "The scionwood lot, or the variety that there is one lot of", required=True),
        Field("stock", CODE, "The lot of sprouted nuts or stocks, or the variety or genus that there is one lot of",
              required=True),
        Field("sheet", TEXT, "The method sheet", required=True),
        Field("buds", COUNT, "Buds on each scion; 1 if left out"),
        Field("places", COUNTS, "Where they are: place and number, for each place"),
        _PLACE,
        Field("bags", COUNT, "Make so many new bags for them in that place"),
        _NOTE,
    )),
    Kind("regraft", 4, "move", ("batch",), "Graft again on a stock that outlived its scion", (
        _count("How many grafts"),
        Field("scion", CODE, "The scionwood lot, or the variety that there is one lot of", required=True),
        Field("stock", CODE, "The lot 'to work again'", required=True),
        Field("sheet", TEXT, "The method sheet", required=True),
        Field("buds", COUNT, "Buds on each scion; 1 if left out"),
        _PLACE, _NOTE,
    )),
    Kind("codes", 4, "move", ("batch",), "Give grafts codes of their own", (
        _count("How many; all if left out", required=False), _FROM_PLACE, _STAGE,
        Field("plants", CODES, "Codes already on the labels; made for you if left out"), _NOTE,
    )),
    Kind("check", 4, "observation", GRAFTS, "Look at a batch in a place: what is alive and how far it is", (
        _FROM_PLACE,
        Field("seen", COUNTS, "Stage and number seen alive there"),
        Field("dead", COUNTS, "Reason and number found dead", choices=reasons.DEATHS),
        Field("not_looked", COUNT, "How many were not looked at"),
        Field("miscounted", SIGNED, "How many more (or, negative, fewer) there were than the book says"),
        Field("plants", OUTCOMES, "For plants with codes: its stage, or why it died"),
        Field("guess", FLAG, "The reason is a guess"),
        Field("leaves", CHOICE, "Leaves on the most advanced", choices=("0", "1", "2", "3", "4+")),
        Field("air", CHOICE, "Air in the bag", choices=("wet drops", "misted", "clear")),
        Field("medium", CHOICE, "The medium", choices=("dripping", "moist", "dry")),
        Field("mould", CHOICE, "Mould", choices=("none", "on the nut only", "on the union", "on leaves")),
        Field("tie", CHOICE, "The tie", choices=("fine", "cutting in")),
        Field("below", CHOICE, "Shoots from below", choices=("none", "rubbed off", "only from below")),
        _NOTE,
    )),
    Kind("carry", 4, "move", ("place", *GRAFTS, *LOTS), "Carry a place to another, or grafts from place to place", (
        Field("to", CODE, "Where it goes", required=True),
        _count("How many; all of them if left out", required=False), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    _air("vent", "Make holes or a gap: weaning begins"),
    _air("open", "Open the bag or box"),
    _air("close-again", "Close it again"),
    _step("pot", "Lift and pot"),
    _step("settle", "They have settled: good new growth"),
    _step("harden", "Set out to harden"),
    _step("store", "Put into the cold to wait"),
    _step("unwrap", "Take off the wrap of a bud that lives"),
    _step("head-back", "Cut the stock back to the bud, so that it is forced to grow"),
    _step("plant", "Plant out"),
    Kind("step-back", 4, "move", GRAFTS, "Go back a stage, with the reason", (
        Field("back_to", TEXT, "The stage to go back to", required=True),
        Field("reason", CHOICE, "Why", required=True, choices=reasons.STEP_BACK),
        _count("How many; all of them if left out", required=False), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    Kind("lose", 4, "move", GRAFTS, "Grafts have died", (
        _why(reasons.DEATHS, "Reason and number, such as mould=1"),
        Field("guess", FLAG, "The reason is a guess"), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    Kind("cull", 4, "move", GRAFTS, "Take out alive", (
        _why(reasons.CULLED, "Reason and number, such as weak=1"), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    Kind("fail", 4, "move", GRAFTS, "The graft failed but its stock lives and can be worked again", (
        _why(reasons.DEATHS, "Reason and number, such as no join=1"),
        Field("lot", CODE, "The lot 'to work again' they join; a new one if left out"),
        Field("guess", FLAG, "The reason is a guess"), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    Kind("give", 4, "move", (*GRAFTS, *LOTS), "Give away, with its history", (
        _count("How many; all of them if left out", required=False),
        Field("to_whom", TEXT, "To whom", required=True),
        Field("paper", TEXT, "Passport, permit or slip that went along"), _FROM_PLACE, _STAGE, _PLANTS, _NOTE,
    )),
    Kind("stock-taking", 4, "observation", (*LOTS, "batch"), "Count what is there; a difference is a recount", (
        Field("counted", COUNTS, "Stage and number counted", required=True), _PLACE, _NOTE,
    )),
    Kind("note", 4, "remark", ANY, "Anything worth remembering", (
        Field("note", TEXT, "In your own words", required=True),
    )),
    Kind("away", 4, "remark", ("settings",), "Days you are gone: tasks and next checks move, windows do not", (
        Field("from_day", DAY, "First day away", required=True),
        Field("to_day", DAY, "Last day away", required=True), _NOTE,
    )),
    Kind("wish", 4, "remark", ("variety",), "Trees you want of a variety by a day; the plan and the outlook serve it", (
        Field("count", COUNT, "How many trees", required=True),
        Field("ready_by", DAY, "The day they are wanted", required=True),
        Field("sheet", TEXT, "The method sheet they are to be made with", required=True),
        Field("genus", TEXT, "Genus of the stocks, such as Castanea", required=True),
        Field("sure", NUMBER, "How sure you want to be, from 0.01 to 0.999; 0.9 if left out"),
        Field("purpose", TEXT, "What they are for, such as 'own ground'"), _NOTE,
    )),
    Kind("promise", 4, "remark", ("variety", *GRAFTS), "Trees promised to somebody", (
        Field("count", COUNT, "How many trees", required=True),
        Field("to_whom", TEXT, "To whom", required=True),
        Field("ready_by", DAY, "The day they are promised for"), _NOTE,
    )),
    Kind("plan", 4, "remark", ("settings",), "A season plan that you keep, made by 'graftwright plan --keep'", (
        Field("plan", MADE, "What was planned", required=True), _NOTE,
    )),
    Kind("adopt", 4, "remark", ("handbook",), "Use a value of your own, or say how practised you are", (
        Field("of", TEXT, "The method sheet or genus whose value it is", required=True),
        Field("path", TEXT, "The value, by its path in the handbook, such as leafing.act_within.days"),
        Field("value", TEXT, "Your value, in the handbook's unit: 2, or 20 to 24"),
        Field("back", FLAG, "Take the handbook's value again"),
        Field("scope", TEXT, "What your value rests on, such as 'three batches'"),
        Field("experience", CHOICE, "How practised you are with the method sheet", choices=EXPERIENCES), _NOTE,
    )),
    Kind("cross-out", 4, "remark", ("entry",), "Mark entries as untrue, with a reason; they stay readable", (
        Field("numbers", NUMBERS, "The entries crossed out", required=True),
        Field("reason", TEXT, "Why they are untrue", required=True),
    )),
)  # fmt: skip

KINDS = {kind.name: kind for kind in _ALL}
TOLD = {
    name: kind for name, kind in KINDS.items() if all(field.holds != MADE for field in kind.fields)
}  # by people


def find_kind(name: str) -> Kind:
    """Return the kind of that name; refuses an unknown one and names the nearest."""
    if name in KINDS:
        return KINDS[name]
    import difflib

    near = difflib.get_close_matches(name, KINDS, n=1)
    raise UnknownKind(name, near[0] if near else "")
