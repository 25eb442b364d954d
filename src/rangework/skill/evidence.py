"""Evidence: everything the records say of a player, as the arrays that the likelihood reads."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.kernel_arrays import Evidence, Form, Leaves, Putts
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.model import (
    _DEPTH_HALF_YD,
    _DEPTH_LONG,
    _DEPTH_SHORT_YD,
    _DIRECTION_DEG,
    _DIRECTION_LONG_DEG,
    _TEE_SHORT_CLUB,
    POOR_LENGTH,
    POOR_SPREAD,
    Golfer,
)
from rangework.skill.putt_evidence import course_putts, joined, practice_putts
from rangework.skill.putting import READING_RATIO_PER_M
from rangework.skill.resting_places import drive_places, poor_places
from rangework.skill.sessions import number_sessions
from rangework.skill.shot_cells import lies_of_cells, parts_of_cells
from rangework.skill.shot_evidence import (
    driver_guess_m,
    make_aimed,
    make_logged,
    tee_codes,
    usable_aimed,
    usable_log,
)
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]

#: A poor strike is this many times likelier to be misread than a solid one (sources.toml ``prior.misreads``).
MISREAD_RATIO, MOST_MISREAD = 10.0, 0.095
#: Sd of a logged drive that wind, slope and bounce make, share of driver length (common practice, no source).
_DRIVE_EXTRA = 0.04
#: Advance with a shorter club from the tee, mean and sd, share of driver length (common practice, no source).
_SHORTER_LENGTH, _SHORTER_SPREAD = 0.78, 0.11


@dataclass(frozen=True, slots=True)
class Gathered:
    """The evidence of a player's records, with what it rests on.

    ``shots`` counts balls and strokes by part of the game (``tee``, bands, short-game parts, ``putts``);
    ``aimed_shots`` those among them with a known aim, ``shots_from`` those from each lie.
    ``driver_guess_m`` is a first look at driver length (the expected one where drives are few).
    """

    evidence: Evidence
    n_effects: int
    shots: dict[str, int]
    aimed_shots: dict[str, int]
    shots_from: dict[tuple[str, int], int]
    left_out: dict[str, int]
    has_range: bool
    has_course: bool
    driver_guess_m: float

    @property
    def n_used(self) -> int:
        """Balls, strokes and putts that inform the fit."""
        return sum(self.shots.values())


def gather(
    records: ShotRecords,
    prior: LatentPrior,
    *,
    session_effects: bool = True,
    stated_driver_m: float | None = None,
) -> Gathered:
    """Everything the records say, as arrays. A left-hander's balls are mirrored.

    ``stated_driver_m``: total of the driver that a profile states, which tells how other clubs' balls run.
    """
    aimed, log = usable_aimed(records.aimed), usable_log(records.log)
    tee, driver_m = _driver_guess(aimed, log, prior)
    golfer = supposed_golfer(prior, stated_driver_m or driver_m)
    numbers = number_sessions(aimed, records.putts, log, effects=session_effects)
    logged = make_logged(log, numbers.rounds, driver_m)
    left_m = logged.drive_to_hole_m - logged.drive_advance_m
    evidence = Evidence(
        _form(aimed),
        make_aimed(aimed, tee, numbers.aimed, mirror=prior.hand == "left", golfer=golfer),
        logged,
        poor_places(logged.cells.target_m, logged.left_m),
        drive_places(logged.drive_to_hole_m, left_m, driver_m),
        *_putts(records, numbers.putts),
        numbers.effects,
    )
    return _described(evidence, records, numbers.n_effects, driver_m)


def _driver_guess(
    aimed: pd.DataFrame, log: pd.DataFrame, prior: LatentPrior
) -> tuple[NDArray[np.int64], float]:
    """What every aimed ball was hit with (`tee_codes`), and how long the driver looks."""
    expected_m = expected_driver_m(prior)
    tee = tee_codes(aimed, expected_m)
    return tee, driver_guess_m(aimed, tee, log, expected_m)


def driver_at_first_sight_m(records: ShotRecords, prior: LatentPrior) -> float:
    """Driver length as the records show it before any fit; the expected one where they hold few drives."""
    return _driver_guess(usable_aimed(records.aimed), usable_log(records.log), prior)[1]


def supposed_golfer(prior: LatentPrior, driver_m: float) -> Golfer:
    """The golfer of the prior with a driver of that length: how balls that were measured where they landed ran."""
    return replace(golfer_from_latents(np.zeros(N_LATENTS), prior), driver_m=driver_m)


def expected_driver_m(prior: LatentPrior) -> float:
    """Driver length of the reference golfer of the prior's level."""
    return float(np.exp(prior.coordinates(np.zeros(N_LATENTS))[c.LN_DRIVER]))


