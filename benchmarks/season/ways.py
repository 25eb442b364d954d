"""Ways of choosing the hours: the tool's, the usual rules of thumb, and those of someone who knows the truth.

A way is asked four times a season, or once. It sees what a coach sees (``Seen``), but for those told the truth.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cached_property

import numpy as np
from members import FIRST_DAY, PERIOD_WEEKS, FloatArray, Member

from course import own_worths, strokes_lost, worths_of_draws
from rangework.assessment.learned_responses import LEARNED_DRAWS, learned_responses, with_useless
from rangework.assessment.practice_log import PracticeLog
from rangework.estimate import Estimate
from rangework.plan.drills import Drill, drill_catalogue, shares
from rangework.plan.hours import allocate_hours, mean_hours
from rangework.plan.hours_program import HoursProblem, solve_relaxed
from rangework.plan.limit_rows import limit_rows
from rangework.plan.limits import Limits, safe_limits
from rangework.plan.practice_plan import DrillHours, PracticePlan
from rangework.plan.response import MOST_LOG_SD, ResponseDraws, draw_responses, responses_for
from rangework.plan.returns import pair_draws
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player
from rangework.skill.posterior import Posterior
from rangework.skill.reference import reference_golfer

SEASON_WEEKS, WEEK_HOURS = 12.0, 5.0
#: Draws of skill of the first plan, which makes a forecast, and of later ones, which need the mean only.
SKILL_DRAWS, LATER_DRAWS, RESPONSE_DRAWS = 25, 8, 100
#: Log-sd of the most that practice brings as the tool assumed it before this study, and as it does now.
BEFORE_LOG_SD = 0.4


def week_limits() -> Limits:
    """Five hours a week within the safety limits of an adult."""
    return safe_limits(hours=WEEK_HOURS)


@dataclass
class Seen:
    """What a coach has before a period: records so far, the weeks left, and the hours practised before.

    ``first``: what was seen at first, where the records since then are not looked at.
    """

    member: Member
    records: ShotRecords
    weeks_left: float
    hours_before: tuple[FloatArray, ...] = ()
    first: Seen | None = None

    @cached_property
    def posterior(self) -> Posterior:
        """The fit of all records."""
        if self.first:
            return self.first.posterior
        profile = PlayerProfile(handicap=self.member.stated, reference=self.member.group)
        return fit_player(self.records, profile=profile, seed=self.member.seed)

    @cached_property
    def worths(self) -> FloatArray:
        """[draws, parts] what a step of every part saves, as far as the records tell."""
        if self.first:
            return self.first.worths
        draws = LATER_DRAWS if self.hours_before else SKILL_DRAWS
        return worths_of_draws(self.posterior.mean, self.posterior.draws(draws))

    @cached_property
    def true_worths(self) -> FloatArray:
        """[parts] what a step of every part truly saves; for those who are told."""
        return own_worths(self.member.golfer)

    @cached_property
    def assumed(self) -> ResponseDraws:
        """Responses as the tool assumes them."""
        return assumed_responses(self.posterior.reference_level)

    @cached_property
    def plan(self) -> PracticePlan:
        """The tool's plan for the weeks that are left."""
        return allocate_hours(
            self.worths, self.assumed, drill_catalogue(), week_limits(), horizon_weeks=self.weeks_left
        )

    @cached_property
    def learned(self) -> ResponseDraws:
        """Responses after what the balls before and after the hours so far show."""
        learned = learned_responses(
            self.records, self.posterior, self.practised, drills=drill_catalogue(), seed=self.member.seed
        )
        if learned is None:
            return self.assumed
        return learned.draws(LEARNED_DRAWS, np.random.default_rng(0))

    @property
    def practised(self) -> PracticeLog | None:
        """The hours so far, logged in the middle of their weeks."""
        if not self.hours_before:
            return None
        drills, days = drill_catalogue(), round(7 * PERIOD_WEEKS)
        lines = [
            (FIRST_DAY + timedelta(days=days * period + days - 3), drill.id, PERIOD_WEEKS * spent * acting)
            for period, hours in enumerate(self.hours_before)
            for drill, spent, acting in zip(drills, hours, shares(drills), strict=True)
            if spent > 0.0
        ]
        middles, names, effective = zip(*lines, strict=True)
        return PracticeLog(middles, np.array(effective), names)

    @cached_property
    def lost(self) -> FloatArray:
        """[parts] strokes lost to the scratch golfer, as far as the records tell."""
        return strokes_lost(self.posterior.mean, reference_golfer(0.0, self.member.group))


