"""How well drills are ranked from so many balls: players whose true payoffs are known, and what the tool makes of them.

A player's truth is what their own worths say, with the best targets of their own. The tool's view is the mean over
posterior draws, valued as ``rangework.worth.part_worths`` does it, but with one table of error points instead of
four, on the coarser layout that draws are always valued on, and on nine holes counted twice.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache, partial
from importlib.resources import as_file, files

import numpy as np
from numpy.typing import NDArray
from recorded_players import HiddenPlayer, hidden_player, records_of

from rangework.advice import course_layouts
from rangework.course import read_course
from rangework.course.choices import chosen_pins
from rangework.plan.drills import drill_catalogue, shares
from rangework.plan.hours_program import HoursProblem, solve_relaxed
from rangework.plan.limit_rows import limit_rows
from rangework.plan.limits import safe_limits
from rangework.plan.payoff import payoffs
from rangework.plan.response import ResponseDraws, draw_responses, responses_for
from rangework.plan.returns import PracticeReturns, pair_draws
from rangework.play.lattice import Layout, lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Effort, compile_player, narrowed, solve_course
from rangework.skill.fit import fit_player
from rangework.skill.latents import N_LATENTS, golfer_from_latents
from rangework.skill.model import Golfer
from rangework.skill.parts import PART_IDS
from rangework.skill.reference import reference_golfer
from rangework.worth import WorthPoints, golfer_worths
from rangework.worth.savings import reached_nodes

FloatArray = NDArray[np.float64]

#: Rows of records; with none the stated handicap must do.
AMOUNTS = (0, 50, 150, 500, 1500, 5000)
WEEKS, WEEK_HOURS = 8.0, 6.0
#: Draws of responses: as many as ``rangework plan`` pairs with its draws of skill, and enough for their mean.
PAIRED, MANY = 100, 4000
ROUND_HOLES = 18


@dataclass(frozen=True)
class Studied:
    """A player's true worths [part], those of the reference golfer of the stated handicap, and by amount of records
    the tool's [draw, part]; strokes a round per step.
    """

    seed: int
    stated: float
    level: float
    true: FloatArray
    reference: FloatArray
    found: dict[int, FloatArray]


@dataclass(frozen=True)
class Ranked:
    """What following a ranking gains, [player]: true gain of the best choice, of the choice ranked first, and place
    of the best choice in the ranking (0 is first).
    """

    best: FloatArray
    taken: FloatArray
    place: NDArray[np.int64]

    @property
    def lost(self) -> FloatArray:
        """Strokes a round lost by taking the first instead of the best."""
        return self.best - self.taken

    def within(self, places: int) -> float:
        """How often the best choice is among the first so many."""
        return float((self.place < places).mean())


@cache
def layouts(holes: int = 9, *, coarse: bool = True) -> tuple[Layout, ...]:
    """The first holes of the demo course from its middle tees, as draws are valued (coarse) or as means are."""
    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        course = read_course(path)
    tee = course.tees[len(course.tees) // 2]
    fine = course_layouts(course, tee.name, chosen_pins(course, None))[:holes]
    return tuple(_coarse(layout) if coarse else layout for layout in fine)


def _coarse(layout: Layout) -> Layout:
    return lay_out(layout.grid, coarse_step_m=14.0, fine_step_m=7.0, conditions=layout.conditions)


def quick_effort() -> Effort:
    """Targets that cost the mean golfer 0.07 strokes a round beside the standard effort, in two thirds of its time."""
    return Effort(
        far=(error_points(48, 12), error_points(160, 32, 0.1), error_points(320, 64, 0.3, 8)),
        near=(error_points(32, 8), error_points(96, 24, 0.1), error_points(128, 32, 0.3, 8)),
    )


def study(seeds: Sequence[int], amounts: Sequence[int], draws: int, processes: int) -> list[Studied]:
    """The players of ``seeds``, in processes of one thread each; the answer does not depend on their number."""
    one = partial(studied, amounts=tuple(amounts), draws=draws)
    if processes == 1:
        return [one(seed) for seed in seeds]
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as pool:
        return list(pool.map(one, seeds))


def studied(seed: int, amounts: Sequence[int], draws: int) -> Studied:
    """One player: the truth, and what the tool would say with each amount of records."""
    hidden = hidden_player(seed)
    found = {amount: worths_of_draws(*plausible_golfers(hidden, amount, draws)) for amount in amounts}
    reference = reference_golfer(hidden.stated)
    return Studied(seed, hidden.stated, hidden.level, own_worths(hidden.golfer), own_worths(reference), found)


def own_worths(golfer: Golfer) -> FloatArray:
    """[part] strokes a round per step for a golfer with the best targets of their own."""
    holes = layouts()
    strategies = solve_course(holes, compile_player(golfer), threads=1)
    return ROUND_HOLES / len(holes) * golfer_worths(strategies, golfer, threads=1)


def plausible_golfers(hidden: HiddenPlayer, amount: int, draws: int) -> tuple[Golfer, list[Golfer]]:
    """The mean and draws of the fit to so many records; of the prior without any."""
    if amount:
        fitted = fit_player(records_of(hidden, amount), handicap=hidden.stated, seed=hidden.seed)
        return fitted.mean, fitted.draws(draws)
    latents = np.random.default_rng(hidden.seed).standard_normal((draws, N_LATENTS))
    mean = golfer_from_latents(np.zeros(N_LATENTS), hidden.prior)
    return mean, [golfer_from_latents(x, hidden.prior) for x in latents]


def worths_of_draws(mean: Golfer, draws: Iterable[Golfer]) -> FloatArray:
    """[draw, part] strokes a round per step: the mean's targets, played by every draw."""
    holes = layouts()
    strategies = solve_course(holes, compile_player(mean), effort=quick_effort(), threads=1)
    many = golfer_worths(strategies, mean, threads=1)
    quick = WorthPoints.quick()
    reached = reached_nodes(strategies, mean, quick)
    few_nodes = [narrowed(strategy, nodes) for strategy, nodes in zip(strategies, reached, strict=True)]

    def quickly(golfer: Golfer) -> FloatArray:
        return golfer_worths(few_nodes, golfer, aimed_by=mean, points=quick, reached=reached, threads=1)

    found = np.array([quickly(golfer) for golfer in draws]) + (many - quickly(mean))
    return np.asarray(ROUND_HOLES / len(holes) * found)


