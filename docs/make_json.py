"""Write docs/reference/json.md: what scripts receive, with examples that the program gave on the demo."""

from __future__ import annotations

import json
from contextlib import chdir
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from _generated import keep
from _session import Session

if TYPE_CHECKING:
    from collections.abc import Iterator

HEAD = """# JSON

Every command takes `--json`, anywhere behind or before its name. Standard output then holds one JSON value and nothing
else, whatever happens. Fields may be added in later versions; those here stay. Days are ISO 8601, shares are fractions
from 0 to 1, what is not known is null. The examples are answers on the demo; long lists are cut, as each says.
"""

ENTRY = """What `record`, `correct`, `cross-out` and `away` answer. `lines` are the counted units that moved: those of
one `unit` sum to zero. `subject` is the batch where a bag was named that holds one. `made` names the codes that were
given, `derived_again` the entries that count differently now, `words` what a person would have read. Where `repeated`
is true, the id was there already with the same content, and nothing was added.
"""

SHOW = """`counts` says what came, what is gone and why, and what is there; they add up. `windows` has, for each stage
that grafts have before them, when the `first`, `10`, `50` and `90` per cent plant reach it, each with earliest, likely
and latest day (the 10, 50 and 90 % points). `due` has lines as `today` has them. `history` runs backwards; a
crossed-out entry names the one that crosses it out.
"""

OWN = """`yours` stands in for `handbook`, which has that `source`; both are in `unit`. `entry` is the one that said it,
and `used` is false where the handbook of today has no place for it. With a value, the command answers as `record` does,
and with `values` for that path.
"""

SIZE = """`chance` is that of at least so many at `start`, `below` the chance with one fewer. Intervals hold eight
seasons in ten. `needs` is there with `--sheet` only; names that end in `litres` are litres, `hours` are hours, all
else is pieces.
"""

PLAN = """The season plan of the wish file in [plan a season](../how-to/plan-a-season.md), which says what each key
means.
"""

OUTLOOK = """For each wish, by the number of its entry: the chance, with the `error` of drawing (0 where the law is
exact), and the median and interval of the trees to come. `taken_before` are trees of earlier wishes for the same
batches. `top_up` grafts more give the chance that was asked for (null where no number does); `why_not` says why they
cannot be made now. `together` is the chance that all wishes of a season on one sheet are met. See
[will the numbers be made?](../how-to/will-the-numbers-be-made.md)
"""

TODAY = """`state` is late, due or coming; lines come in that order and in walking order. `day` is the day the line is
for, chosen among the days at the bench; `window` holds what it rests on. `reason` is a sentence for people.
"""


def shortened(value: Any, most: int) -> tuple[Any, int]:
    """Cut every list of a value to its first items, and count what was left out."""
    if isinstance(value, dict):
        pairs = {name: shortened(inner, most) for name, inner in value.items()}
        return {name: inner for name, (inner, _) in pairs.items()}, sum(n for _, n in pairs.values())
    if isinstance(value, list):
        items = [shortened(inner, most) for inner in value[:most]]
        return [inner for inner, _ in items], len(value[most:]) + sum(n for _, n in items)
    return value, 0


def asked(session: Session, *words: str, most: int = 2) -> str:
    """Ask, and write question and answer down."""
    told = session.run(*words, "--json")
    value, left_out = shortened(json.loads(told.out), most)
    listed = " ".join(f"'{word}'" if " " in word else word for word in words)
    text = json.dumps(value, indent=2, ensure_ascii=False)
    code = f" (exit code {told.exit_code})" if told.exit_code else ""
    cut = f"\n\n*{left_out} items of its lists are left out here.*" if left_out else ""
    return f"`graftwright {listed} --json`{code}\n\n```json\n{text}\n```{cut}\n"


def planned(session: Session) -> str:
    """Plan the wish file of the manual, beside the notebook."""
    page = (Path(__file__).parent / "how-to" / "plan-a-season.md").read_text(encoding="utf-8")
    wishes = page.partition("```toml\n")[2].partition("```")[0]
    with chdir(session.notebook.parent):
        Path("wishes.toml").write_text(wishes, encoding="utf-8")
        return asked(session, "plan", "wishes.toml", "--today", "2026-10-20", most=2)


def pages(session: Session) -> Iterator[str]:
    """Give every part of the page."""
    made = json.loads(session.run("demo", "--json").out)
    assert made["made"], "the folder was empty"
    lines = json.loads(session.run("today", "--json").out)["lines"]
    late = next(line for line in lines if line["state"] == "late")
    yield HEAD
    yield f"## today\n\n{TODAY}"
    yield asked(session, "today")
    yield f"## show\n\n{SHOW}"
    yield asked(session, "show", late["subject"], most=1)
    yield "A bag:\n"
    yield asked(session, "show", late["place"], most=1)
    yield f"## record\n\n{ENTRY}"
    yield asked(
        session, "record", "check", late["place"], "--seen", "leafing=1", "--reason", "mould=1", most=4
    )
    yield f"## plan size\n\n{SIZE}"
    yield asked(
        session, "plan", "size", "--want", "12", "--sheet", "hypocotyl-closed-bag", "--species", "Castanea"
    )
    yield f"## plan FILE\n\n{PLAN}"
    yield planned(session)
    yield f"## outlook\n\n{OUTLOOK}"
    yield asked(session, "outlook", most=1)
    yield "## verify\n\n`problems` says in words where the proof fails; the exit code is then 22.\n"
    yield asked(session, "verify")
    yield "## aside list\n\nEntries from an outbox or a file that could not stand; `reason` says why.\n"
    yield asked(session, "aside", "list")
    yield f"## handbook own\n\n{OWN}"
    session.run("handbook", "done", "hypocotyl-closed-bag", "12")
    session.run(
        "handbook", "own", "hypocotyl-closed-bag", "leafing.act_within.days", "2", "--scope", "three batches"
    )
    yield asked(session, "handbook", "own")
    yield "## Errors\n\nThe sentence goes to standard error, too. [Exit codes](exit-codes.md) lists them.\n"
    yield asked(session, "record", "check", late["place"], "--seen", "leafing=5")


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        keep("reference/json.md", "\n".join(pages(Session(Path(folder) / "demo.graftwright", "2027-04-20"))))