Way = Callable[[Seen], FloatArray]


def assumed_responses(level: float) -> ResponseDraws:
    """Draws of responses as ``rangework plan`` makes them."""
    rng = np.random.default_rng(0)
    responses = draw_responses(responses_for(float(np.clip(level, -10.0, 54.0))), RESPONSE_DRAWS, rng)
    return with_useless(responses, drill_catalogue(), rng)


def planned(seen: Seen, responses: ResponseDraws) -> FloatArray:
    """The tool's hours for what is seen of the skill, and these responses."""
    return tool_hours(seen.worths, responses, seen.weeks_left)


def tool_hours(worths: FloatArray, responses: ResponseDraws, weeks: float) -> FloatArray:
    """[drills] hours a week of the tool's plan, without what else it tells."""
    drills, limits = drill_catalogue(), week_limits()
    returns = pair_draws(worths, responses, weeks)
    return mean_hours(HoursProblem(drills, returns, limit_rows(limits, drills), limits.budget))


def tool_first(seen: Seen) -> FloatArray:
    """The tool's plan."""
    return hours_of(seen.plan.hours)


def tool_mean(seen: Seen) -> FloatArray:
    """The tool's plan, made anew each period without a log of practice."""
    return planned(seen, seen.assumed) if seen.hours_before else tool_first(seen)


def tool_learning(seen: Seen) -> FloatArray:
    """The tool's plan, made anew each period from a log of practice and the balls before and after it."""
    return planned(seen, seen.learned) if seen.hours_before else tool_first(seen)


def tool_robust(seen: Seen) -> FloatArray:
    """The tool's plan for the worst fifth of its draws."""
    return hours_of(seen.plan.robust.hours)


def before_mending(seen: Seen) -> FloatArray:
    """The tool before this study: responses more alike, every drill works, hours practised are forgotten."""
    now, medians = seen.assumed, np.array([each.most_steps for each in responses_for(_level(seen))])
    alike = medians * (now.most_steps / medians) ** (BEFORE_LOG_SD / MOST_LOG_SD)
    return planned(seen, replace(now, most_steps=alike, working={}))


def hours_counted(seen: Seen) -> FloatArray:
    """The tool's plan that counts the hours practised and learns nothing else."""
    log = seen.practised
    if log is None:
        return tool_first(seen)
    return planned(seen, replace(seen.assumed, hours_before=log.recent(seen.assumed.working)))


def told_later(seen: Seen) -> FloatArray:
    """The tool's plan for three weeks, then told what practice does to this member."""
    log, truth = seen.practised, seen.member.responses
    if log is None:
        return tool_first(seen)
    working = {drill.id: np.array([float(any(drill.trains.values()))]) for drill in seen.member.drills}
    return planned(seen, replace(truth, working=working, hours_before=log.recent(working)))


def _level(seen: Seen) -> float:
    return float(np.clip(seen.posterior.reference_level, -10.0, 54.0))


def equal_split(_seen: Seen) -> FloatArray:
    """The same time for every drill."""
    return within_swings(np.ones(len(drill_catalogue())))


def as_strokes_lost(seen: Seen) -> FloatArray:
    """Hours in proportion to the strokes lost in what a drill trains."""
    return within_swings(shares(drill_catalogue()) @ np.maximum(seen.lost, 0.0))


