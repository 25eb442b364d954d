"""What each part costs against a reference golfer, in strokes that add up to the whole difference.

The player turns into the reference golfer step by step along a straight line through all quantities at once, and
each part is credited with what its own move saves on the way (the Aumann-Shapley value: the integral of the
part's gradient along the line). Order plays no role, unlike swapping parts one after another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from rangework.play.lattice import Layout
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.model import FloatArray, Golfer
from rangework.skill.parts import PART_IDS
from rangework.skill.putting import PuttingSkill
from rangework.worth.savings import WorthPoints, golfer_worths

#: Places and weights of the integral along the line (Gauss-Legendre on 0 to 1).
_PLACES, _WEIGHTS = np.polynomial.legendre.leggauss(2)
_PLACES, _WEIGHTS = (_PLACES + 1.0) / 2.0, _WEIGHTS / 2.0
#: Share of the whole way that a part moves to measure its gradient.
_MOVE = 0.05

#: Which fields of a golfer each part answers for; bands follow below. All lengths go with driver length, and what no
#: part of its own answers for goes with its nearest one.
_FIELDS: dict[str, tuple[str, ...]] = {
    "tee.carry": ("driver_m", "recovery_share"),
    "tee.direction": ("tee_direction_rad", "tee_depth"),
    "tee.bias": ("tee_bias_rad",),
    "tee.poor_strikes": ("tee_poor",),
    "approach.poor_strikes": ("full_poor", "recovery_poor"),
    "approach.rough": ("rough_spread", "sand_level"),
    "chip": ("chip",),
    "pitch": ("pitch",),
    "bunker": ("bunker",),
    "short_game.poor_strikes": ("short_poor",),
}
_BAND_FIELDS = {
    "depth": ("approach_depth",),
    "direction": ("approach_direction",),
    "bias": ("approach_bias_rad", "approach_bias_depth"),
}
_BANDS = ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")


@dataclass(frozen=True, slots=True)
class PartGaps:
    """Strokes a round lost (negative: gained) to the reference golfer by part, in the order of ``PARTS``.

    ``lost`` sums exactly to ``total``, the difference of expected scores. ``unexplained`` is what the integral
    left over, which was spread over the parts in proportion to their size: a measure of its error.
    """

    lost: FloatArray
    total: float
    unexplained: float


def part_gaps(
    layouts: Sequence[Layout], player: Golfer, reference: Golfer, total: float, *, threads: int = 2
) -> PartGaps:
    """The gaps between a player and a reference golfer on a course.

    ``total``: the player's expected score less the reference golfer's, each with the best targets of their own.
    """
    lost = np.zeros(len(PART_IDS))
    for place, weight in zip(_PLACES, _WEIGHTS, strict=True):
        golfer = blended(player, reference, dict.fromkeys(PART_IDS, float(place)))
        strategies = solve_course(
            layouts, compile_player(golfer, conditions=layouts[0].conditions), threads=threads
        )

        def nearer(between: Golfer, part: str) -> Golfer:
            return _step(between, player, reference, part, _MOVE)

        saved = golfer_worths(strategies, golfer, change=nearer, points=WorthPoints.many(), threads=threads)
        lost += weight * saved / _MOVE
    unexplained = total - float(lost.sum())
    size = np.abs(lost)
    if size.sum() > 0.0:
        lost += unexplained * size / size.sum()
    return PartGaps(lost, total, unexplained)


def blended(player: Golfer, reference: Golfer, shares: dict[str, float]) -> Golfer:
    """The player with each part moved by its share of the way to the reference golfer (0 stays, 1 arrives)."""
    golfer = player
    for part, share in shares.items():
        golfer = _step(golfer, player, reference, part, share)
    return golfer


def _step(golfer: Golfer, player: Golfer, reference: Golfer, part: str, share: float) -> Golfer:
    if part.startswith("putt."):
        return replace(golfer, putting=_putting_step(golfer, player, reference, part, share))
    if part == "tee.carry":
        base = golfer.clubs_from_m + share * (reference.clubs_from_m - player.clubs_from_m)
        full_shots_m = tuple(length_m * base / player.clubs_from_m for length_m in player.full_shots_m)
        golfer = replace(golfer, base_m=base, full_shots_m=full_shots_m)
    band, _, kind = part.partition(".")
    if band in _BANDS:
        index = _BANDS.index(band)
        bands: dict[str, Any] = {
            name: _array_step(golfer, player, reference, name, index, share) for name in _BAND_FIELDS[kind]
        }
        return replace(golfer, **bands)
    changed = {
        name: getattr(golfer, name) + share * (getattr(reference, name) - getattr(player, name))
        for name in _FIELDS[part]
    }
    return replace(golfer, **changed)


def _array_step(
    golfer: Golfer, player: Golfer, reference: Golfer, name: str, index: int, share: float
) -> FloatArray:
    values: FloatArray = getattr(golfer, name).copy()
    values[index] += share * (getattr(reference, name)[index] - getattr(player, name)[index])
    return values


def _putting_step(golfer: Golfer, player: Golfer, reference: Golfer, part: str, share: float) -> PuttingSkill:
    names = ("line_rad", "reading_rad_per_m") if part == "putt.line" else ("pace", "aim_past_m")
    changed = {
        name: getattr(golfer.putting, name)
        + share * (getattr(reference.putting, name) - getattr(player.putting, name))
        for name in names
    }
    return golfer.putting._replace(**changed)


def fields_without_part() -> set[str]:
    """Fields of a golfer that no part answers for (a test holds this to ``correlation`` alone)."""
    owned = {name for names in (*_FIELDS.values(), *_BAND_FIELDS.values()) for name in names}
    return {field.name for field in fields(Golfer)} - owned - {"putting", "base_m", "full_shots_m"}
