"""Will the numbers be made: scipy's integrals and laws, enumeration, plain draws, and simulated seasons."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import betaln, ndtr
from scipy.stats import beta, betabinom, binom

from chains import left_after
from graftwright.science.outlook import MOST_EXACT, NoSuchStage, Wish, outlooks, promised, together, top_up
from graftwright.science.shares import CountsAmiss, Entered, draw_shares, season_shares
from graftwright.science.sizing import Stage, alive, chance

SHEET = [
    Stage("swollen", 0.8, 20),
    Stage("weaned", 0.9, 30),
    Stage("potted", 0.95),
    Stage("settled", 0.85, 12),
]


def the(wish: Wish, stages: list[Stage] = SHEET):
    (outlook,) = outlooks(stages, [wish])
    return outlook


@pytest.mark.parametrize("units", [1, 2, 7, 40, 300, MOST_EXACT])
@pytest.mark.parametrize(
    "stages",
    [SHEET, [Stage("take", 0.75, 4)], [Stage("a", 0.3, 0.5), Stage("b", 0.99, 500)], [Stage("a", 0.6)] * 3],
)
def test_with_nothing_seen_it_is_the_sizing(units: int, stages: list[Stage]) -> None:
    outlook = the(Wish(1, (Entered(0, waiting=units),)), stages)
    for want in {1, units // 3 or 1, units // 2 or 1, units}:
        assert outlook.left.at_least(want) == pytest.approx(chance(want, units, stages), abs=1e-6)
    assert outlook.error == 0.0
    last = alive(units, stages)[-1]
    assert (outlook.low, outlook.high) == (last.low, last.high)


def test_a_closed_stage_makes_the_next_season_s_law_a_beta_law() -> None:
    """Beta is conjugate to counts: of the 30 waiting, scipy's beta-binomial with the counts added."""
    seen = the(Wish(20, (Entered(0, 14, 3, 30),), done=2), [Stage("take", 0.75, 20)])
    expected = betabinom.sf(np.arange(-1, 30), 30, 15 + 14, 5 + 3)
    assert [seen.left.at_least(2 + k) for k in range(31)] == pytest.approx(list(expected), abs=1e-8)
    assert seen.left.at_least(33) == 0.0
    assert seen.left.at_least(0) == 1.0


EVIDENCE = [
    (Stage("a", 0.75, 20), [Entered(0, 5, 1, 14, 0.3, 0.6)]),
    (Stage("a", 0.75, 20), [Entered(0, 0, 0, 60, 0.9, 0.2), Entered(0, 40, 3, 5, 0.5, 0.9)]),
    (Stage("a", 0.35, 6), [Entered(0, 0, 9, 31, 0.0, 0.8)]),
    (Stage("a", 0.98, 8), [Entered(0, 0, 0, 2, 0.99, 0.01)]),
    (Stage("a", 0.3, 0.4), []),
    (Stage("a", 0.5, 3), [Entered(0, 400, 900, 200, 0.7, 0.4)]),
    (Stage("a", 0.5, 3), [Entered(0, 3, 3, 4, 1.0, 0.5)]),
    (Stage("a", 0.5, 3), [Entered(0, 3, 3, 4, 1.0, 1.0)]),
]


def posterior_moments(stage: Stage, seen: list[Entered]) -> list[float]:
    """E[p] and E[p²] by how many of the units waiting will pass: given that number the law is a Beta law.

    The number's weights are the coefficients of a product of binomials, times scipy's beta function.
    """
    assert stage.weight is not None
    ways = np.ones(1)
    for e in seen:
        passing, failing = 1 - min(e.passes_due, 1 - 1e-9), 1 - min(e.losses_due or 0, 1 - 1e-9)
        share = passing / (passing + failing)
        ways = np.convolve(ways, binom.pmf(np.arange(e.waiting + 1), e.waiting, share))
    will = np.arange(ways.size)
    a = stage.passing + sum(e.passed for e in seen) + will
    b = stage.weight - stage.passing + sum(e.lost for e in seen) + will[::-1]
    log = np.log(np.maximum(ways, 1e-300)) + betaln(a, b)
    weight = np.exp(log - log.max())
    first = a / (a + b)
    return [float(weight @ m / weight.sum()) for m in (first, first * (a + 1) / (a + b + 1))]


@pytest.mark.parametrize(("stage", "seen"), EVIDENCE)
@pytest.mark.parametrize("units", [1, 500])
def test_the_season_s_share_is_its_posterior(stage: Stage, seen: list[Entered], units: int) -> None:
    law = season_shares(stage, seen, units)
    found = [law.weight @ law.p, law.weight @ law.p**2]
    assert found == pytest.approx(posterior_moments(stage, seen), abs=1e-8)
    assert law.weight.sum() == pytest.approx(1.0)
    assert law.p + law.q == pytest.approx(1.0)