def _form(aimed: pd.DataFrame) -> Form:
    return Form(
        depth_short_m=_DEPTH_SHORT_YD * YARD_M,
        depth_half_m=_DEPTH_HALF_YD * YARD_M,
        depth_long=_DEPTH_LONG,
        direction_rad=_DIRECTION_DEG * DEGREE_RAD,
        direction_long_rad=_DIRECTION_LONG_DEG * DEGREE_RAD,
        tee_short_club=_TEE_SHORT_CLUB,
        poor_length=POOR_LENGTH,
        poor_spread=POOR_SPREAD,
        misread_ratio=MISREAD_RATIO,
        most_misread=MOST_MISREAD if aimed["misread"].any() else 0.0,
        tee_extra=_DRIVE_EXTRA,
        shorter_length=_SHORTER_LENGTH,
        shorter_spread=_SHORTER_SPREAD,
        reading_ratio_per_m=READING_RATIO_PER_M,
    )


def _putts(records: ShotRecords, session: NDArray[np.int64]) -> tuple[Putts, Leaves, Leaves]:
    practice, measured = practice_putts(records.putts, session)
    course, circles = course_putts(records.log)
    return joined(practice, course), measured, circles


def _described(evidence: Evidence, records: ShotRecords, n_effects: int, driver_m: float) -> Gathered:
    aimed, logged, putts = evidence.aimed, evidence.logged, evidence.putts
    balls = np.diff(aimed.first) + aimed.misreads
    aimed_shots = _count(parts_of_cells(aimed.cells), balls)
    shots = dict(aimed_shots)
    for part, n in _count(parts_of_cells(logged.cells), np.ones(logged.left_m.size)).items():
        shots[part] = shots.get(part, 0) + n
    if logged.drive_advance_m.size:
        shots["tee"] = shots.get("tee", 0) + logged.drive_advance_m.size
    n_putts = putts.holed.sum() + putts.missed.sum() + putts.near.sum()
    n_putts += evidence.measured.distance_m.size + evidence.circles.distance_m.size
    if n_putts:
        shots["putts"] = round(float(n_putts))
    cells = (aimed.cells, logged.cells)
    parts = np.concatenate([parts_of_cells(some) for some in cells])
    lies = np.concatenate([lies_of_cells(some) for some in cells])
    weight = np.concatenate([balls, np.ones(logged.left_m.size)])
    shots_from = {
        (name, lie): round(float(weight[(parts == name) & (lies == lie)].sum()))
        for name in set(parts)
        for lie in set(lies)
    }
    on_course = logged.left_m.size > 0 or bool((aimed.cells.on_range == 0).any())
    return Gathered(
        evidence=evidence,
        n_effects=n_effects,
        shots=shots,
        aimed_shots=aimed_shots,
        shots_from={key: n for key, n in shots_from.items() if n},
        left_out={"aimed": len(records.aimed) - round(float(balls.sum()))},
        has_range=bool((aimed.cells.on_range == 1).any()),
        has_course=on_course,
        driver_guess_m=driver_m,
    )


def _count(parts: NDArray[np.object_], weight: FloatArray) -> dict[str, int]:
    counts: dict[str, float] = {}
    for part, n in zip(parts, weight, strict=True):
        counts[part] = counts.get(part, 0.0) + float(n)
    return {part: round(n) for part, n in counts.items() if n > 0}
