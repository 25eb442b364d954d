"""Where more balls would help most: how much each kind would narrow the interval of the total gap."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.skill import coordinates as c
from rangework.skill.evidence import gather
from rangework.skill.imagined_balls import BALL_KINDS, BallKind, imagined_records
from rangework.skill.latents import N_LATENTS, golfer_from_latents
from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M, STEP_FACTOR
from rangework.skill.posterior import Posterior
from rangework.skill.sampler import kernel_prior, value_and_gradient
from rangework.skill.shot_cells import BAND_IDS

FloatArray = NDArray[np.float64]

_NINETY = 1.645
_IMAGINED = 2000
_BALLS_A_SESSION = 30
_DIFFERENCE = 1e-3
#: A smaller bias than this (0.2 degrees) has no gradient worth naming: half of nothing saves nothing.
_LEAST_BIAS_RAD = 0.2 * math.pi / 180.0


@dataclass(frozen=True, slots=True)
class BallsNeeded:
    """What ``balls`` more of a kind would do to the gap's 90 % interval (half-widths, strokes a round)."""

    kind: str
    balls: int
    half_width_now: float
    half_width_then: float

    @property
    def narrower(self) -> float:
        """Share by which the interval would shrink."""
        return 1.0 - self.half_width_then / self.half_width_now if self.half_width_now > 0.0 else 0.0


def gap_gradient(posterior: Posterior, strokes_saved: Mapping[str, float]) -> FloatArray:
    """Strokes a round per unit of each coordinate, from what one step of each part saves."""
    x = posterior.coordinates.mean(axis=0)
    gradient = np.zeros(x.size)
    for part, saved in strokes_saved.items():
        for at, change in _one_step(part, x):
            gradient[at] -= saved / change / len(_one_step(part, x))
    return gradient


def _one_step(part: str, x: FloatArray) -> list[tuple[int, float]]:
    """Coordinates that one step of a part moves, and by how much."""
    kind = PART_BY_ID[part].kind
    if kind == "carry":
        return [(c.LN_DRIVER, -STEP_CARRY_M / float(np.exp(x[c.LN_DRIVER])))]
    at = _COORDINATES_OF[part]
    if kind == "bias":
        # A bias costs as its square: halving it saves 3/4 b^2 k, and its slope is 2 b k.
        bias = float(x[at[0]])
        return [] if abs(bias) < _LEAST_BIAS_RAD else [(at[0], -0.375 * bias)]
    step = math.log(STEP_FACTOR[kind])
    if kind == "poor_strikes":
        return [(i, step / (1.0 - float(c.expit(x[i])))) for i in at]
    return [(i, step) for i in at]


_COORDINATES_OF: dict[str, tuple[int, ...]] = {
    "tee.direction": (c.LN_TEE_DIRECTION,),
    "tee.bias": (c.TEE_BIAS,),
    "tee.poor_strikes": (c.TEE_POOR,),
    **{f"{name}.depth": (c.LN_DEPTH + band,) for band, name in enumerate(BAND_IDS)},
    **{f"{name}.direction": (c.LN_DIRECTION + band,) for band, name in enumerate(BAND_IDS)},
    **{f"{name}.bias": (c.BIAS + band,) for band, name in enumerate(BAND_IDS)},
    "approach.poor_strikes": tuple(range(c.FULL_POOR, c.FULL_POOR + 3)),
    "approach.rough": (c.LN_ROUGH_EXTRA,),
    "chip": (c.LN_CHIP,),
    "pitch": (c.LN_PITCH,),
    "bunker": (c.LN_BUNKER,),
    "short_game.poor_strikes": tuple(range(c.SHORT_POOR, c.SHORT_POOR + 3)),
    "putt.line": (c.LN_LINE,),
    "putt.pace": (c.LN_PACE,),
}


def balls_needed(
    posterior: Posterior, strokes_saved: Mapping[str, float], *, balls: int = 60, seed: int = 0
) -> list[BallsNeeded]:
    """How much ``balls`` more of every kind (30 a session) would narrow the gap's interval.

    ``strokes_saved`` are the strokes a round that one step of each part saves (parts left out count nothing).
    The information of the new balls is that of balls imagined at the posterior mean, with the effects of
    their sessions allowed for. Most helpful first.
    """
    weight = _latent_weight(posterior, gap_gradient(posterior, strokes_saved))
    covariance = np.cov(posterior.latents[:, :N_LATENTS], rowvar=False) + 1e-9 * np.eye(N_LATENTS)
    precision = np.asarray(np.linalg.inv(covariance), dtype=np.float64)
    now = _half_width(weight, precision)
    rng = np.random.default_rng(seed)
    found = []
    for kind in BALL_KINDS:
        sessions = balls / _BALLS_A_SESSION
        information = sessions * session_information(posterior, kind, _BALLS_A_SESSION, rng)
        found.append(BallsNeeded(kind.name, balls, now, _half_width(weight, precision + information)))
    return sorted(found, key=lambda need: need.half_width_then)


def _half_width(weight: FloatArray, precision: FloatArray) -> float:
    return _NINETY * math.sqrt(float(weight @ np.linalg.solve(precision, weight)))


def _latent_weight(posterior: Posterior, gradient: FloatArray) -> FloatArray:
    """Strokes per unit of each latent: the gradient in coordinates through the prior's slopes at the mean."""
    prior, mean = posterior.prior, posterior.latents[:, :N_LATENTS].mean(axis=0)
    slopes = prior.loadings()
    step = np.zeros(N_LATENTS)
    step[0] = 0.05
    slopes[:, 0] = (prior.coordinates(mean + step) - prior.coordinates(mean - step)) / 0.1
    facing = c.mirrored(gradient) if prior.hand == "left" else gradient
    return np.asarray(facing @ slopes)


def session_information(
    posterior: Posterior, kind: BallKind, balls: int, rng: np.random.Generator
) -> FloatArray:
    """Information ``[latent, latent]`` of one more session of balls, its own effects integrated out."""
    prior = replace(posterior.prior, hand="right")
    mean = posterior.latents[:, :N_LATENTS].mean(axis=0)
    spread = float(np.exp(prior.coordinates(mean)[c.LN_RANGE_FACTOR])) if kind.place == "range" else 1.0
    golfer = golfer_from_latents(mean, prior)
    gathered = gather(imagined_records(golfer, kind, _IMAGINED, rng, spread=spread), prior)
    at = np.concatenate([mean, np.zeros(gathered.n_effects)])
    kernel = kernel_prior(prior)
    rows = []
    for step in _DIFFERENCE * np.eye(at.size):
        above = value_and_gradient(at + step, kernel, gathered.evidence)[1]
        below = value_and_gradient(at - step, kernel, gathered.evidence)[1]
        rows.append((below - above) / (2.0 * _DIFFERENCE))
    hessian = np.array(rows) - np.eye(at.size)
    hessian = 0.5 * (hessian + hessian.T) * balls / _IMAGINED
    own, shared = hessian[N_LATENTS:, N_LATENTS:], hessian[:N_LATENTS, N_LATENTS:]
    remaining = hessian[:N_LATENTS, :N_LATENTS] - shared @ np.linalg.solve(own + np.eye(len(own)), shared.T)
    values, vectors = np.linalg.eigh(remaining)
    return np.asarray((vectors * np.maximum(values, 0.0)) @ vectors.T)