@pytest.mark.parametrize(("stage", "seen"), EVIDENCE)
def test_draws_of_the_season_s_share_follow_its_posterior(stage: Stage, seen: list[Entered]) -> None:
    p, q = draw_shares(stage, seen, (np.arange(20_000) + 0.5) / 20_000)
    assert p + q == pytest.approx(1.0)
    assert [p.mean(), (p**2).mean()] == pytest.approx(posterior_moments(stage, seen), abs=1e-4)


def test_one_unit_still_waiting() -> None:
    """Nine in ten passes would have happened, two in ten losses shown: it will probably be lost."""
    stage = Stage("take", 0.75, 20)

    def joint(p: float, still: float) -> float:
        return beta.pdf(p, 15 + 5, 5 + 1) * still

    passing = quad(lambda p: joint(p, p * 0.1), 0, 1)[0]
    either = quad(lambda p: joint(p, p * 0.1 + (1 - p) * 0.8), 0, 1)[0]
    outlook = the(Wish(1, (Entered(0, 5, 1, 1, 0.9, 0.2),)), [stage])
    assert outlook.chance == pytest.approx(passing / either, abs=1e-8)
    assert outlook.chance < 0.4


def enumerated(stages: list[Stage], wish: Wish, others: list[Entered]) -> np.ndarray:
    """Every combination of points of the season's shares, and for each the sum of its binomials."""
    entered = [*others, *wish.own]
    laws = [
        season_shares(stage, [e for e in entered if e.stage == s], wish.waiting)
        for s, stage in enumerate(stages)
    ]
    total = np.zeros(wish.waiting + 1)
    for points in itertools.product(*(range(law.p.size) for law in laws)):
        given = np.ones(1)
        for e in wish.own:
            at = laws[e.stage].p[points[e.stage]]
            passing, failing = 1 - e.passes_due, 1 - (e.losses_due or 0.0)
            through = at * passing / (at * passing + (1 - at) * failing)
            through *= math.prod(laws[s].p[points[s]] for s in range(e.stage + 1, len(stages)))
            given = np.convolve(given, binom.pmf(np.arange(e.waiting + 1), e.waiting, through))
        total += given * math.prod(law.weight[i] for law, i in zip(laws, points, strict=True))
    return total


@pytest.mark.parametrize(
    ("stages", "own", "others"),
    [
        (SHEET[2:], (Entered(0, waiting=3), Entered(1, 2, 1, 4, 0.3, 0.5)), []),
        (
            [Stage("a", 0.8, 4), Stage("b", 0.7, 3)],
            (Entered(0, 4, 0, 2, 0.5, 0.2), Entered(0, 0, 3, 3, 0.1, 0.9), Entered(1, 1, 0, 3, 0.6, 0.6)),
            [Entered(0, 9, 2, 5, 0.5, 0.4), Entered(1, 6, 1)],
        ),
        (
            [Stage("a", 0.8, 4), Stage("sorted", 1.0), Stage("b", 0.7)],
            (Entered(0, waiting=5), Entered(2, waiting=4)),
            [],
        ),
    ],
)
def test_the_law_equals_enumeration(
    stages: list[Stage], own: tuple[Entered, ...], others: list[Entered]
) -> None:
    wish = Wish(4, own)
    (outlook,) = outlooks(stages, [wish], others)
    law = enumerated(stages, wish, others)
    tail = [outlook.left.at_least(k) for k in range(wish.waiting + 1)]
    assert tail == pytest.approx(list(law[::-1].cumsum()[::-1]), abs=1e-9)
    up_to = law.cumsum() + 1e-12
    points = [int(np.argmax(up_to >= level)) for level in (0.1, 0.5, 0.9)]
    assert [outlook.low, outlook.median, outlook.high] == points


def simulated(
    rng: np.random.Generator, stages: list[Stage], own: tuple[Entered, ...], draws: int
) -> np.ndarray:
    """Plain draws of the season and then of every group, one stage after the other."""
    arriving = np.zeros(draws, dtype=int)
    for number, stage in enumerate(stages):
        seen = [e for e in own if e.stage == number]
        if stage.weight is None:
            p = np.full(draws, stage.mean)
        else:
            grid = (np.arange(200_000) + 0.5) / 200_000
            log = beta(stage.passing, stage.weight - stage.passing).logpdf(grid)
            for e in seen:
                log += e.passed * np.log(grid) + e.lost * np.log1p(-grid)
                log += e.waiting * np.log(grid * (1 - e.passes_due) + (1 - grid) * (1 - (e.losses_due or 0)))
            weight = np.exp(log - log.max()).cumsum()
            p = grid[np.searchsorted(weight / weight[-1], rng.random(draws))]
        arriving = rng.binomial(arriving, p)
        for e in seen:
            passing, failing = p * (1 - e.passes_due), (1 - p) * (1 - (e.losses_due or 0))
            arriving = arriving + rng.binomial(e.waiting, passing / (passing + failing))
    return arriving


