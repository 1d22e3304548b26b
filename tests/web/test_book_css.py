"""The style sheet: small, self-contained, and readable by the published measure of contrast."""

from __future__ import annotations

import re

import pytest

from graftwright.web.look import STATIC

CSS = (STATIC / "book.css").read_text()
LIGHT, DARK = (
    dict(re.findall(r"--([\w-]+): (#[0-9a-f]{3,6});", block))
    for block in (
        CSS.split("/* ---- the page ---- */")[0],
        CSS.split("prefers-color-scheme: dark")[1].split("/* ---- print")[0],
    )
)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it (W3C Recommendation, 5 October 2023, glossary)."""
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_measured_as_published() -> None:
    """WCAG 2.2, glossary 'contrast ratio': black on white is 21 to 1."""
    assert contrast("#000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["paper", "red light"])
@pytest.mark.parametrize(
    ("ink", "ground"),
    [(i, g) for i in ("ink", "soft", "accent") for g in ("paper", "wash")] + [("on-accent", "accent")],
)
def test_every_word_can_be_read(colours: dict[str, str], ink: str, ground: str) -> None:
    """WCAG 2.2, 1.4.3 (level AA): at least 4.5 to 1."""
    assert contrast(colours[ink], colours[ground]) >= 4.5


def test_the_dark_page_is_lit_in_red_alone() -> None:
    """Red outweighs green and blue in every colour, so that eyes stay used to the dark."""
    for colour in DARK.values():
        digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
        red, green, blue = (int(digits[i : i + 2], 16) for i in (0, 2, 4))
        assert (red, green, blue) == (0, 0, 0) or (red > 1.4 * green and red > 1.4 * blue)


def test_it_is_small_and_fetches_nothing() -> None:
    assert len(CSS.encode()) < 25_000
    assert not re.search(r"url\(|@import|@font-face|https?:", CSS)


def test_the_drawn_mark_fetches_nothing() -> None:
    mark = (STATIC / "mark.svg").read_text().replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"https?:|url\(|<script|<image", mark)
