"""A small sheet and a small species, in order, for tests to spoil one line at a time."""

from __future__ import annotations

SHEET = """\
[sheet]
key = "small"
title = "Small graft"
version = 1
genera = ["Malus"]
take_at = "growing"

[[stage]]
key = "grafted"
of = "graft"
ends = "by growth"
started_by = "graft"
milestone = "growing"
ends_when = { sign = "new leaves" }
check_every = { days = 7 }
work = [{ do = "look", minutes = 1, per = "graft", at = "check" }]
uses = [{ item = "tie", each = 1 }]
source = "first guess"
grade = "assumed"

[stage.for.Malus.pace]
kind = "thermal"
response = "callus"
days_at_optimum = 20
spread = 0.2
batch_spread = 0.1
worth = 3

[stage.for.Malus.survival]
first_time = { mean = 0.6, worth = 6 }
some = { mean = 0.8, worth = 12 }
practised = { mean = 0.9, worth = 20, between_seasons = 0.05 }

[[stage]]
key = "growing"
of = "graft"
"""

SPECIES = """\
[species]
genus = "Malus"
common = "apple"
version = 1

[response.callus]
base = 0.0
optimum = 20.0
ceiling = 32.0
unit = "degC"
source = "common practice"
grade = "practice"

[chill]
kind = "cold"
minimum_days = 60
source = "common practice"
grade = "practice"

[[seed.stage]]
key = "in hand"
of = "nut"
ends = "by you"
ended_by = "chill"
milestone = "pulled"

[[seed.stage]]
key = "pulled"
of = "nut"
"""


def spoil(text: str, *changes: tuple[str, str]) -> str:
    """Change a text; each change must find its words exactly once."""
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return text
