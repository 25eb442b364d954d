"""The shots that a course asks of a player: how many a round, by distance to the hole and lie, from rounds played."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rangework.lie import PUTTED_LIES, Lie
from rangework.play.logbook import LoggedStroke, play_logged
from rangework.play.strategy import Strategy
from rangework.skill.model import Golfer
from rangework.units import METRES_PER, LengthUnit

#: Rounds that the counts rest on.
ASKED_ROUNDS = 100
#: Full approaches are counted by bands of 20 yards or metres between these; shots beyond are one band.
_FULL_FROM, _FULL_TO, _BAND = 50, 230, 20
_CHIP_BELOW = 20


@dataclass(frozen=True, slots=True)
class AskedShots:
    """One kind of shot: how many in eighteen holes, with the standard error of that mean.

    ``full``: whether it is a full swing; ``from_m`` and ``to_m`` bound the distance to the hole, None where open.
    """

    name: str
    full: bool
    from_m: float | None
    to_m: float | None
    a_round: float
    standard_error: float


def shots_asked(
    strategies: Sequence[Strategy], golfer: Golfer, unit: LengthUnit, *, seed: int, rounds: int = ASKED_ROUNDS
) -> tuple[AskedShots, ...]:
    """Shots in eighteen holes that the golfer meets there, with the targets of ``strategies``.

    Tee shots of par 4s and 5s, full approaches by distance in bands of 20 ``unit``, trouble, and the short game.
    """
    par = {strategy.layout.number: strategy.layout.par for strategy in strategies}
    kinds = _kinds(unit)
    counts = np.zeros((rounds, len(kinds)))
    for stroke in play_logged(strategies, golfer, rounds, seed=seed):
        for index in _kinds_of(stroke, par[stroke.hole], METRES_PER[unit]):
            counts[stroke.round - 1, index] += 1
    counts *= 18.0 / len(strategies)
    errors = counts.std(axis=0, ddof=1) / math.sqrt(rounds)
    return tuple(
        AskedShots(kind.name, kind.full, kind.from_m, kind.to_m, float(mean), float(error))
        for kind, mean, error in zip(kinds, counts.mean(axis=0), errors, strict=True)
    )


def _kinds(unit: LengthUnit) -> list[AskedShots]:
    unit_m = METRES_PER[unit]
    bands = [
        AskedShots(f"{low}-{low + _BAND} {unit}", True, low * unit_m, (low + _BAND) * unit_m, 0.0, 0.0)
        for low in range(_FULL_FROM, _FULL_TO, _BAND)
    ]
    return [
        AskedShots("tee shots of par 4s and 5s", True, None, None, 0.0, 0.0),
        *bands,
        AskedShots(f"more than {_FULL_TO} {unit}", True, _FULL_TO * unit_m, None, 0.0, 0.0),
        AskedShots("full shots from rough", True, _FULL_FROM * unit_m, None, 0.0, 0.0),
        AskedShots("shots from among trees", False, None, None, 0.0, 0.0),
        AskedShots("greenside bunker shots", False, None, _FULL_FROM * unit_m, 0.0, 0.0),
        AskedShots(f"pitches, {_CHIP_BELOW}-{_FULL_FROM} {unit}", False, _CHIP_BELOW * unit_m, _FULL_FROM * unit_m,
                   0.0, 0.0),
        AskedShots(f"chips under {_CHIP_BELOW} {unit}", False, None, _CHIP_BELOW * unit_m, 0.0, 0.0),
    ]  # fmt: skip


def _kinds_of(stroke: LoggedStroke, par: int, unit_m: float) -> list[int]:
    """Indices of the kinds that a stroke counts as: a full shot from rough also has its distance."""
    distance = stroke.to_hole_m / unit_m
    bands = (_FULL_TO - _FULL_FROM) // _BAND
    trouble = bands + 2
    if stroke.lie in PUTTED_LIES:
        return []
    if stroke.lie == Lie.TEE and par > 3:
        return [0]
    if stroke.lie == Lie.RECOVERY:
        return [trouble + 1]
    if distance < _FULL_FROM:
        return [trouble + 2 if stroke.lie == Lie.SAND else trouble + (4 if distance < _CHIP_BELOW else 3)]
    band = 1 + min(int((distance - _FULL_FROM) // _BAND), bands)
    return [band, trouble] if stroke.lie == Lie.ROUGH else [band]
