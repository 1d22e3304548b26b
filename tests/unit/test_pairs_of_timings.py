"""The figures of the benchmarks say what was timed."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from house import ROOT

if TYPE_CHECKING:
    from types import ModuleType


@pytest.fixture
def pair(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(ROOT / "benchmarks")
    import _pair

    return _pair


def test_both_run_equally_often_and_each_goes_first_in_half_of_the_rounds(pair: ModuleType) -> None:
    ran: list[str] = []
    timing = pair.time_in_turn(lambda: ran.append("ours"), lambda: ran.append("peer"), rounds=4)
    untimed, timed = ran[:2], ran[2:]
    assert sorted(untimed) == ["ours", "peer"]
    assert [tuple(timed[i : i + 2]) for i in range(0, 8, 2)] == [("peer", "ours"), ("ours", "peer")] * 2
    assert len(timing.ours_s) == len(timing.peer_s) == 4


def test_each_time_is_booked_to_the_work_that_took_it(
    pair: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [0.0]
    monkeypatch.setattr(pair, "perf_counter", lambda: clock[0])

    def taking(seconds: float) -> object:
        return lambda: clock.__setitem__(0, clock[0] + seconds)

    timing = pair.time_in_turn(taking(3.0), taking(1.0), rounds=5)
    assert (timing.ours_s, timing.peer_s) == ((3.0,) * 5, (1.0,) * 5)


@pytest.mark.parametrize(
    ("at_most", "word"), [(3.0, "met"), (2.9, "not met")], ids=["on the target", "just above it"]
)
def test_the_sentence_gives_medians_ratio_target_and_verdict(
    pair: ModuleType, at_most: float, word: str
) -> None:
    timing = pair.Timing(ours_s=(0.2, 0.3, 0.9), peer_s=(0.1, 0.1, 0.1))
    told = pair.sentence("ours", "peer", timing, at_most=at_most)
    assert told == (
        f"ours: 0.3000 s, peer: 0.1000 s, ratio 3.00 (2.00 to 9.00), target at most {at_most:g}: {word}"
    )


def test_a_command_that_fails_ends_the_benchmark(pair: ModuleType) -> None:
    with pytest.raises(pair.subprocess.CalledProcessError):
        pair.command(sys.executable, "-c", "raise SystemExit(3)")()
