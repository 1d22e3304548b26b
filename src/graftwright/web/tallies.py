"""Counts as a hand would tally them: five-bar gates for what is alive, stumps for what was lost."""

from __future__ import annotations

from markupsafe import Markup

from graftwright.web.svg import element, number

MOST_STROKES = 60  # beyond a dozen gates the eye reads the figure, not the strokes
_HEIGHT = 36
_STUMP = 13
_STEP = 8.0
# a hand never draws two strokes alike: (lean at the top, drop of the foot), taken in turn
_HAND = ((0.6, 0.0), (-0.5, 0.8), (0.9, 0.3), (-0.2, -0.5), (0.3, 0.6), (-0.8, 0.1), (0.5, -0.3))


def tally(alive: int, lost: int = 0) -> Markup:
    """Return strokes for `alive` and stumps for `lost`; nothing when they are too many to read."""
    if alive + lost == 0 or alive + lost > MOST_STROKES:
        return Markup("")
    gates = [_gate(size, first, _HEIGHT) for first, size in _gates(alive)]
    stumps = [_gate(size, first, _STUMP) for first, size in _gates(lost)]
    gap = [element("i", class_="tally-gap")] if gates and stumps else []
    return element("span", *gates, *gap, *stumps, class_="tally", role="img", aria_label=_spoken(alive, lost))


def _spoken(alive: int, lost: int) -> str:
    return f"tally: {alive} growing, {lost} lost" if lost else f"tally: {alive}"


def _gates(count: int) -> list[tuple[int, int]]:
    """Split a count into (number of its first stroke, strokes), five at a time."""
    return [(first, min(5, count - first)) for first in range(0, count, 5)]


def _gate(size: int, first: int, tall: float) -> Markup:
    """Draw up to four strokes and, as the fifth, the bar across them."""
    strokes = [_stroke(place, first + place, tall) for place in range(min(size, 4))]
    if size == 5:
        strokes.append(_bar(first, tall))
    width = number(_STEP * min(size, 4) + 5)
    path = element("path", d=" ".join(strokes))
    return element("svg", path, width=width, height=_HEIGHT + 2, aria_hidden="true", focusable="false")


def _stroke(place: int, which: int, tall: float) -> str:
    lean, drop = _HAND[which % len(_HAND)]
    foot = _STEP * place + 6
    top, bottom = number(_HEIGHT - tall + 1.5), number(_HEIGHT - 0.5 + drop)
    return f"M{number(foot + lean)} {top}L{number(foot - lean / 2)} {bottom}"


def _bar(first: int, tall: float) -> str:
    lean, drop = _HAND[first % len(_HAND)]
    low, high = _HEIGHT - tall * 0.22, _HEIGHT - tall * 0.78
    return f"M1.5 {number(low + drop)}L{number(_STEP * 4 + 3)} {number(high + lean)}"
