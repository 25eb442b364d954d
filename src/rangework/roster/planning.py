"""Every player's plan: the same as a plan one by one, spread over processors or machines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, replace
from typing import Any, cast

import joblib
import numpy as np
from numpy.typing import NDArray

from rangework.advice import Advice, advise
from rangework.assessment.learned_responses import plausible_responses
from rangework.assessment.practice_log import PracticeLog
from rangework.course.geometry import Course
from rangework.errors import InputError, Problem, RangeworkError
from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.hours_program import HoursProblem
from rangework.plan.limit_rows import available_drills, limit_rows
from rangework.plan.limits import Limits
from rangework.plan.payoff import Payoff
from rangework.plan.practice_plan import DrillHours, PracticePlan
from rangework.plan.response import GroupResponse, ResponseDraws, ResponseOverride
from rangework.plan.returns import pair_draws
from rangework.plan.sharing import Week, week_of
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords

FloatArray = NDArray[np.float64]

#: Times that players whose worker died are tried again: a worker may die of memory that others took.
RETRIES = 2


@dataclass(frozen=True, slots=True)
class Settings:
    """What holds for every player alike; the fields are those of ``advise``."""

    drills: tuple[Drill, ...]
    responses: Mapping[str, ResponseOverride] | None = None
    tee: str | None = None
    pin: str | None = None
    weeks: float = 8.0
    draws: int = 100
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Job:
    """One player to be planned for; ``practised`` are the hours that tests may tell the worth of.

    ``group``: how the roster's other players answer to practice, where their tests tell. ``fault`` tells why nothing
    can be planned.
    """

    player: int
    profile: PlayerProfile
    records: ShotRecords | None = None
    course: Course | None = None
    limits: Limits | None = None
    practised: PracticeLog | None = None
    group: GroupResponse | None = None
    fault: str = ""


#: Makes a page and results out of an advice; a function of a module, so that it can be sent to another process.
Render = Callable[[Job, Advice, Settings], tuple[str, Mapping[str, Any]]]


@dataclass(frozen=True, slots=True)
class Stakes:
    """What planning a player's week anew needs: ``saved`` [draws, parts], responses, limits, and the week's program."""

    saved: FloatArray
    responses: ResponseDraws
    limits: Limits
    week: Week


@dataclass(frozen=True, slots=True)
class Planned:
    """One player's plan, small enough to be sent; ``fault`` in words where there is none, and the rest is empty."""

    player: int
    name: str
    fault: str = ""
    course: str = ""
    page: str = ""
    results: Mapping[str, Any] | None = None
    strokes_saved: Estimate | None = None
    hours: tuple[DrillHours, ...] = ()
    payoffs: tuple[Payoff, ...] = ()
    stakes: Stakes | None = None


def plan_player(job: Job, settings: Settings, render: Render) -> Planned:
    """One player's plan; what the player's data do not allow is told in ``fault``."""
    if job.fault or job.records is None or job.course is None or job.limits is None:
        return Planned(job.player, job.profile.name, fault=job.fault or "no records, course or limits")
    try:
        advice = advise(
            job.records,
            job.course,
            job.limits,
            profile=job.profile,
            tee=settings.tee,
            pin=settings.pin,
            drills=settings.drills,
            responses=settings.responses,
            practised=job.practised,
            group=job.group,
            horizon_weeks=settings.weeks,
            draws=settings.draws,
            seed=settings.seed,
            threads=1,
        )
    except RangeworkError as error:
        return Planned(job.player, job.profile.name, fault=str(error))
    page, results = render(job, advice, settings)
    plan = advice.plan.plan
    return Planned(
        player=job.player,
        name=job.profile.name,
        course=job.course.name,
        page=page,
        results=results,
        strokes_saved=plan.strokes_saved,
        hours=plan.hours,
        payoffs=plan.payoffs,
        stakes=_stakes(job.limits, advice, settings),
    )


def _stakes(limits: Limits, advice: Advice, settings: Settings) -> Stakes:
    """The plan's own problem once more: the replay's factors in the worths, the same draws of responses."""
    saved = advice.worths.draws * np.array(list(advice.plan.worth_factors.values()))
    prepared = advice.prepared
    responses = plausible_responses(
        prepared.posterior,
        len(saved),
        settings.responses,
        advice.learned,
        group=advice.group,
        drills=settings.drills,
        seed=prepared.seed,
    )
    available = available_drills(limits, settings.drills)
    problem = HoursProblem(
        available,
        pair_draws(saved, responses, settings.weeks),
        limit_rows(limits, available),
        limits.budget,
    )
    return Stakes(saved, responses, limits, week_of(problem))


