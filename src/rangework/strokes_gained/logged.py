"""Logged rounds beside what the fitted player is expected to need: the model is tested before it is believed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.course.geometry import Course
from rangework.course.ground_grid import GroundGrid, ground_grid
from rangework.course.standard_hole import standard_hole
from rangework.estimate import Estimate
from rangework.lie import Lie
from rangework.play.lattice import lay_out
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.model import SHORT_LIMIT_M, Golfer

#: Logged holes are taken for the given course's when every one is within this of a tee set's lengths.
SAME_LENGTH_M = 15.0
#: Simulated seasons of as many rounds as were logged, for each posterior draw.
SEASONS = 10

COLUMNS = ("tee", "approach", "short_game", "putting", "penalties")
_CAUSES = {
    "tee": "a par logged as another one, or tee shots missing from the log",
    "approach": "wind, slopes or trees that the course file lacks; range shots tighter than those on the course",
    "short_game": "lies or pins harder (or kinder) than the course file's; a short game that the records hardly show",
    "putting": "greens faster, slower or more sloping than assumed; short putts conceded and not logged as such",
    "penalties": "penalty areas or boundaries that the course file lacks or draws too near",
}


@dataclass(frozen=True, slots=True)
class LoggedFamily:
    """Strokes a round of one family: logged, and predicted for as many rounds with a 90 % interval.

    ``causes`` is empty where the logged figure lies inside the interval.
    """

    family: str
    logged: float
    predicted: Estimate
    causes: str

    @property
    def inside(self) -> bool:
        """Whether the logged strokes lie in the predictive interval."""
        return not self.causes


@dataclass(frozen=True, slots=True)
class LoggedComparison:
    """Logged rounds beside predicted ones; ``course`` says which holes were simulated."""

    rounds: int
    course: str
    families: tuple[LoggedFamily, ...]


def compare_logged(
    log: pd.DataFrame,
    course: Course,
    pins: Sequence[str],
    mean: Golfer,
    draws: Sequence[Golfer],
    *,
    seed: int = 0,
    threads: int = 2,
) -> LoggedComparison | None:
    """Predicted strokes by family beside the logged ones; None where no complete round is logged.

    Simulated on ``course`` where the logged holes have its lengths, otherwise on standard holes of the logged
    lengths. Strategy of the posterior mean; each draw plays ``SEASONS`` times as many rounds as were logged.
    """
    complete = complete_holes(log)
    if complete.empty:
        return None
    lengths = complete[complete["stroke"] == 1].groupby("hole")["to_hole_m"].median()
    grids, where = _grids(lengths, course, pins)
    pars = {grid.number: grid.par for grid in grids}
    logged, rounds = _logged_strokes(complete, pars)
    predicted = _predicted(grids, mean, draws, rounds, seed, threads)
    return LoggedComparison(rounds, where, tuple(_families(logged, predicted)))


def complete_holes(log: pd.DataFrame) -> pd.DataFrame:
    """Strokes of rounds whose every hole was played from the tee until holed."""
    holed = (log["next_lie"] == Lie.HOLED) | log["conceded"]
    kept = log.assign(ended=holed, began=log["stroke"] == 1)
    by_hole = kept.groupby(["date", "round", "hole"])[["ended", "began"]].any().all(axis=1)
    by_round = by_hole.groupby(level=["date", "round"]).agg(["all", "size"])
    most = int(by_round["size"].max()) if len(by_round) else 0
    whole = by_round.index[by_round["all"] & (by_round["size"] == most)]
    keys = pd.MultiIndex.from_frame(log[["date", "round"]])
    return log[keys.isin(whole)]


def _grids(lengths: pd.Series, course: Course, pins: Sequence[str]) -> tuple[list[GroundGrid], str]:
    for tee in course.tees:
        if _same_holes(lengths, course, tee.name):
            holes = [hole for hole in course.holes if hole.number in lengths.index]
            grids = [ground_grid(hole, tee.name, pins[hole.number - 1]) for hole in holes]
            return grids, f"{course.name}, {tee.name} tees"
    numbers = lengths.index.to_numpy(np.int64).tolist()
    grids = [_stand_in(number, length) for number, length in zip(numbers, lengths.tolist(), strict=True)]
    return grids, "standard holes of the logged lengths"


def _same_holes(lengths: pd.Series, course: Course, tee: str) -> bool:
    numbers = {hole.number: hole for hole in course.holes}
    if not set(lengths.index) <= set(numbers):
        return False
    own = [_length(numbers[number].line, numbers[number].tees.get(tee)) for number in lengths.index]
    return bool(np.all(np.abs(np.array(own) - lengths.to_numpy()) <= SAME_LENGTH_M))


def _length(line: NDArray[np.float64], tee: tuple[float, float] | None) -> float:
    """Length along the line of play from a tee, which stands near its beginning."""
    if tee is None:
        return np.inf
    legs = float(np.hypot(*np.diff(line, axis=0).T).sum())
    return legs - float(np.hypot(*(np.asarray(tee) - line[0])))


def _stand_in(number: int, length_m: float) -> GroundGrid:
    grid = standard_hole(length_m, seed=number)
    return GroundGrid(grid.ground, grid.origin_m, grid.cell_m, grid.tee_m, grid.pin_m, number, grid.par)


def _logged_strokes(complete: pd.DataFrame, pars: dict[int, int]) -> tuple[NDArray[np.float64], int]:
    """Mean strokes a round by ``COLUMNS``, and the number of rounds."""
    lie, far = complete["lie"].to_numpy(), complete["to_hole_m"].to_numpy() >= SHORT_LIMIT_M
    driving = (lie == Lie.TEE) & (complete["hole"].map(pars).to_numpy() > 3)
    putt = lie == Lie.GREEN
    counts = [driving, ~driving & ~putt & far, ~driving & ~putt & ~far, putt]
    rounds = len(complete[["date", "round"]].drop_duplicates())
    totals = [float(column.sum()) for column in counts] + [float(complete["penalty"].sum())]
    return np.array(totals) / rounds, rounds


def _predicted(
    grids: Sequence[GroundGrid],
    mean: Golfer,
    draws: Sequence[Golfer],
    rounds: int,
    seed: int,
    threads: int,
) -> NDArray[np.float64]:
    """[season, column] mean strokes a round of simulated seasons."""
    strategies = solve_course([lay_out(grid) for grid in grids], compile_player(mean), threads=threads)
    seasons = []
    for number, draw in enumerate(draws):
        sample = play_rounds(
            strategies,
            compile_player(draw, aimed_by=mean),
            rounds * SEASONS,
            seed=seed,
            first_round=number * rounds * SEASONS,
            threads=threads,
        )
        by_round = sample.by_family.sum(axis=1, dtype=np.float64)
        seasons.append(by_round.reshape(SEASONS, rounds, -1).mean(axis=1))
    return np.concatenate(seasons)


def _families(logged: NDArray[np.float64], predicted: NDArray[np.float64]) -> list[LoggedFamily]:
    low, high = np.quantile(predicted, [0.05, 0.95], axis=0)
    families = []
    for column, name in enumerate(COLUMNS):
        estimate = Estimate(
            float(predicted[:, column].mean()),
            float(low[column]),
            float(high[column]),
            "strokes a round",
            "data+prior.reference_golfer+published.tour_form",
        )
        inside = low[column] <= logged[column] <= high[column]
        families.append(LoggedFamily(name, float(logged[column]), estimate, "" if inside else _CAUSES[name]))
    return families
