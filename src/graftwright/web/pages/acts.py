"""The few things a person would do now with what a code opens."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

from graftwright.ledger.codes import shown
from graftwright.web.pages.due_lines import act_href, act_words
from graftwright.web.parts import Act

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.show import Card
    from graftwright.handbook.sheets import Sheet

_OF_LOT = {
    "seed": (("Chill", "chill"), ("Bring out", "bring-out"), ("Pull", "pull"), ("Throw out", "discard")),
    "scionwood": (("Look through", "check-wood"), ("Count", "stock-taking")),
    "stock": (("Throw out", "discard"), ("Count", "stock-taking")),
}


def record_href(kind: str, **given: str) -> str:
    """Address of the form of a kind of entry, with what is known already."""
    known = {name: value for name, value in given.items() if value}
    return f"/record/{kind}" + (f"?{urlencode(known)}" if known else "")


def acts_for(card: Card, sheet: Sheet | None, subject: str, place: str) -> tuple[Act, ...]:
    """Return the buttons of a thing's page, the likeliest first."""
    return (*_acts(card, sheet, subject, place), Act("Write something else", f"/record?subject={subject}"))


def _acts(card: Card, sheet: Sheet | None, subject: str, place: str) -> Iterator[Act]:
    if card.kind in {"batch", "plant"} and card.standing:
        yield Act("Check", act_href("check", card.code, place))
        if sheet:
            for step in steps_now(sheet, {one.stage for one in card.standing}):
                yield Act(act_words(step), act_href(step, card.code, place))
        yield Act("Some have died" if card.kind == "batch" else "It has died",
                  record_href("lose", subject=subject, place=shown(place)))  # fmt: skip
    for words, kind in _OF_LOT.get(card.kind, ()):
        yield Act(words, record_href(kind, subject=subject))
    if card.kind in {"scionwood", "stock", "seed"}:
        side = "scion" if card.kind == "scionwood" else "stock"
        yield Act("Graft with it", record_href("graft", **{side: subject}))
    if card.kind in {"variety", "source-tree", "person", "site"}:
        yield Act("Describe it further", record_href("describe", what=card.kind, subject=card.code))


def steps_now(sheet: Sheet, stages: set[str]) -> list[str]:
    """Steps of the grower that can follow from where grafts stand."""
    known = [stage for stage in sheet.stages if stage.key in stages]
    steps = []
    for stage in known:
        following = sheet.stages[sheet.path.index(stage.key) + 1 :][:1]
        steps += [
            one.started_by for one in following if one.started_by == "vent" and stage.ends == "by growth"
        ]
        if stage.started_by == "vent":
            steps += ["vent", "open"]
        if stage.ends == "by you" and stage.ended_by:
            steps.append(stage.ended_by)
        if stage.milestone == "settled":
            steps.append("settle")
    return [step for step in dict.fromkeys(steps) if step][:3]
