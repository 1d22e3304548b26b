"""Writing elements of SVG and HTML as text that is safe to put on a page."""

from __future__ import annotations

from markupsafe import Markup


def element(name: str, *inside: str, **attributes: object) -> Markup:
    """Return one element; names lose a closing underscore, other underscores become hyphens."""
    written = Markup("").join(
        Markup(' {}="{}"').format(key.rstrip("_").replace("_", "-"), value)
        for key, value in attributes.items()
        if value is not None
    )
    return Markup("<{0}{1}>{2}</{0}>").format(name, written, Markup("").join(inside))


def number(value: float) -> str:
    """Write a coordinate shortly and always in the same way."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def per_cent(share: float) -> str:
    """Write a share of the drawing's width."""
    return f"{number(100 * share)}%"
