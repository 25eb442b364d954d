"""Simulation-based calibration: players off the prior are fitted, and the rank of the truth among draws is kept.

If prior, likelihood and sampler fit together, ranks are even (Talts et al. 2018, arXiv:1804.06788, from memory) and
90 % intervals hold the truth in 90 % of cases.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from simulated_records import DrawnPlayer, draw_player

from rangework.skill import coordinates as c
from rangework.skill.fit import fit_player
from rangework.skill.kernel_arrays import SLIPS, WILD
from rangework.skill.measures import WORDS, part_estimates, prior_coordinates, range_factor
from rangework.skill.part_values import part_values
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]
Draw = Callable[[int], DrawnPlayer]
#: Draws that ranks are taken among: of the fit's 400, thinned, so that they are as good as independent.
THINNED = 4
_ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True)
class Fitted:
    """What is kept of one fit; arrays are ``[part]`` in the order of ``PART_IDS``."""

    mix: str
    balls: int
    below: FloatArray  #: share of all draws below the truth
    rank: NDArray[np.int64]  #: thinned draws below the truth
    error: FloatArray  #: median less truth, of logarithms but for biases
    posterior_sd: FloatArray
    prior_sd: FloatArray
    words: tuple[str, ...]
    warnings: tuple[str, ...]
    range_factor: tuple[float, float, float, bool]  #: low, estimate, truth, identified
    range_covered: bool
    wild: float  #: truth
    slips: float

    @property
    def covered(self) -> NDArray[np.bool_]:
        """Whether each 90 % interval holds the truth."""
        return (self.below >= 0.05) & (self.below <= 0.95)


def fitted(drawn: DrawnPlayer, seed: int, **options: Any) -> Fitted:
    """Fit a drawn player and compare with the truth."""
    posterior = fit_player(drawn.records, profile=drawn.profile, seed=seed, **options)
    found, truth = part_values(posterior.coordinates), part_values(drawn.truth[None, :])
    before = part_values(prior_coordinates(posterior.prior))
    logs = [not part.endswith("bias") for part in PART_IDS]
    values, true, prior = (
        np.column_stack([those[part] for part in PART_IDS]) for those in (found, truth, before)
    )
    below = values < true
    scaled, true_scaled, prior_scaled = (
        np.where(logs, np.log(np.where(logs, x, 1.0)), x) for x in (values, true, prior)
    )
    factor = range_factor(posterior)
    return Fitted(
        mix=drawn.mix,
        balls=drawn.records.n_balls,
        below=below.mean(axis=0),
        rank=below[::THINNED].sum(axis=0),
        error=np.median(scaled, axis=0) - true_scaled[0],
        posterior_sd=scaled.std(axis=0),
        prior_sd=prior_scaled.std(axis=0),
        words=tuple(part.words for part in part_estimates(posterior)),
        warnings=tuple(warning.place for warning in posterior.warnings),
        range_factor=(
            float(factor.estimate.low or 0.0),
            factor.estimate.value,
            float(np.exp(drawn.truth[c.LN_RANGE_FACTOR])),
            factor.identified,
        ),
        range_covered=_within(posterior.coordinates[:, c.LN_RANGE_FACTOR], drawn.truth[c.LN_RANGE_FACTOR]),
        wild=float(c.expit(drawn.truth[WILD])),
        slips=float(c.expit(drawn.truth[SLIPS])),
    )


def _within(draws: FloatArray, truth: float) -> bool:
    return bool(0.05 <= np.mean(draws < truth) <= 0.95)


def _one(work: tuple[Draw, int], options: dict[str, Any]) -> Fitted:
    draw, seed = work
    return fitted(draw(seed), seed, **options)


def calibrate(
    seeds: Iterable[int], *, draw: Draw = draw_player, processes: int = 1, **options: Any
) -> list[Fitted]:
    """Players of these seeds, fitted; processes change nothing but the time."""
    return calibrate_all([draw], seeds, processes, **options)[0]


def calibrate_all(
    draws: Sequence[Draw], seeds: Iterable[int], processes: int = 1, **options: Any
) -> list[list[Fitted]]:
    """The same for several ways of drawing a player, ``[draw][seed]``."""
    seeds = list(seeds)
    work = [(draw, seed) for draw in draws for seed in seeds]
    fit = partial(_one, options=options)
    if processes == 1:
        found = list(map(fit, work))
    else:
        # each process has a thread of its own: more of them would only be in each other's way
        os.environ.update(dict.fromkeys(_ONE_THREAD, "1"))
        with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as pool:
            found = list(pool.map(fit, work, chunksize=5))
    return [found[i * len(seeds) : (i + 1) * len(seeds)] for i in range(len(draws))]


def coverage(found: list[Fitted]) -> FloatArray:
    """Share of players whose 90 % interval holds the truth, ``[part]``."""
    return np.asarray(np.mean([one.covered for one in found], axis=0))


def measured_biases(found: list[Fitted]) -> float:
    """Share of the intervals of biases, of those called measured, that hold the truth."""
    held = [
        held
        for one in found
        for part, word, held in zip(PART_IDS, one.words, one.covered, strict=True)
        if part.endswith("bias") and word == WORDS[2]
    ]
    return float(np.mean(held))


def rank_counts(found: list[Fitted], bins: int) -> NDArray[np.int64]:
    """Players by rank, ``[part, bin]``: ranks run from 0 to the number of thinned draws, which a bin count divides."""
    ranks = np.array([one.rank for one in found])
    return np.array([np.bincount(column * bins // 101, minlength=bins) for column in ranks.T])


def rank_p_values(found: list[Fitted], bins: int) -> FloatArray:
    """Chi-square p-value of even ranks, ``[part]``."""
    ranks = np.array([one.rank for one in found])
    expected = np.bincount(np.arange(101) * bins // 101, minlength=bins) / 101 * len(ranks)
    return np.array([stats.chisquare(counts, expected).pvalue for counts in rank_counts(found, bins)])


def smallest_adjusted(p_values: FloatArray) -> float:
    """The smallest p-value after Holm's correction for so many tests (Holm 1979): below 0.05 is a failure."""
    return float(min(1.0, p_values.min() * p_values.size))
