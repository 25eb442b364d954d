"""A ladder's odds with the doubt about its chances, when to stop, and the hardest ladder for a given time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rangework.assessment.ladder import MET_BY, MOST_RUNGS, Ladder, LadderOdds, OnMiss, uncertain_ladder
from rangework.assessment.ladder_words import LadderWish
from rangework.assessment.rungs import Rung, RungChances

#: An attempt is given up where it has become less likely than this to meet the cap.
GIVE_UP_BELOW = 0.2
#: The places within the cap at which one looks whether to go on.
_LOOKS = (0.25, 0.5, 0.75)


@dataclass(frozen=True, slots=True)
class Look:
    """After so many balls, go on from ``rung`` (1 is the first) or higher; None where no rung is high enough."""

    balls: int
    rung: int | None


@dataclass(frozen=True, slots=True)
class HardestLadder:
    """The most rungs that 80 % of attempts finish within the time; none where not even one rung is."""

    on_miss: OnMiss
    rungs: int
    odds: LadderOdds | None


@dataclass(frozen=True, slots=True)
class LadderReport:
    """What a ladder asks.

    ``ranges``: 90 % ranges of the chances, where a player's records say how sure they are; ``rungs`` those of that
    player, and ``zone_scale`` how much smaller (or larger) their zones may be for the time given, None for none.
    ``uncertain`` and ``uncertain_within_cap`` allow for the doubt about the chances, where the balls behind them were
    stated or records tell; ``looks`` say when to stop an attempt that is to meet the cap of 80 % of attempts.
    """

    chances: tuple[float, ...]
    ranges: tuple[tuple[float, float], ...]
    on_miss: OnMiss
    odds: LadderOdds
    cap: int | None
    chance_within_cap: float | None
    seen: float | None
    uncertain: LadderOdds | None
    uncertain_within_cap: float | None
    looks: tuple[Look, ...]
    balls_in_time: int | None
    hardest: tuple[HardestLadder, ...]
    rungs: tuple[Rung, ...] = ()
    zone_scale: float | None = None


def ladder_report(wish: LadderWish, on_miss: OnMiss) -> LadderReport:
    """Everything that was asked about a ladder of stated chances."""
    doubtful = None if wish.seen is None else uncertain_ladder(wish.chances, wish.seen, on_miss)
    report = _report(wish, wish.chances, (), on_miss, doubtful)
    if report.balls_in_time is None:
        return report
    found = tuple(hardest(wish.chances, rule, report.balls_in_time) for rule in OnMiss)
    return replace(report, hardest=found)


def player_ladder_report(wish: LadderWish, player: RungChances, on_miss: OnMiss) -> LadderReport:
    """Everything that was asked about a ladder of a player's rungs."""
    drawn = player.chances()
    low, high = np.quantile(drawn, [0.05, 0.95], axis=0).tolist()
    chances = tuple(drawn.mean(axis=0).tolist())
    ranges = tuple(zip(low, high, strict=True))
    report = _report(wish, chances, ranges, on_miss, player.ladder(on_miss))
    balls = report.balls_in_time
    scale = None if balls is None else player.smallest_zones(on_miss, balls)
    return replace(report, rungs=player.rungs, zone_scale=scale)


def _report(
    wish: LadderWish,
    chances: tuple[float, ...],
    ranges: tuple[tuple[float, float], ...],
    on_miss: OnMiss,
    doubtful: Ladder | None,
) -> LadderReport:
    ladder = Ladder(chances, on_miss)
    odds, cap = ladder.odds(), wish.cap
    balls = None if wish.minutes is None else int(wish.minutes * 60.0 / wish.seconds_a_ball)
    judged = doubtful if ranges and doubtful else ladder
    return LadderReport(
        chances,
        ranges,
        on_miss,
        odds,
        cap,
        None if cap is None else ladder.chance_within(cap),
        wish.seen,
        doubtful.odds() if doubtful else None,
        doubtful.chance_within(cap) if doubtful and cap is not None else None,
        tuple(when_to_stop(judged, cap or judged.cap_met_by(MET_BY))),
        balls,
        (),
    )


def when_to_stop(ladder: Ladder, cap: int | None) -> list[Look]:
    """From which rung an attempt is still worth going on with, at a quarter, a half and three quarters of the cap."""
    if cap is None:
        return []
    looks = []
    for balls in sorted({round(share * cap) for share in _LOOKS} - {0, cap}):
        enough = [
            rung + 1
            for rung in range(ladder.rungs)
            if ladder.chance_within(cap - balls, rung) >= GIVE_UP_BELOW
        ]
        looks.append(Look(balls, min(enough) if enough else None))
    return looks


def hardest(chances: Sequence[float], on_miss: OnMiss, balls: int) -> HardestLadder:
    """The ladder of most rungs, each like the last one said where there are more, that 80 % finish in ``balls``."""
    rungs = [*chances, *[chances[-1]] * MOST_RUNGS][:MOST_RUNGS]
    low, high = 0, MOST_RUNGS
    while low < high:
        middle = (low + high + 1) // 2
        if Ladder(rungs[:middle], on_miss).chance_within(balls) >= MET_BY:
            low = middle
        else:
            high = middle - 1
    return HardestLadder(on_miss, low, Ladder(rungs[:low], on_miss).odds() if low else None)
