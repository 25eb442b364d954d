"""From records and a course to the week's hours: what stands behind every command that plays.

``prepare`` fits the player and finds the best targets; ``simulate``, ``value_parts`` and ``make_plan`` build on
it; ``advise`` tells the whole story.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.course.geometry import Course, Rating, TeeSet
from rangework.course.ground_grid import ground_grid
from rangework.errors import InputError, Problem
from rangework.plan.cautions import cautions
from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.limits import Limits
from rangework.plan.replay import ReplayedPlan, plan_with_replay
from rangework.plan.response import ResponseOverride, draw_responses, responses_for
from rangework.play.lattice import Layout, lay_out
from rangework.play.rounds import RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player
from rangework.skill.model import Golfer
from rangework.skill.parts import improve
from rangework.skill.posterior import Posterior
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.worth import REPLICATES, WorthTable, part_worths

#: Posterior draws that worths and plans rest on.
WORTH_DRAWS = 100
#: Draws that replay a plan, and the rounds each of them plays before and after practice.
REPLAY_DRAWS, REPLAY_ROUNDS = 40, 1000

#: Told how much of a piece of work is done: (done, total).
ProgressReport = Callable[[float, float], None]


@dataclass(frozen=True, slots=True)
class Prepared:
    """A player ready to play a course.

    ``golfer`` is the posterior mean, whose best targets ``strategies`` hold; ``pins`` names the pin of each hole.
    """

    posterior: Posterior
    golfer: Golfer
    profile: PlayerProfile
    course: Course
    tee: TeeSet
    pins: tuple[str, ...]
    layouts: tuple[Layout, ...]
    strategies: tuple[Strategy, ...]
    seed: int
    threads: int

    @property
    def rating(self) -> Rating | None:
        """The rating of the tees for this player's reference golfers (men's or women's)."""
        return self.tee.women if self.profile.reference == "women" else self.tee.men


@dataclass(frozen=True, slots=True)
class Advice:
    """The main job's answer: what each part is worth, and the week's hours with their replay."""

    prepared: Prepared
    worths: WorthTable
    plan: ReplayedPlan
    cautions: tuple[str, ...]


def advise(
    records: ShotRecords,
    course: Course,
    limits: Limits,
    *,
    profile: PlayerProfile | None = None,
    seed: int = 0,
    threads: int = 2,
) -> Advice:
    """Records, a course and the week's limits in; the parts' worths and the plan out.

    ``limits`` as ``rangework.plan.limits.safe_limits`` makes them. Raises InputError, FitError and
    NoFeasiblePlanError.
    """
    prepared = prepare(records, course, profile=profile, seed=seed, threads=threads)
    worths = value_parts(prepared)
    drills = drill_catalogue()
    plan = make_plan(prepared, worths, limits, drills=drills)
    return Advice(prepared, worths, plan, plan_cautions(prepared, plan, drills, limits))


def prepare(
    records: ShotRecords,
    course: Course,
    *,
    profile: PlayerProfile | None = None,
    tee: str | None = None,
    pin: str | None = None,
    seed: int = 0,
    threads: int = 2,
) -> Prepared:
    """Fit the player and find the best targets everywhere on the course.

    ``tee`` names a tee set (the middle one of the file unless given), ``pin`` the pin of every hole that has one
    of that name; otherwise the pins of each hole take turns, hole by hole. Raises InputError and FitError.
    """
    profile = profile or PlayerProfile()
    tee_set, pins = chosen_tee(course, tee), chosen_pins(course, pin)
    posterior = fit_player(records, profile=profile, seed=seed)
    golfer = posterior.mean
    layouts = course_layouts(course, tee_set.name, pins)
    strategies = tuple(solve_course(layouts, compile_player(golfer), threads=threads))
    return Prepared(posterior, golfer, profile, course, tee_set, pins, layouts, strategies, seed, threads)