def worst_part(seen: Seen) -> FloatArray:
    """All hours on the drill that trains most of the part where most strokes are lost."""
    acting = shares(drill_catalogue())
    trained = np.where(acting.max(axis=0) > 0.0, seen.lost, -np.inf)
    return within_swings(np.eye(len(acting))[int(acting[:, int(trained.argmax())].argmax())])


def at_random(seen: Seen) -> FloatArray:
    """Hours thrown by chance."""
    rng = np.random.default_rng([seen.member.seed, len(seen.hours_before), 9])
    return within_swings(rng.dirichlet(np.ones(len(drill_catalogue()))))


def nothing(_seen: Seen) -> FloatArray:
    """No practice."""
    return np.zeros(len(drill_catalogue()))


def oracle(seen: Seen) -> FloatArray:
    """Knows skill and response: the best hours for the whole season."""
    member = seen.member
    return best_hours(seen.true_worths, member.responses, member.drills)


def knows_skill(seen: Seen) -> FloatArray:
    """Knows what every step is worth, and assumes the responses as the tool does."""
    return tool_hours(seen.true_worths, assumed_responses(seen.member.level), seen.weeks_left)


def knows_response(seen: Seen) -> FloatArray:
    """Knows how this member answers to practice, and worths only from the first records."""
    return best_hours(seen.worths, seen.member.responses, seen.member.drills)


#: Those asked every period, and those whose first answer holds for the season.
EVERY_PERIOD: Mapping[str, Way] = {
    "plan": tool_mean,
    "learned plan": tool_learning,
    "random": at_random,
}
#: Asked every period, the skill as the first records tell it: only what is known of practice differs.
RECORDS_AT_FIRST: Mapping[str, Way] = {
    "before mending": before_mending,
    "useless drills": tool_mean,
    "hours counted": hours_counted,
    "told later": told_later,
}
ONCE: Mapping[str, Way] = {
    "plan kept": tool_first,
    "robust plan": tool_robust,
    "equal split": equal_split,
    "strokes lost": as_strokes_lost,
    "worst part": worst_part,
    "no practice": nothing,
    "knows skill": knows_skill,
    "knows response": knows_response,
    "oracle": oracle,
}


def forecast(seen: Seen) -> Estimate:
    """What the tool promises of its plan, kept up all season."""
    return seen.plan.strokes_saved


def best_hours(worths: FloatArray, responses: ResponseDraws, drills: tuple[Drill, ...]) -> FloatArray:
    """[drills] the linear program's hours, five in all, for the whole season."""
    limits = week_limits()
    problem = HoursProblem(
        drills, pair_draws(worths, responses, SEASON_WEEKS), limit_rows(limits, drills), limits.budget
    )
    return solve_relaxed(problem).hours


def hours_of(blocks: tuple[DrillHours, ...]) -> FloatArray:
    """[drills] hours a week."""
    minutes = {block.drill: block.minutes for block in blocks}
    return np.array([minutes.get(drill.id, 0) / 60.0 for drill in drill_catalogue()])


def within_swings(weights: FloatArray) -> FloatArray:
    """[drills] five hours in these proportions, full swings cut to the safe number and their time given to the rest.

    Where nothing but full swings is wanted, the time beyond the safe number is left free.
    """
    drills = drill_catalogue()
    weights = np.ones(len(drills)) if weights.sum() <= 0.0 else weights
    swings = np.array([drill.full_swings_per_hour for drill in drills])
    hours = WEEK_HOURS * weights / weights.sum()
    most = float(week_limits().full_swings_per_week)
    if hours @ swings <= most:
        return np.asarray(hours)
    kept = np.where(swings > 0.0, hours * most / (hours @ swings), 0.0)
    rest = np.where(swings > 0.0, 0.0, weights)
    if rest.sum() > 0.0:
        kept = kept + (WEEK_HOURS - kept.sum()) * rest / rest.sum()
    return np.asarray(kept)