@cache
def steps_of_an_hour(stated: float) -> FloatArray:
    """[drill, part] steps that an hour a week of each drill is expected to gain, the response at its prior mean."""
    returns = PracticeReturns(np.zeros((1, len(PART_IDS))), _responses(stated, MANY), WEEKS)
    acting = shares(drill_catalogue())
    gained: FloatArray = returns.mean_steps(acting) - returns.mean_steps(np.zeros(len(PART_IDS)))
    return gained


def _responses(stated: float, count: int) -> ResponseDraws:
    return draw_responses(responses_for(stated), count, np.random.default_rng(0))


def true_payoffs(player: Studied) -> FloatArray:
    """[drill] strokes a round that an hour a week of each saves this player."""
    return np.asarray(steps_of_an_hour(player.stated) @ player.true)


def told_payoffs(player: Studied, amount: int) -> FloatArray:
    """[drill] the payoffs by which ``rangework plan`` ranks drills."""
    returns = pair_draws(player.found[amount], _responses(player.stated, PAIRED), WEEKS)
    return np.array([each.first_hour.value for each in payoffs(returns, drill_catalogue())])


def ranked(true: Sequence[FloatArray], told: Sequence[FloatArray]) -> Ranked:
    """How the choices that are told to gain most do in truth, player by player."""
    best, taken, place = [], [], []
    for gains, ranking in zip(true, told, strict=True):
        order = np.argsort(-ranking, kind="stable")
        best.append(gains.max())
        taken.append(gains[order[0]])
        place.append(int(np.flatnonzero(order == gains.argmax())[0]))
    return Ranked(np.array(best), np.array(taken), np.array(place))


def lost_by_week(player: Studied, told: FloatArray) -> float:
    """Strokes a round that a week of hours made from worths [draw, part] or [part] saves less than the best week.

    Both are the linear program's, before blocks and five-minute steps.
    """
    truth = _week(player.true, _responses(player.stated, MANY // 10))
    hours = solve_relaxed(_week(told, _responses(player.stated, PAIRED))).hours
    return truth.saving(solve_relaxed(truth).hours) - truth.saving(hours)


def saved_by_best_week(player: Studied) -> float:
    """Strokes a round between the best week of hours and no practice."""
    truth = _week(player.true, _responses(player.stated, MANY // 10))
    best = solve_relaxed(truth).hours
    return truth.saving(best) - truth.saving(np.zeros_like(best))


def _week(worths: FloatArray, responses: ResponseDraws) -> HoursProblem:
    limits = safe_limits(hours=WEEK_HOURS)
    drills = drill_catalogue()
    return HoursProblem(
        drills, pair_draws(worths, responses, WEEKS), limit_rows(limits, drills), limits.budget
    )