def chosen_tee(course: Course, name: str | None) -> TeeSet:
    """The tee set of that name, or the middle one. Raises InputError for a name that is not there."""
    if name is None:
        return course.tees[len(course.tees) // 2]
    for tee in course.tees:
        if tee.name == name:
            return tee
    raise InputError(Problem("--tee", "", name, "one of " + ", ".join(tee.name for tee in course.tees)))


def chosen_pins(course: Course, name: str | None) -> tuple[str, ...]:
    """The pin of each hole: that of the name where the hole has it, otherwise pins in turn.

    Raises InputError for a name that no hole has.
    """
    known = sorted({pin for hole in course.holes for pin in hole.pins})
    if name is not None and name not in known:
        raise InputError(Problem("--pin", "", name, "one of " + ", ".join(known)))
    return tuple(
        name if name in hole.pins else list(hole.pins)[index % len(hole.pins)]
        for index, hole in enumerate(course.holes)
    )


def course_layouts(course: Course, tee: str, pins: Sequence[str]) -> tuple[Layout, ...]:
    """Every hole of the course from one tee set, prepared for the kernels."""
    return tuple(lay_out(ground_grid(hole, tee, pin)) for hole, pin in zip(course.holes, pins, strict=True))


def golfer_of_level(level: float | str) -> Golfer:
    """The reference golfer of a handicap index, or ``tour``."""
    return tour_golfer() if level == "tour" else reference_golfer(float(level))


def simulate(prepared: Prepared, rounds: int, *, against: float | str | None = None) -> RoundSample:
    """Rounds of the posterior mean, strokes gained counted on a reference golfer.

    ``against``: a handicap index or ``tour``; the player's own level unless given.
    """
    level = prepared.posterior.reference_level if against is None else against
    reference = compile_player(golfer_of_level(level))
    theirs = solve_course(prepared.layouts, reference, threads=prepared.threads)
    return play_rounds(
        prepared.strategies,
        compile_player(prepared.golfer),
        rounds,
        seed=prepared.seed,
        against=theirs,
        against_player=reference,
        threads=prepared.threads,
    )


def value_parts(
    prepared: Prepared, *, draws: int = WORTH_DRAWS, progress: ProgressReport | None = None
) -> WorthTable:
    """What one step of every part saves this player on this course, over posterior draws."""
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        if progress:
            progress(done, draws + REPLICATES)

    return part_worths(
        prepared.strategies,
        prepared.golfer,
        prepared.posterior.draws(draws),
        threads=prepared.threads,
        progress=step,
    )


def make_plan(
    prepared: Prepared,
    worths: WorthTable,
    limits: Limits,
    *,
    drills: Sequence[Drill] | None = None,
    responses: Mapping[str, ResponseOverride] | None = None,
    horizon_weeks: float = 8.0,
) -> ReplayedPlan:
    """The week's hours that save most, their promise replayed by simulated rounds.

    ``responses``: a coach's own view of how parts answer to practice. Raises NoFeasiblePlanError.
    """
    level = float(np.clip(prepared.posterior.reference_level, -10.0, 54.0))
    draws = draw_responses(
        responses_for(level, responses), len(worths.draws), np.random.default_rng(prepared.seed)
    )
    return plan_with_replay(
        worths.draws,
        draws,
        drills or drill_catalogue(),
        limits,
        Rehearsal(prepared),
        horizon_weeks=horizon_weeks,
    )


def plan_cautions(
    prepared: Prepared, plan: ReplayedPlan, drills: Sequence[Drill], limits: Limits
) -> tuple[str, ...]:
    """The cautions that belong to a plan for this player."""
    profile = prepared.profile
    return cautions(plan.plan, drills, limits, age=profile.age, usual_swings_per_week=profile.swings_a_week)


class Rehearsal:
    """Plays rounds after practice beside the same rounds today: same draws, same luck.

    Posterior draws stand for what is not known of the player. Each plays with the targets of the posterior
    mean, found anew for the game after practice.
    """

    def __init__(self, prepared: Prepared) -> None:
        self._prepared = prepared
        self._draws = prepared.posterior.draws(REPLAY_DRAWS)
        self._today = self._scores(prepared.strategies, prepared.golfer, self._draws)

    def __call__(self, steps: Mapping[str, float]) -> tuple[float, float]:
        """Strokes a round saved by ``steps`` of each part (negative: lost), and their standard error."""
        golfer = _improved(self._prepared.golfer, steps)
        strategies = solve_course(
            self._prepared.layouts, compile_player(golfer), threads=self._prepared.threads
        )
        after = self._scores(strategies, golfer, [_improved(draw, steps) for draw in self._draws])
        saved = self._today - after
        return float(saved.mean()), float(saved.std(ddof=1) / np.sqrt(saved.size))

    def _scores(
        self, strategies: Sequence[Strategy], planner: Golfer, draws: Sequence[Golfer]
    ) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.concatenate(
            [
                play_rounds(
                    strategies,
                    compile_player(draw, aimed_by=planner),
                    REPLAY_ROUNDS,
                    seed=self._prepared.seed,
                    first_round=number * REPLAY_ROUNDS,
                    threads=self._prepared.threads,
                ).scores.astype(np.float64)
                for number, draw in enumerate(draws)
            ]
        )


def _improved(golfer: Golfer, steps: Mapping[str, float]) -> Golfer:
    for part, count in steps.items():
        golfer = improve(golfer, part, count)
    return golfer
