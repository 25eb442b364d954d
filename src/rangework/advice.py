"""From records and a course to the week's hours: what stands behind every command that plays.

``prepare`` fits the player and finds the best targets; ``simulate``, ``value_parts`` and ``make_plan`` build on
it; ``advise`` tells the whole story.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import count

from rangework.aim import AimAdvice, FromDistance, FromPoint, Target, aim_advice, hole_to_aim_at
from rangework.aim.club_names import carries_by_club
from rangework.assessment.design import AssessmentDesign
from rangework.assessment.design_words import DesignWish
from rangework.assessment.designing import card_words, design_for
from rangework.assessment.learned_responses import Learned, learned_responses, plausible_responses
from rangework.assessment.practice_log import PracticeLog
from rangework.course.choices import chosen_pins, chosen_tee
from rangework.course.geometry import Course, Rating, TeeSet
from rangework.course.ground_grid import ground_grid
from rangework.course.on_a_day import day_basis
from rangework.course.pin_places import with_unit
from rangework.plan.cautions import cautions
from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.limits import Limits
from rangework.plan.rehearsal import Rehearsal
from rangework.plan.replay import ReplayedPlan, plan_with_replay
from rangework.plan.response import GroupResponse, ResponseOverride
from rangework.play.lattice import Layout, lay_out
from rangework.play.rating import RatingUsed, official_rating, rating_to_use
from rangework.play.rounds import RoundSample, play_rounds
from rangework.play.strategy import Strategy, player_on, solve_course
from rangework.play.summary import Reference, RoundsSummary, summarise_rounds
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.side_by_side import side_by_side
from rangework.skill.fit import fit_player
from rangework.skill.model import Golfer
from rangework.skill.parts import PART_IDS
from rangework.skill.posterior import Posterior
from rangework.skill.reference import Group, reference_golfer, tour_golfer
from rangework.strokes_gained.logged import LoggedComparison, compare_logged
from rangework.units import Units
from rangework.worth import REPLICATES, WorthTable, part_gaps, part_worths

#: Posterior draws that worths and plans rest on.
WORTH_DRAWS = 100
#: Draws that replay a plan, and draws that the ranges of simulated rounds rest on.
REPLAY_DRAWS, ROUNDS_DRAWS = 40, 60
#: What a simulated number rests on: the player's, and a reference golfer's.
REFERENCE_BASIS = "prior.reference_golfer+published.tour_form+assumption.play.relief+assumption.play.fringe"
PLAYER_BASIS = f"data+prior.player+assumption.shots.bands+assumption.shots.clubs+{REFERENCE_BASIS}"

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
        """The official rating of the tees for this player's reference golfers (men's or women's), if they have one."""
        return official_rating(self.tee, self.profile.reference)


@dataclass(frozen=True, slots=True)
class Advice:
    """The main job's answer: what each part is worth, and the week's hours with their replay."""

    prepared: Prepared
    worths: WorthTable
    plan: ReplayedPlan
    cautions: tuple[str, ...]
    learned: Learned | None = None  #: how the player answers to practice, where tests and logged hours tell
    group: GroupResponse | None = None  #: how the players of the roster do, where theirs tell


def advise(
    records: ShotRecords,
    course: Course,
    limits: Limits,
    *,
    profile: PlayerProfile | None = None,
    tee: str | None = None,
    pin: str | None = None,
    drills: Sequence[Drill] | None = None,
    responses: Mapping[str, ResponseOverride] | None = None,
    practised: PracticeLog | None = None,
    group: GroupResponse | None = None,
    horizon_weeks: float = 8.0,
    draws: int = WORTH_DRAWS,
    seed: int = 0,
    threads: int = 2,
    progress: ProgressReport | None = None,
) -> Advice:
    """Records, a course and the week's limits in; the parts' worths and the plan out.

    ``limits`` as ``rangework.plan.limits.safe_limits`` makes them; ``group``: how other players answer to practice; the
    other arguments as in the functions below.
    Raises InputError, FitError and NoFeasiblePlanError.
    """
    drills = drills or drill_catalogue()
    prepared = prepare(records, course, profile=profile, tee=tee, pin=pin, seed=seed, threads=threads)
    worths = value_parts(prepared, draws=draws, progress=progress)
    learned = learned_responses(
        records, prepared.posterior, practised, responses, group=group, drills=drills, seed=seed
    )
    plan = make_plan(
        prepared, worths, limits, drills=drills, responses=responses, learned=learned, group=group,
        horizon_weeks=horizon_weeks,
    )  # fmt: skip
    return Advice(prepared, worths, plan, plan_cautions(prepared, plan, drills, limits), learned, group)


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
    fit = partial(fit_player, records, profile=profile, seed=seed)
    posterior, layouts = side_by_side(fit, partial(course_layouts, course, tee_set.name, pins), threads)
    golfer = posterior.mean
    strategies = tuple(solve_course(layouts, player_on(layouts, golfer), threads=threads))
    return Prepared(posterior, golfer, profile, course, tee_set, pins, layouts, strategies, seed, threads)


