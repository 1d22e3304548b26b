"""The two questions of a page of the handbook: your own value for a figure, and how many you have done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from graftwright.actions.say import PRACTISED
from graftwright.bootstrap import new_id
from graftwright.web.pages import figures
from graftwright.web.pages.cautions import handbook_href
from graftwright.web.parts import Field, Form

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.handbook.values import Figure as Known

DONE = "How many of these have you done?"


def own_href(of: str, path: str) -> str:
    """Address of the form for an own value."""
    return f"{handbook_href(of)}/own?{urlencode({'path': path})}"


def practice_words(said: str) -> str:
    """Say how practised plans take the grower to be."""
    if not said:
        return "Until you say, plans count with what comes through when somebody does it for the first time."
    return f"You said: {PRACTISED[said]}. Plans count with what comes through then."


def done_form(of: str, id_: str = "", value: str = "") -> Form:
    """Ask how many grafts somebody has done by a sheet."""
    href = handbook_href(of)
    asked = Field("done", DONE, "number", value, "0, if it is your first time", needed=True, least=0)
    return Form(f"{href}/done", id_ or new_id(), "Write it down", href, (asked,))


def own_fields(known: Known, *, is_own: bool, values: Mapping[str, str]) -> tuple[Field, ...]:
    """Ask for an own value, what it rests on, and whether the handbook's is to hold again."""
    unit = figures.unit(known)
    help_ = (f"in {unit}, " if unit else "") + f"such as {typed(known.value)}"
    back = Field("back", "Take the handbook's value again", "tick", values.get("back", ""))
    return (
        Field("value", "Your value", value=values.get("value", ""), help=help_, needed=True),
        Field("scope", "What it rests on", value=values.get("scope", ""), help="such as 'three batches'"),
        *((back,) if is_own else ()),
    )


def typed(value: Any) -> str:
    """Write a value as it can be typed."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return " to ".join(typed(one) for one in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)
