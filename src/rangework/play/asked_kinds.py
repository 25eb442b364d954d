"""Kinds of shots that a course asks of a player, counted in eighteen holes, from simulated rounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.play.asked_shots import AskedShots, asked_shots
from rangework.play.strategy import Strategy
from rangework.skill.model import Golfer
from rangework.units import METRES_PER, LengthUnit

BoolArray = NDArray[np.bool_]

#: Rounds that the counts rest on.
ASKED_ROUNDS = 100
#: Full shots are counted by bands of 20 yards or metres aimed at, between these; longer ones are one band.
_FULL_FROM, _FULL_TO, _BAND = 50, 230, 20
_CHIP_BELOW = 20
#: Short shots from rough are counted as chips and pitches; full ones also on their own, under this name.
FULL_FROM_ROUGH = "full shots from rough"


@dataclass(frozen=True, slots=True)
class AskedKind:
    """One kind of shot: how many in eighteen holes, with the standard error of that mean.

    ``full``: whether it is a full swing; ``from_m`` and ``to_m`` bound the distance aimed at, None where open.
    """

    name: str
    full: bool
    from_m: float | None
    to_m: float | None
    a_round: float
    standard_error: float


def asked_kinds(
    strategies: Sequence[Strategy], golfer: Golfer, unit: LengthUnit, *, seed: int, rounds: int = ASKED_ROUNDS
) -> tuple[AskedKind, ...]:
    """What the golfer meets there in eighteen holes, with the targets of ``strategies``.

    Tee shots of par 4s and 5s, full shots by the distance aimed at in bands of 20 ``unit``, trouble, and the short
    game. Full shots from rough are also in the band of their distance.
    """
    par = {strategy.layout.number: strategy.layout.par for strategy in strategies}
    shots = asked_shots(strategies, golfer, rounds, seed=seed)
    which = round_of(shots)
    told = []
    for name, full, ends, members in _kinds(shots, par, unit):
        counts = np.bincount(which[members], minlength=rounds) * (18.0 / len(strategies))
        error = float(counts.std(ddof=1)) / math.sqrt(rounds)
        low, high = (None if end is None else end * METRES_PER[unit] for end in ends)
        told.append(AskedKind(name, full, low, high, float(counts.mean()), error))
    return tuple(told)


def round_of(shots: AskedShots) -> NDArray[np.int64]:
    """The number of the round of every shot, from 0: rounds follow one another, each from its first hole on."""
    first = shots.hole[0]
    begins = (shots.hole == first) & (np.concatenate([[0], shots.hole[:-1]]) != first)
    return np.cumsum(begins) - 1


def _kinds(
    shots: AskedShots, par: dict[int, int], unit: LengthUnit
) -> list[tuple[str, bool, tuple[float | None, float | None], BoolArray]]:
    """Name, whether full, ends of the distance in ``unit``, and which shots are of the kind."""
    target = shots.target_m / METRES_PER[unit]
    driven = (shots.lie == Lie.TEE) & (np.vectorize(par.__getitem__)(shots.hole) > 3)
    trees = shots.lie == Lie.RECOVERY
    full = ~driven & ~trees & (target >= _FULL_FROM)
    short = ~driven & ~trees & ~full
    sand, chip = shots.lie == Lie.SAND, target < _CHIP_BELOW
    bands = [
        (f"{low}-{low + _BAND} {unit}", True, (float(low), float(low + _BAND)),
         full & (target >= low) & (target < low + _BAND))
        for low in range(_FULL_FROM, _FULL_TO, _BAND)
    ]  # fmt: skip
    return [
        ("tee shots of par 4s and 5s", True, (None, None), driven),
        *bands,
        (f"more than {_FULL_TO} {unit}", True, (float(_FULL_TO), None), full & (target >= _FULL_TO)),
        (FULL_FROM_ROUGH, True, (float(_FULL_FROM), None), full & (shots.lie == Lie.ROUGH)),
        ("shots from among trees", False, (None, None), trees),
        ("greenside bunker shots", False, (None, float(_FULL_FROM)), short & sand),
        (f"pitches, {_CHIP_BELOW}-{_FULL_FROM} {unit}", False, (float(_CHIP_BELOW), float(_FULL_FROM)),
         short & ~sand & ~chip),
        (f"chips under {_CHIP_BELOW} {unit}", False, (None, float(_CHIP_BELOW)), short & ~sand & chip),
    ]  # fmt: skip