def course_layouts(course: Course, tee: str, pins: Sequence[str]) -> tuple[Layout, ...]:
    """Every hole of the course from one tee set, prepared for the kernels."""
    return tuple(
        lay_out(ground_grid(hole, tee, pin), conditions=course.conditions)
        for hole, pin in zip(course.holes, pins, strict=True)
    )


def tee_rating(course: Course, tee: TeeSet, group: Group, *, threads: int = 2) -> RatingUsed:
    """The rating of the tees for men or women, official or estimated; its pins take turns whatever pins are played."""
    return rating_to_use(course, tee, chosen_pins(course, None), group, threads=threads)


def golfer_of_level(level: float | str, group: Group = "men") -> Golfer:
    """The reference golfer of a handicap index, or ``tour``."""
    return tour_golfer(group) if level == "tour" else reference_golfer(float(level), group)


def simulate(prepared: Prepared, rounds: int, *, against: float | str | None = None) -> RoundSample:
    """Rounds of the posterior mean, strokes gained counted on a reference golfer.

    ``against``: a handicap index or ``tour``; the player's own level unless given.
    """
    reference = _reference(prepared, against)
    return play_rounds(
        prepared.strategies,
        player_on(prepared.layouts, prepared.golfer),
        rounds,
        seed=prepared.seed,
        against=reference.strategies,
        against_player=reference.player,
        threads=prepared.threads,
    )


def reference_level(prepared: Prepared, against: float | str | None = None) -> float | str:
    """The level to compare with: as given, or the player's own."""
    return prepared.posterior.reference_level if against is None else against


def player_rounds(
    prepared: Prepared,
    rounds: int,
    *,
    against: float | str | None = None,
    draws: int = ROUNDS_DRAWS,
    progress: ProgressReport | None = None,
) -> RoundsSummary:
    """The player's rounds in numbers, with ranges over ``draws`` plausible players; ``against`` as in ``simulate``."""
    return summarise_rounds(
        prepared.strategies,
        prepared.golfer,
        _reference(prepared, against),
        rounds,
        draws=prepared.posterior.draws(draws),
        rating=tee_rating(
            prepared.course, prepared.tee, prepared.profile.reference, threads=prepared.threads
        ),
        basis=PLAYER_BASIS + day_basis(prepared.course),
        seed=prepared.seed,
        threads=prepared.threads,
        progress=_counter(progress, draws),
    )


def reference_rounds(
    course: Course,
    level: float | str,
    rounds: int,
    *,
    group: Group = "men",
    against: float | str | None = None,
    tee: str | None = None,
    pin: str | None = None,
    seed: int = 0,
    threads: int = 2,
) -> RoundsSummary:
    """The rounds of a reference golfer of ``group``, beside another one (the tour golfer unless given)."""
    tee_set, pins = chosen_tee(course, tee), chosen_pins(course, pin)
    layouts = course_layouts(course, tee_set.name, pins)
    golfer = golfer_of_level(level, group)
    strategies = solve_course(layouts, player_on(layouts, golfer), threads=threads)
    reference = Reference.solved(
        layouts, golfer_of_level("tour" if against is None else against, group), threads
    )
    return summarise_rounds(
        strategies,
        golfer,
        reference,
        rounds,
        rating=tee_rating(course, tee_set, group, threads=threads),
        basis=REFERENCE_BASIS + day_basis(course),
        seed=seed,
        threads=threads,
    )


def gained_by_part(
    prepared: Prepared, gained: float, *, against: float | str | None = None
) -> dict[str, float]:
    """Strokes a round gained on a reference golfer by part, summing to ``gained``; ``against`` as in ``simulate``."""
    reference = prepared.posterior.reference(against)
    gaps = part_gaps(prepared.layouts, prepared.golfer, reference, -gained, threads=prepared.threads)
    return dict(zip(PART_IDS, (-gaps.lost).tolist(), strict=True))


def logged_rounds(prepared: Prepared, records: ShotRecords) -> LoggedComparison | None:
    """The rounds in the records beside what the fitted player would need; None without a whole round."""
    return compare_logged(
        records.log,
        prepared.course,
        prepared.pins,
        prepared.golfer,
        prepared.posterior.draws(REPLAY_DRAWS),
        seed=prepared.seed,
        threads=prepared.threads,
    )


