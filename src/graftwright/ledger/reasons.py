"""The fixed words for why something was lost, culled, thrown out or put back."""

from __future__ import annotations

NUT = (
    "hollow or floated",
    "grub",
    "rotted",
    "dried",
    "eaten",
    "never sprouted",
    "sprout too long",
    "broken at the bench",
)
WOOD = ("dried", "mouldy", "buds pushed", "frozen", "sick", "no live bud")
UNION = ("slipped", "no join", "rotted", "false take", "only shoots from below", "cut spoiled")
BAG = ("mould", "too wet", "overheated", "dried")
WEANING = ("flagged and died",)
AFTER = (
    "broken lifting or untying", "strangled by tie", "root rot", "dried in the pot", "frost", "sun or wind burn",
    "browsed", "gnawed", "insects", "disease", "winter", "late incompatibility",
)  # fmt: skip
CULLED = ("weak", "crooked", "poor union", "wrong variety", "sick", "surplus")
STEP_BACK = ("leaves flagged", "frost", "no room", "dug up")
UNKNOWN = "unknown"

DEATHS = tuple(dict.fromkeys((*UNION, *BAG, *WEANING, *AFTER, UNKNOWN)))
DISCARDS = tuple(dict.fromkeys((*NUT, *WOOD, UNKNOWN)))
