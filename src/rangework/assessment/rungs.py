"""Rungs of a ladder for a player: a distance and a zone, and the chance to make each."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.imagined_cards import PLAYERS, plausible_players, strike_rows, struck
from rangework.assessment.ladder import LEAST_CHANCE, MET_BY, MOST_RUNGS, Ladder, OnMiss
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.play.points import error_points
from rangework.skill.model import POOR, SHORT_LIMIT_M
from rangework.skill.posterior import Posterior
from rangework.skill.putting import make_probability
from rangework.units import METRES_PER, YARD_M, Units, putt_unit, shot_unit

FloatArray = NDArray[np.float64]

#: Days that each plausible player climbs on, and error points of a ball.
_DAYS, _SOLID, _POOR = 2, 512, 192
_LIES = {"fairway": Lie.FAIRWAY, "rough": Lie.ROUGH, "sand": Lie.SAND, "bunker": Lie.SAND, "green": Lie.GREEN}
_SIZE = re.compile(r"(\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?")
#: Zones are tried from the whole and a half of what was said down to three tenths of it.
_SCALES = np.round(np.arange(1.5, 0.29, -0.05), 2)
_FORM = (
    "LIE,DISTANCE,ZONE such as fairway,100,12 (within 12) or fairway,100,20x30 (wide x deep), or green,6 (holed); from "
    "fairway, rough or sand up to 260 yd (237 m), on the green up to 150 ft (46 m)"
)


@dataclass(frozen=True, slots=True)
class Rung:
    """A ball from a lie at a target ``total_m`` away that must finish within a zone.

    The zone is ``wide_m`` and ``deep_m`` in all, around the target; ``round_zone`` is an ellipse, else a box. A putt is
    to be holed and has no zone.
    """

    lie: Lie
    total_m: float
    wide_m: float = 0.0
    deep_m: float = 0.0
    round_zone: bool = True

    @property
    def on_range(self) -> bool:
        """Whether it is hit on a range rather than at a short-game area."""
        return self.total_m >= SHORT_LIMIT_M

    def scaled(self, scale: float) -> Rung:
        """The rung with its zone larger or smaller."""
        return replace(self, wide_m=scale * self.wide_m, deep_m=scale * self.deep_m)

    def made(self, long_m: FloatArray, right_m: FloatArray) -> NDArray[np.bool_]:
        """Which finishes, beyond and right of the target, lie in the zone."""
        across, along = np.abs(2.0 * right_m / self.wide_m), np.abs(2.0 * long_m / self.deep_m)
        return np.asarray(
            np.hypot(across, along) <= 1.0 if self.round_zone else np.maximum(across, along) <= 1.0
        )


def read_rungs(texts: Sequence[str], units: Units) -> list[Rung]:
    """The rungs as they are written, first to last. Raises InputError with every fault."""
    problems: list[Problem] = []
    rungs = [rung for text in texts if (rung := _rung(text, units, problems))]
    if len(texts) > MOST_RUNGS:
        problems.append(Problem("--rung", "", f"{len(texts)} rungs", f"at most {MOST_RUNGS}"))
    if problems:
        raise InputError(problems)
    return rungs


def _rung(text: str, units: Units, problems: list[Problem]) -> Rung | None:
    word, distance, zone = (*(part.strip().lower() for part in text.split(",")), "", "")[:3]
    lie, putt = _LIES.get(word), word == "green"
    size = _SIZE.fullmatch(zone)
    unit_m = METRES_PER[putt_unit(units) if putt else shot_unit(units)]
    far = float(distance) * unit_m if re.fullmatch(r"\d+(\.\d+)?", distance) else 0.0
    sound = (
        lie is not None and bool(zone) != putt and text.count(",") == (1 if putt else 2) and (putt or size)
    )
    if not sound or not 0.3 <= far <= (46.0 if putt else 260.0 * YARD_M):
        problems.append(Problem("--rung", "", text, _FORM))
        return None
    assert lie is not None
    if putt or size is None:
        return Rung(lie, far)
    wide = float(size[1]) * unit_m * (1.0 if size[2] else 2.0)
    deep = float(size[2]) * unit_m if size[2] else wide
    if min(wide, deep) <= 0.0:
        problems.append(Problem("--rung", "", text, "a zone of more than nothing"))
        return None
    return Rung(lie, far, wide, deep, not size[2])


class RungChances:
    """Plausible players, each on some imagined days, at the rungs of a ladder."""

    def __init__(self, posterior: Posterior, rungs: Sequence[Rung], *, seed: int = 0) -> None:
        self.rungs = tuple(rungs)
        players = plausible_players(posterior, PLAYERS, seed=seed)
        days = np.random.default_rng([seed, 7]).standard_normal((len(players), _DAYS, 3))
        points = error_points(_SOLID, _POOR, 0.3)
        z = np.concatenate([points.solid[0], points.poor[0]], axis=1)
        poor = np.arange(z.shape[1]) >= _SOLID
        self._holed = [golfer.putting for golfer in posterior.draws(len(players))]
        self._balls: dict[int, tuple[FloatArray, FloatArray, FloatArray]] = {}
        for at, rung in enumerate(self.rungs):
            if rung.lie is not Lie.GREEN:
                rows = strike_rows(rung, players)
                share = rows[:, POOR][:, None, None]
                weight = np.where(poor, share / _POOR, (1.0 - share) / _SOLID)
                self._balls[at] = (*struck(rung, players, rows, days, z, poor), weight)

    def chances(self, scale: float = 1.0) -> FloatArray:
        """The chance to make each rung [player and day, rung], zones scaled."""
        return np.stack([self._chance(at, scale) for at in range(len(self.rungs))], axis=1)

    def _chance(self, at: int, scale: float) -> FloatArray:
        rung = self.rungs[at].scaled(scale)
        if at not in self._balls:
            made = np.array(
                [make_probability(rung.total_m, skill) for skill in self._holed], dtype=np.float64
            )
            return np.clip(np.repeat(made, _DAYS), LEAST_CHANCE, 1.0)
        long, right, weight = self._balls[at]
        made = (weight * rung.made(long, right)).sum(axis=2)
        return np.asarray(np.clip(made.ravel(), LEAST_CHANCE, 1.0))

    def ladder(self, on_miss: OnMiss, scale: float = 1.0) -> Ladder:
        """The ladder of these players, the same player and day from beginning to end."""
        return Ladder(self.chances(scale), on_miss)

    def smallest_zones(self, on_miss: OnMiss, balls: int) -> float | None:
        """The smallest scale of the zones at which 80 % of attempts finish in so many balls; None where none does."""
        fits = [
            scale for scale in _SCALES.tolist() if self.ladder(on_miss, scale).chance_within(balls) >= MET_BY
        ]
        return min(fits) if fits else None