def _reference(prepared: Prepared, against: float | str | None) -> Reference:
    return Reference.solved(prepared.layouts, prepared.posterior.reference(against), prepared.threads)


def _counter(progress: ProgressReport | None, total: int) -> Callable[[], None]:
    """Something to call each time that one of ``total`` pieces is done."""
    done = count(1)

    def step() -> None:
        finished = next(done)
        if progress:
            progress(finished, total)

    return step


def value_parts(
    prepared: Prepared, *, draws: int = WORTH_DRAWS, progress: ProgressReport | None = None
) -> WorthTable:
    """What one step of every part saves this player on this course, over posterior draws."""
    return part_worths(
        prepared.strategies,
        prepared.golfer,
        prepared.posterior.draws(draws),
        threads=prepared.threads,
        progress=_counter(progress, draws + REPLICATES),
    )


def make_plan(
    prepared: Prepared,
    worths: WorthTable,
    limits: Limits,
    *,
    drills: Sequence[Drill] | None = None,
    responses: Mapping[str, ResponseOverride] | None = None,
    learned: Learned | None = None,
    group: GroupResponse | None = None,
    horizon_weeks: float = 8.0,
) -> ReplayedPlan:
    """The week's hours that save most, their promise replayed by simulated rounds.

    ``responses``: a coach's own view of how parts answer to practice; ``learned`` stands in for it where tests told,
    ``group`` where those of other players did. Raises NoFeasiblePlanError.
    """
    drills = drills or drill_catalogue()
    draws = plausible_responses(
        prepared.posterior, len(worths.draws), responses, learned, group=group, drills=drills, seed=prepared.seed
    )  # fmt: skip
    rehearsal = Rehearsal(
        prepared.strategies,
        prepared.golfer,
        prepared.posterior.draws(REPLAY_DRAWS),
        seed=prepared.seed,
        threads=prepared.threads,
    )
    return plan_with_replay(worths.draws, draws, drills, limits, rehearsal, horizon_weeks=horizon_weeks)


def plan_cautions(
    prepared: Prepared, plan: ReplayedPlan, drills: Sequence[Drill], limits: Limits
) -> tuple[str, ...]:
    """The cautions that belong to a plan for this player."""
    profile = prepared.profile
    return cautions(plan.plan, drills, limits, age=profile.age, usual_swings_per_week=profile.swings_a_week)


def advise_aim(
    records: ShotRecords,
    course: Course,
    hole: int,
    *,
    pin: str | None = None,
    tee: str | None = None,
    place: FromDistance | FromPoint | None = None,
    stroke: int | None = None,
    targets: Sequence[Target] = (),
    objective: str = "mean",
    against: float | str | None = None,
    with_field: bool = False,
    profile: PlayerProfile | None = None,
    units: Units = "yards",
    draws: int = WORTH_DRAWS,
    seed: int = 0,
    threads: int = 2,
    progress: ProgressReport | None = None,
) -> AimAdvice:
    """Targets compared for one shot of a player on a hole; arguments as in ``rangework.aim.advising``.

    Raises InputError and FitError.
    """
    profile = profile or PlayerProfile()
    usual = dict(zip((each.number for each in course.holes), chosen_pins(course, None), strict=True))
    played, pin = hole_to_aim_at(course, hole, pin and with_unit(pin, course, units), usual)
    tee = chosen_tee(course, tee).name
    posterior = fit_player(records, profile=profile, seed=seed)
    return aim_advice(
        posterior, played, tee, pin, place=place, stroke=stroke, targets=targets, objective=objective,
        conditions=course.conditions, against=against, with_field=with_field,
        clubs=carries_by_club(records, posterior, profile), draws=draws, units=units, seed=seed, threads=threads,
        basis=PLAYER_BASIS + day_basis(course), progress=_counter(progress, draws + 1),
    )  # fmt: skip


def design_assessment(
    records: ShotRecords,
    course: Course,
    wish: DesignWish,
    *,
    profile: PlayerProfile | None = None,
    tee: str | None = None,
    seed: int = 0,
    threads: int = 2,
) -> tuple[Posterior, AssessmentDesign]:
    """A practice test for a player on a course. Raises InputError and FitError."""
    prepared = prepare(records, course, profile=profile, tee=tee, seed=seed, threads=threads)
    group, level = prepared.profile.reference, reference_level(prepared, wish.reference)
    level = level if isinstance(level, str) else round(level, 1)  # as the card writes it
    design = design_for(
        course, prepared.golfer, prepared.strategies, golfer_of_level(level, group),
        card_words(wish, prepared.tee.name, level, group), wish, seed=seed, threads=threads,
    )  # fmt: skip
    return prepared.posterior, design
