"""Names wishes that cannot all be met, though the others can once any one of them is left out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from graftwright.actions.plan_greedy import all_met, listed

if TYPE_CHECKING:
    from graftwright.actions.plan_greedy import Ground
    from graftwright.actions.plan_parts import Plan, Unmet

MOST_WISHES = 30  # with more, laying the season out again and again takes too long
MOST_TRIES = 300

Numbers = frozenset[int]


def name_clashes(plan: Plan, ground: Ground) -> Plan:
    """Add to each wish that is not met a set it clashes in, if wishes beside it are in its way."""
    if not plan.unmet:
        return plan
    wishes = frozenset(wish.number for wish in ground.wishes.wishes)
    if len(wishes) > MOST_WISHES:
        said = f"More than {MOST_WISHES} wishes: which of them clash was not looked for."
        return replace(plan, warnings=(*plan.warnings, said))
    search = _Search(ground)
    return replace(plan, unmet=tuple(_named(one, search.clash(one, wishes)) for one in plan.unmet))


def _named(unmet: Unmet, clash: Numbers) -> Unmet:
    if not clash:
        return unmet
    numbers = tuple(sorted(clash))
    said = f"{listed(numbers).capitalize()} clash: leave out any one of them and the rest can be met."
    return replace(unmet, clash=numbers, sentence=f"{unmet.sentence} {said}")


class _Search:
    """Leaves out one wish after another and lays the rest out again."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.known: dict[Numbers, bool] = {}

    def clash(self, unmet: Unmet, wishes: Numbers) -> Numbers:
        """Return a smallest clashing set round a wish; empty if it fails alone or the search was given up."""
        own = frozenset({unmet.wish})
        try:
            if self.unmet(own):
                return frozenset()
            near = self._without(own | frozenset(unmet.clashes), own)
            return self._pair(near, own) or self._smallest(near, own) or self._smallest(wishes, own)
        except _TooMany:
            return frozenset()

    def _pair(self, wishes: Numbers, own: Numbers) -> Numbers:
        pairs = (own | {n} for n in sorted(wishes - own))
        return next((pair for pair in pairs if self.unmet(pair)), frozenset())

    def _without(self, wishes: Numbers, own: Numbers) -> Numbers:
        """Leave out what could not be met even alone."""
        return frozenset(n for n in wishes if n in own or not self.unmet(frozenset({n})))

    def _smallest(self, wishes: Numbers, own: Numbers) -> Numbers:
        """Leave out each wish that the clash does not need, `own` last, until none can be."""
        wishes = self._without(wishes, own)
        if not self.unmet(wishes):
            return frozenset()
        kept = wishes
        for n in sorted(wishes, key=lambda n: (n in own, n)):
            if self.unmet(kept - {n}):
                kept -= {n}
        return kept if kept == wishes else self._smallest(kept, own)

    def unmet(self, wishes: Numbers) -> bool:
        """Whether any of these wishes is not met when only they are laid out."""
        if wishes not in self.known:
            if len(self.known) >= MOST_TRIES:
                raise _TooMany
            self.known[wishes] = not all_met(self.ground, wishes)
        return self.known[wishes]


class _TooMany(Exception):
    """The search has taken as many tries as it may."""
