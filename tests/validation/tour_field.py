"""How players around the tour golfer differ: what one standard deviation of each latent is worth, by family.

Players are drawn as the prior draws them: independent effects on driver length, on spreads (all full shots, depth or
direction, a band), on poor strikes, on the short game and on putting. Strokes gained are nearly a straight line in
these, so the differences between players follow from one player a standard deviation better and one worse in each.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from comparison import Effort
from families import by_family
from numpy.typing import NDArray
from played import TOUR, played

from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, refine_course
from rangework.skill.by_index import TOUR_INDEX
from rangework.skill.coordinates import BANDS, BIAS, BIAS_DEPTH, N_GOLFER, TEE_BIAS
from rangework.skill.latents import LATENT_NAMES, Effect, LatentPrior, effects, golfer_from_latents

FloatArray = NDArray[np.float64]
Widths = tuple[tuple[str, float], ...]
#: Biases are left out: a player who knows one aims it off.
BIASES = {TEE_BIAS, *range(BIAS, BIAS + BANDS), *range(BIAS_DEPTH, BIAS_DEPTH + BANDS)}
#: Why shares among players are off where they are.
WHY_WIDTHS = (
    "The prior's widths decide, and they are guesses for golfers of one level: no published spread was found. Driver "
    "length and tee shots vary more in it than in a tour's field, where 3 % of length is usual (from memory); the "
    "score differences page shows the shares with other widths"
)
STEP = 0.5  # of a standard deviation, to both sides


def differing(effect: Effect) -> bool:
    return effect.coordinates[0] < N_GOLFER and not set(effect.coordinates) & BIASES


@cache
def worth_of_latents(effort: Effort) -> dict[str, FloatArray]:
    """Strokes gained a round by family (``FAMILIES``) for one standard deviation of each latent."""
    chosen = [effect.name for effect in effects() if differing(effect)]
    return {
        name: (_gained(name, STEP, effort) - _gained(name, -STEP, effort)) / (2 * STEP) for name in chosen
    }


def _gained(name: str, by: float, effort: Effort) -> FloatArray:
    tour = played(TOUR, "long", effort)
    latents = np.zeros(len(LATENT_NAMES))
    latents[LATENT_NAMES.index(name)] = by
    player = compile_player(golfer_from_latents(latents, LatentPrior(level=TOUR_INDEX, level_sd=0.0)))
    strategies = refine_course(tour.strategies, player, threads=effort.threads)
    sample = play_rounds(
        strategies, player, effort.of(20_000, 5_000), threads=effort.threads,
        against=tour.strategies, against_player=tour.player,
    )  # fmt: skip
    return by_family(sample.gained) / tour.eighteens


def covariance(effort: Effort, widths: Widths = ()) -> FloatArray:
    """Of strokes gained between players, [family, family]; ``widths`` are factors on the prior's."""
    factors = dict(widths)
    worth = np.array([gained * factors.get(name, 1.0) for name, gained in worth_of_latents(effort).items()])
    return np.asarray(worth.T @ worth)


def shares_of_differences(effort: Effort, widths: Widths = ()) -> FloatArray:
    """Per cent of the differences in strokes gained by family: its covariance with the total over the total's variance.

    Among normally distributed players it is also each family's share of what the best of them gain.
    """
    between = covariance(effort, widths)
    return np.asarray(100.0 * between.sum(axis=1) / between.sum())
