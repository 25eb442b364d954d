"""Measures: what a posterior says of each part of the game, how sure it is, and what that rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.estimate import Estimate
from rangework.skill import coordinates as c
from rangework.skill.latents import N_LATENTS, LatentPrior
from rangework.skill.part_values import PART_UNITS, part_values
from rangework.skill.parts import PART_IDS
from rangework.skill.posterior import Posterior

FloatArray = NDArray[np.float64]

#: Ends of every interval shown (90 %).
INTERVAL = (0.05, 0.95)
#: Posterior sd over prior sd: above the first a number is assumed, above the second it leans on the prior
#: (assumed here: sources.toml prior.words).
ASSUMED, LEANING = 0.8, 0.5
FEW_BALLS = 15
#: A spread that knowing the range factor would narrow by more than this share is measured on the range only.
_RANGE_SHARE = 0.25
#: A range factor is identified when its 90 % interval reaches no further than this to either side.
RANGE_IDENTIFIED = 0.05

WORDS = ("assumed, not measured", "leans on the prior", "measured")
FROM_NEIGHBOURS = "from neighbours"
RANGE_ONLY = "measured on the range, course level assumed"
NOT_IDENTIFIED = "not identified"
_PRIOR_DRAWS = 2000


@dataclass(frozen=True, slots=True)
class PartEstimate:
    """One of the 24 parts: its quantity, 90 % interval, the reference golfer's, its balls, how sure."""

    part: str
    unit: str
    estimate: float
    low: float
    high: float
    reference: float
    shots: int
    basis: str
    words: str

    def to_json(self) -> dict[str, Any]:
        """The entry of ``skill --json``."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


@dataclass(frozen=True, slots=True)
class RangeFactor:
    """Spread on the range over spread on the course, and whether the records determine it."""

    estimate: Estimate
    identified: bool

    @property
    def words(self) -> str:
        """``measured`` or ``not identified``."""
        return WORDS[2] if self.identified else NOT_IDENTIFIED


def prior_coordinates(prior: LatentPrior) -> FloatArray:
    """Coordinates ``[draw, coordinate]`` of players that only the prior knows (fixed seed)."""
    latents = np.random.default_rng(0).standard_normal((_PRIOR_DRAWS, N_LATENTS))
    coordinates = prior.coordinates(latents)
    return c.mirrored(coordinates) if prior.hand == "left" else coordinates


def estimate_of(values: FloatArray, unit: str, basis: str) -> Estimate:
    """Median and 90 % interval of draws."""
    low, middle, high = np.quantile(values, (INTERVAL[0], 0.5, INTERVAL[1]))
    return Estimate(float(middle), float(low), float(high), unit, basis)


def known_sd(drawn: FloatArray, before: FloatArray) -> tuple[float, float]:
    """Standard deviations of the posterior's and the prior's draws: of logarithms where all are positive.

    A spread is known in per cent: where the records double it, its sd in yards may grow while they decide.
    """
    if drawn.min() > 0.0 and before.min() > 0.0:
        drawn, before = np.log(drawn), np.log(before)
    return float(drawn.std()), float(before.std())


def sureness(posterior_sd: float, prior_sd: float, shots: int, range_share: float = 0.0) -> str:
    """How sure a number is, in words (``range_share`` as the function of that name gives it)."""
    ratio = posterior_sd / prior_sd if prior_sd > 0.0 else 1.0
    if ratio > ASSUMED:
        return WORDS[0]
    if shots < FEW_BALLS:
        return FROM_NEIGHBOURS
    if range_share > _RANGE_SHARE:
        return RANGE_ONLY
    return WORDS[1] if ratio > LEANING else WORDS[2]


def basis_of(words: str) -> str:
    """Ids of sources.toml that carry a number of given sureness."""
    return {
        WORDS[0]: "prior.player",
        WORDS[2]: "data",
        RANGE_ONLY: "data+prior.range_factor",
    }.get(words, "data+prior.player")


def range_share(values: FloatArray, ln_range: FloatArray) -> float:
    """Share of the sd of ``values`` that disappears once the range factor is known."""
    if values.std() == 0.0 or ln_range.std() == 0.0:
        return 0.0
    correlation = float(np.corrcoef(values, ln_range)[0, 1])
    return 1.0 - float(np.sqrt(max(0.0, 1.0 - correlation**2)))


def part_estimates(posterior: Posterior) -> list[PartEstimate]:
    """The 24 parts in order: estimate, 90 % interval, reference golfer, balls, basis and how sure."""
    drawn = part_values(posterior.coordinates)
    before = part_values(prior_coordinates(posterior.prior))
    golfer = c.golfer_coordinates(posterior.reference())
    reference = part_values(golfer[None, :])
    ln_range = posterior.coordinates[:, c.LN_RANGE_FACTOR]
    return [
        _part(
            part,
            drawn[part],
            before[part],
            reference[part],
            posterior,
            ln_range if posterior.has_range else None,
        )
        for part in PART_IDS
    ]


def _part(
    part: str,
    drawn: FloatArray,
    before: FloatArray,
    reference: FloatArray,
    posterior: Posterior,
    ln_range: FloatArray | None,
) -> PartEstimate:
    shots = shots_behind(part, posterior)
    share = 0.0 if ln_range is None else range_share(drawn, ln_range)
    known = has_relatives(posterior, putts=part.startswith("putt."))
    words = sureness(*known_sd(drawn, before), shots, share) if known else WORDS[0]
    estimate = estimate_of(drawn, PART_UNITS[part], basis_of(words))
    return PartEstimate(
        part=part,
        unit=estimate.unit,
        estimate=estimate.value,
        low=float(estimate.low or 0.0),
        high=float(estimate.high or 0.0),
        reference=float(reference[0]),
        shots=shots,
        basis=estimate.basis,
        words=words,
    )


def has_relatives(posterior: Posterior, *, putts: bool) -> bool:
    """Whether the records hold any putt, or any other shot: without one a part is known by the level only."""
    return any(count > 0 for name, count in posterior.shots.items() if (name == "putts") == putts)


def shots_behind(part: str, posterior: Posterior) -> int:
    """Balls and strokes that inform a part (biases: only those with a known aim)."""
    counts: Mapping[str, int] = posterior.aimed_shots if part.endswith("bias") else posterior.shots
    family = part.split(".")[0]
    if part == "approach.rough":
        return sum(
            n for (name, lie), n in posterior.shots_from.items() if name.startswith("approach") and lie == 2
        )
    if part == "approach.poor_strikes":
        return sum(n for name, n in counts.items() if name.startswith("approach"))
    if family == "short_game":
        return sum(counts.get(name, 0) for name in ("chip", "pitch", "bunker"))
    return counts.get("putts" if family == "putt" else family, 0)


def range_factor(posterior: Posterior) -> RangeFactor:
    """The range factor, identified only when range and course records together know it well."""
    drawn = np.exp(posterior.coordinates[:, c.LN_RANGE_FACTOR])
    low, middle, high = np.quantile(drawn, (INTERVAL[0], 0.5, INTERVAL[1]))
    both = posterior.has_range and posterior.has_course
    identified = both and bool(max(high - middle, middle - low) <= RANGE_IDENTIFIED)
    basis = "data+prior.range_factor" if identified else "prior.range_factor"
    return RangeFactor(estimate_of(drawn, "ratio", basis), identified)
