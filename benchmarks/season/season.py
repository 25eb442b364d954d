"""A season of one member under every way of choosing hours, and of the whole academy."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Collection, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np
from members import PERIOD_WEEKS, FloatArray, Member, member, recorded, together
from practice import Trained
from ways import EVERY_PERIOD, ONCE, RECORDS_AT_FIRST, SEASON_WEEKS, Seen, Way, forecast

from course import expected_score, lost_by_aiming_at_pins

PERIODS = round(SEASON_WEEKS / PERIOD_WEEKS)
#: Weeks of records before the first plan.
WEEKS_BEFORE = 4.0


@dataclass(frozen=True)
class Season:
    """What came of one member: strokes a round saved against today at week 12 by every way, and what was forecast.

    ``promised``: the first plan's saving, kept up all season, with its 90 % interval; ``aiming``: strokes a round that
    best targets save today beside aiming at every pin.
    """

    seed: int
    level: float
    stated: float
    group: str
    balls_a_fortnight: int
    score_today: float
    saved: Mapping[str, float]
    promised: tuple[float, float, float]
    hours: Mapping[str, FloatArray]  #: [periods, drills]
    aiming: float
    cost_s: float  #: processor seconds


def academy(
    seeds: Sequence[int], processes: int, only: Collection[str] = (), *, quick: bool = False
) -> Iterator[Season]:
    """The seasons of all members in turn; the answer does not depend on the number of processes.

    ``only``: the ways to follow, all of them unless said; ``quick`` as in ``season``.
    """
    one = partial(season, only=only, quick=quick)
    if processes == 1:
        yield from map(one, seeds)
        return
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(one, seeds)


def season(seed: int, only: Collection[str] = (), *, quick: bool = False) -> Season:
    """One member's season under every way, or ``only`` some, from the same first records.

    ``quick``: steps gained times what a step truly saves, in place of scores played out, and the skill always that of
    the first records; retests then teach the response only. It takes a quarter of the time.
    """
    started = time.process_time()
    golfer = member(seed)
    first = Seen(golfer, recorded(golfer, golfer.golfer, 0, WEEKS_BEFORE), SEASON_WEEKS)
    today = float("nan") if quick else expected_score(golfer.golfer)
    hours = {name: _once(first, way) for name, way in _chosen(ONCE, only)}
    hours |= {name: _every_period(first, way, fit=not quick) for name, way in _chosen(EVERY_PERIOD, only)}
    hours |= {name: _every_period(first, way, look=False) for name, way in _chosen(RECORDS_AT_FIRST, only)}
    promised = forecast(first)
    return Season(
        seed=seed,
        level=golfer.level,
        stated=golfer.stated,
        group=golfer.group,
        balls_a_fortnight=golfer.balls_a_fortnight,
        score_today=today,
        saved={name: _saved(first, kept, today, quick=quick) for name, kept in hours.items()},
        promised=(promised.value, promised.low, promised.high),
        hours=hours,
        aiming=lost_by_aiming_at_pins(golfer.golfer),
        cost_s=time.process_time() - started,
    )


def _chosen(ways: Mapping[str, Way], only: Collection[str]) -> list[tuple[str, Way]]:
    return [(name, way) for name, way in ways.items() if not only or name in only]


def _once(first: Seen, way: Way) -> FloatArray:
    return np.tile(way(first), (PERIODS, 1))


def _saved(first: Seen, hours: FloatArray, today: float, *, quick: bool) -> float:
    """Strokes a round saved at the end."""
    at_the_end = _at_the_end(first.member, hours)
    if quick:
        return float(first.true_worths @ at_the_end.steps(first.member))
    return today - expected_score(at_the_end.golfer(first.member))


def _every_period(first: Seen, way: Way, *, look: bool = True, fit: bool = True) -> FloatArray:
    """[periods, drills] hours a week, chosen anew from the records that the hours before them led to.

    Without ``look`` nothing is recorded after the first plan; without ``fit`` records teach nothing of the skill.
    """
    golfer, now, kept = first.member, Trained.at_the_start(), [first.records]
    seen, chosen = first, list[FloatArray]()
    for period in range(PERIODS):
        chosen.append(way(seen))
        if period == PERIODS - 1:
            break
        now = now.after(golfer, chosen[-1], PERIOD_WEEKS)
        left = SEASON_WEEKS - PERIOD_WEEKS * (period + 1)
        if not look:
            seen = Seen(golfer, first.records, left, tuple(chosen), first)
            continue
        kept.append(recorded(golfer, now.golfer(golfer), period + 1, PERIOD_WEEKS))
        seen = Seen(golfer, together(kept), left, tuple(chosen), None if fit else first)
    return np.array(chosen)


def _at_the_end(golfer: Member, hours: FloatArray) -> Trained:
    now = Trained.at_the_start()
    for weekly in hours:
        now = now.after(golfer, weekly, PERIOD_WEEKS)
    return now