def plan_all(
    jobs: Callable[[frozenset[int]], Iterable[Job]],
    settings: Settings,
    render: Render,
    *,
    processes: int = 1,
    scheduler: str | None = None,
) -> Iterator[Planned]:
    """Plans as they are done, in any order. ``jobs(done)`` gives the players that are not ``done`` yet, one by one.

    With ``scheduler`` (an address) the work goes to the machines of a Dask cluster, which do again what a machine
    that went away has left. Raises InputError where the cluster cannot be reached, or workers keep dying.
    """
    done: set[int] = set()
    for attempt in range(RETRIES + 1):
        try:
            with _spread(scheduler):
                work = joblib.Parallel(
                    n_jobs=processes, return_as="generator_unordered", pre_dispatch="2 * n_jobs"
                )
                for planned in work(
                    joblib.delayed(plan_player)(job, settings, render) for job in jobs(frozenset(done))
                ):
                    done.add(planned.player)
                    yield planned
            return
        except _worker_died() as error:
            if attempt == RETRIES:
                expected = f"workers that stay alive ({len(done)} players were planned and kept)"
                remedy = "Is there enough memory? Try fewer --processes."
                raise InputError(Problem("plan", "", "", expected, remedy)) from error


def _worker_died() -> tuple[type[BaseException], ...]:
    from concurrent.futures.process import BrokenProcessPool

    return (BrokenProcessPool,)


@contextmanager
def _spread(scheduler: str | None) -> Iterator[None]:
    """Where the work goes: this machine's processors, each with one thread, or a cluster."""
    if scheduler is None:
        with joblib.parallel_config(backend="loky", inner_max_num_threads=1):
            yield
        return
    with _client(scheduler), joblib.parallel_config(backend="dask"):
        yield


def _client(scheduler: str) -> AbstractContextManager[Any]:
    try:
        from distributed import Client
    except ImportError:
        remedy = "Install it: pip install 'rangework[cluster]'."
        raise InputError(
            Problem("--scheduler", "", scheduler, "Dask, which is not installed", remedy)
        ) from None
    try:
        client: Any = Client(scheduler, timeout=10)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        expected = f"the address of a scheduler that answers ({error})"
        raise InputError(Problem("--scheduler", "", scheduler, expected)) from error
    return cast("AbstractContextManager[Any]", client)


@dataclass(frozen=True, slots=True)
class Again:
    """A week to be planned anew: what it saves is at stake, within these limits and drills."""

    player: int
    stakes: Stakes
    limits: Limits
    drills: tuple[Drill, ...]


def plan_again(work: Iterable[Again], weeks: float, *, processes: int = 1) -> dict[int, PracticePlan | str]:
    """Plans within other limits by player, from what is known already; in words why there is none.

    They are not replayed by simulated rounds once more: the worths carry the first replay's factors.
    """
    with _spread(None):
        done = joblib.Parallel(n_jobs=processes)(joblib.delayed(_plan_again)(each, weeks) for each in work)
    return dict(done)


def _plan_again(again: Again, weeks: float) -> tuple[int, PracticePlan | str]:
    from rangework.plan.hours import allocate_hours

    try:
        stakes = again.stakes
        plan = allocate_hours(stakes.saved, stakes.responses, again.drills, again.limits, horizon_weeks=weeks)
    except RangeworkError as error:
        return again.player, str(error)
    return again.player, plan


#: Shared hours are given out in these steps.
_STEP_HOURS = 1.0 / 12.0


def within_share(limits: Limits, share: Mapping[str, float]) -> Limits | None:
    """A player's limits with the hours of a share, in five-minute steps; None where it holds no step."""
    hours = {place: np.floor(given / _STEP_HOURS + 1e-6) * _STEP_HOURS for place, given in share.items()}
    hours = {place: float(given) for place, given in hours.items() if given > 0.0}
    return replace(limits, hours=None, hours_by_place=hours) if hours else None
