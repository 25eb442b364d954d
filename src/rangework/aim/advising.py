"""One shot of a fitted player on a hole: from a place in words to targets compared."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from rangework.aim.break_even import BreakEven, break_even
from rangework.aim.club_names import NamedClub, club_for
from rangework.aim.comparing import ROUNDS, Choice, Comparison, compare_targets
from rangework.aim.objectives import BestChance, FewestStrokes, Objective, parse_objective, strokes_left
from rangework.aim.places import FromDistance, FromPoint, place_ball
from rangework.aim.played_hole import PlayedHole
from rangework.aim.target_faults import check_targets
from rangework.aim.target_field import TargetField, target_field
from rangework.aim.targets import Aiming, Target, usual_targets
from rangework.aim.values import AimPoints
from rangework.conditions import NEUTRAL, Conditions
from rangework.course.geometry import Course, Hole
from rangework.course.ground_grid import ground_grid
from rangework.course.pin_places import pin_place
from rangework.errors import InputError, Problem
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player, solve_hole
from rangework.skill.posterior import Posterior
from rangework.units import METRES_PER, Units, shot_unit

#: One hole can be solved on a finer lattice than a course.
COARSE_STEP_M, FINE_STEP_M = 6.0, 2.5
_SHORT_SIDE_BASIS = "assumption.aim.short_sided"


@dataclass(frozen=True, slots=True, eq=False)
class AimAdvice:
    """Targets compared for one shot.

    ``score`` is the score that is aimed for, None where the fewest strokes are; ``clubs`` are carries in metres.
    ``line`` is where a shot gains nothing on the golfer of level ``against``, where one was named; ``field`` is what
    targets nearby cost, where it was wanted.
    """

    posterior: Posterior
    comparison: Comparison
    tee: str
    pin: str
    score: int | None
    clubs: Mapping[str, float]
    against: float | str | None = None
    line: BreakEven | None = None
    field: TargetField | None = None

    def club(self, choice: Choice) -> NamedClub | None:
        """The club for a full shot; None without one."""
        full = len(self.comparison.aiming.heights(choice.shot.place_m)) == 1
        return club_for(self.clubs, choice.calm_carry_m) if full else None


def hole_to_aim_at(
    course: Course, number: int, pin: str | None, usual_pin: Mapping[int, str]
) -> tuple[Hole, str]:
    """The hole of that number and the name of its pin, ``usual_pin`` unless given.

    A pin is told as ``course.pin_places`` says. Raises InputError.
    """
    by_number = {hole.number: hole for hole in course.holes}
    if number not in by_number:
        expected = f"a hole of {course.name}: {min(by_number)} to {max(by_number)}"
        raise InputError(Problem("--hole", "", str(number), expected))
    hole, name = by_number[number], pin or usual_pin[number]
    pin_place(hole, name)
    return hole, name


def aim_advice(
    posterior: Posterior,
    hole: Hole,
    tee: str,
    pin: str,
    *,
    place: FromDistance | FromPoint | None = None,
    stroke: int | None = None,
    targets: Sequence[Target] = (),
    objective: str = "mean",
    conditions: Conditions = NEUTRAL,
    against: float | str | None = None,
    clubs: Mapping[str, float] | None = None,
    draws: int = 100,
    rounds: int = ROUNDS,
    units: Units = "yards",
    seed: int = 0,
    threads: int = 2,
    with_field: bool = False,
    basis: str,
    progress: Callable[[], None] | None = None,
) -> AimAdvice:
    """Compare ``targets`` (the usual ones unless given) and the best of all from a place on the hole.

    ``objective``: ``mean``, or a score such as ``5 or better``; ``against``: the level of a golfer whose break-even
    line is wanted; ``with_field``: whether all targets nearby are valued too. Raises InputError.
    """
    score = parse_objective(objective, hole.par)
    golfer = posterior.mean
    player = compile_player(golfer, conditions=conditions)
    grid = ground_grid(hole, tee, pin)
    layout = lay_out(grid, coarse_step_m=COARSE_STEP_M, fine_step_m=FINE_STEP_M, conditions=conditions)
    played = PlayedHole.of(hole, layout)
    aiming = Aiming(played, place_ball(played, player, place, stroke), player)
    left = None if score is None else strokes_left(score, aiming.ball.stroke)
    unit_m = METRES_PER[shot_unit(units)]
    named = list(targets) or usual_targets(aiming, unit_m)
    check_targets(aiming, named, units)
    strategy = solve_hole(layout, player)
    compared = compare_targets(
        strategy, golfer, aiming, named, strokes_left=left, draws=posterior.draws(draws),
        rounds=rounds, seed=seed, threads=threads, unit_m=unit_m, basis=f"{basis}+{_SHORT_SIDE_BASIS}",
        progress=progress,
    )  # fmt: skip
    line = None
    if against is not None:
        line = break_even(played, aiming.ball, posterior.reference(against), AimPoints.usual())
    field = None
    if with_field:
        aimed_for: Objective = BestChance(strategy, aiming, left) if left else FewestStrokes(strategy, aiming)
        field = target_field(compared, aimed_for, AimPoints.usual(), threads=threads)
    return AimAdvice(posterior, compared, tee, pin, score, clubs or {}, against, line, field)