LARGE = (
    Entered(0, 300, 40, 1500, 0.2, 0.3),
    Entered(1, 200, 15, 700, 0.4, 0.1),
    Entered(2, 150, 5, 300),
    Entered(3, 10, 2, 200, 0.05, 0.5),
)
MIDDLE = tuple(Entered(e.stage, e.passed, e.lost, e.waiting // 3, e.passes_due, e.losses_due) for e in LARGE)


@pytest.mark.parametrize("own", [LARGE, MIDDLE, (Entered(0, waiting=20_000),)])
def test_large_wishes_agree_with_a_million_draws(own: tuple[Entered, ...]) -> None:
    draws = 1_000_000
    left = simulated(np.random.default_rng(5), SHEET, own, draws)
    for want in np.quantile(left, [0.05, 0.3, 0.6, 0.95]).astype(int):
        outlook = the(Wish(int(want), own))
        share = (left >= want).mean()
        assert (outlook.error > 0) == (sum(e.waiting for e in own) > MOST_EXACT)
        assert outlook.error < 0.005
        assert abs(outlook.chance - share) < 3 * math.hypot(
            outlook.error, math.sqrt(share * (1 - share) / draws)
        )


@pytest.mark.parametrize(("first", "second"), [(10, 30), (150, 400)])
def test_wishes_that_share_a_season_are_met_together(first: int, second: int) -> None:
    """With one stage the joint chance is one integral over scipy's Beta and binomial laws."""
    stage = Stage("take", 0.75, 20)
    wishes = [Wish(int(units * 0.7), (Entered(0, waiting=units),)) for units in (first, second)]
    both, error = together([stage], wishes)

    def given(p: float) -> float:
        tails = (binom.sf(w.want - 1, w.waiting, p) for w in wishes)
        return math.prod(tails) * beta.pdf(p, 15, 5)

    exact = math.fsum(quad(given, a / 20, (a + 1) / 20, limit=100)[0] for a in range(20))
    assert error < 0.005
    assert abs(both - exact) < max(3 * error, 5e-4)
    apart = math.prod(outlook.chance for outlook in outlooks([stage], wishes))
    assert both > apart + 0.05


@pytest.mark.parametrize("units", [150, 900])
def test_drawing_and_summing_agree(units: int) -> None:
    wish = Wish(int(units * 0.35), (Entered(0, 30, 2, units - 50, 0.2, 0.1), Entered(3, waiting=50)))
    drawn, error = together(SHEET, [wish])
    assert abs(drawn - the(wish).chance) < 3 * error


def test_the_smallest_top_up() -> None:
    wishes = [Wish(30, (Entered(0, 20, 12), Entered(1, waiting=20))), Wish(4, (Entered(1, waiting=5),))]

    def with_more(more: int) -> float:
        grown = Wish(30, (*wishes[0].own, Entered(0, waiting=more)))
        return outlooks(SHEET, [grown, wishes[1]])[0].chance

    needed = top_up(SHEET, wishes, 0, 0.9, 200)
    assert needed is not None
    assert with_more(needed) >= 0.9 > with_more(needed - 1)
    assert top_up(SHEET, wishes, 0, 0.9, needed - 1) is None
    assert top_up(SHEET, wishes, 0, 0.9, needed) == needed
    assert top_up(SHEET, [Wish(3, (Entered(3, waiting=30),))], 0, 0.9, 0) == 0
    grown = top_up([Stage("take", 0.5)], [Wish(700, (Entered(0, waiting=900),))], 0, 0.9, 9000)
    assert grown is not None
    assert binom.sf(699, 900 + grown, 0.5) == pytest.approx(0.9, abs=0.005)


def test_promises_are_served_in_their_order() -> None:
    outlook = the(Wish(10, (Entered(0, waiting=8),), done=3), [Stage("take", 0.75, 20)])
    expected = [1.0, *betabinom.sf([3 - 1, 8 - 1], 8, 15, 5), 0.0]
    assert promised(outlook.left, [3, 3, 5, 1]) == pytest.approx(expected, abs=1e-8)
    assert promised(outlook.left, []) == []


def test_a_sheet_silent_on_losses_tells_only_what_is_closed() -> None:
    silent = Entered(0, 9, 1, 10, 0.5, None)
    closed = Entered(0, 9, 11, 0, 1.0, None)
    sheet = [Stage("take", 0.75, 20)]
    untold = [chance(want, 10, sheet) for want in range(1, 11)]
    outlook = the(Wish(5, (silent,)), sheet)
    assert [outlook.left.at_least(want) for want in range(1, 11)] == pytest.approx(untold, abs=1e-8)
    (told,) = outlooks(sheet, [Wish(5, (Entered(0, waiting=10),))], [closed])
    assert told.chance == pytest.approx(betabinom.sf(4, 10, 15 + 9, 5 + 11), abs=1e-8)


def test_nothing_waiting_is_what_is_done() -> None:
    outlook = the(Wish(4, (), done=4))
    assert (outlook.chance, outlook.low, outlook.median, outlook.high) == (1.0, 4, 4, 4)
    assert the(Wish(5, (Entered(3, 4, 1),), done=4)).chance == 0.0


def a_season(
    rng: random.Random, sheet: list[Stage], loss_days: float
) -> tuple[list[Wish], list[Entered], int]:
    """A simulated season: each batch entered its stage on one day, and is looked at on another.

    Passes come after 12 days in the middle, losses show after `loss_days`, both log-normal with spread 0.4.
    """
    shares = [rng.betavariate(s.passing, s.weight - s.passing) for s in sheet if s.weight]
    own, others, left = [], [], 0
    for batch in range(6):
        at, age = rng.randrange(len(sheet)), rng.uniform(2, 30)
        due, shown = (float(ndtr(math.log(age / days) / 0.4)) for days in (12.0, loss_days))
        units = 150 if batch < 3 else 40  # many, so that whole numbers hardly widen the intervals
        seen = others if batch >= 3 else own
        for stage in range(at):
            alive_after = sum(rng.random() < shares[stage] for _ in range(units))
            seen.append(Entered(stage, alive_after, units - alive_after, 0, 1.0, 1.0))
            units = alive_after
        good = sum(rng.random() < shares[at] for _ in range(units))
        passed, lost = (
            sum(rng.random() < x for _ in range(n)) for n, x in ((good, due), (units - good, shown))
        )
        seen.append(Entered(at, passed, lost, units - passed - lost, due, shown))
        if passed:
            seen.append(Entered(at + 1, waiting=passed)) if at + 1 < len(sheet) else None
        for stage in range(at + 1, len(sheet)):
            good = sum(rng.random() < shares[stage] for _ in range(good))
        left += good if batch < 3 else 0
    finished = sum(e.passed for e in own if e.stage == len(sheet) - 1)
    return [Wish(60, tuple(own), finished)], others, left


def share_covered(seed: int, seasons: int, loss_days: float) -> float:
    rng = random.Random(seed)
    sheet = [Stage("swollen", 0.75, 12), Stage("weaned", 0.85, 20), Stage("settled", 0.8, 9)]
    covered = 0
    for _ in range(seasons):
        wishes, others, left = a_season(rng, sheet, loss_days)
        (outlook,) = outlooks(sheet, wishes, others)
        covered += outlook.low <= left <= outlook.high
    return covered / seasons


@pytest.mark.parametrize("loss_days", [5.0, 25.0], ids=["losses show early", "losses show late"])
def test_intervals_cover_simulated_seasons(loss_days: float) -> None:
    """Three standard errors round 80 %, wider by the 3 % that the long count allows."""
    seasons = 150
    band = 0.03 + 3 * math.sqrt(0.8 * 0.2 / seasons)
    assert abs(share_covered(1, seasons, loss_days) - 0.8) < band


@pytest.mark.long
@pytest.mark.parametrize("loss_days", [5.0, 25.0], ids=["losses show early", "losses show late"])
def test_intervals_cover_simulated_seasons_in_full(loss_days: float) -> None:
    assert 0.77 <= share_covered(2, 4000, loss_days) <= 0.83


def test_what_cannot_be_counted_is_refused() -> None:
    with pytest.raises(CountsAmiss) as caught:
        Entered(0, -1, 2, 3, 0.5, 0.2)
    assert str(caught.value) == (
        "Of stage 1, -1 passed, 2 lost and 3 waiting, with 0.5 and 0.2 due, cannot be. "
        "Give counts of 0 or more, and shares due from 0 to 1."
    )
    with pytest.raises(CountsAmiss):
        Entered(0, passes_due=math.nan)
    with pytest.raises(NoSuchStage) as nowhere:
        outlooks(SHEET, [Wish(1, (Entered(4, waiting=1),))])
    assert str(nowhere.value) == (
        "Units stand at stage 5 of a sheet that has 4. Give the sheet the batch was made with."
    )


def test_chains_of_known_shares_stay_exact() -> None:
    stages = [Stage("a", 0.9), Stage("b", 1.0), Stage("c", 0.7)]
    law = left_after(25, stages)
    outlook = the(Wish(15, (Entered(0, waiting=25),)), stages)
    assert outlook.chance == pytest.approx(law[15:].sum(), abs=1e-12)
