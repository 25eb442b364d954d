"""How far levels by worth are from levels by rounds: ``python benchmarks/level_by_piece.py`` (some minutes).

For golfers off the prior without bias (aim allows for it, the level by worth does not), family by family: the level of
`rangework.skill.level_by_piece`, and the level at which the golfer's family costs as many strokes on the standard
holes as the reference golfer's, everything else being that golfer's. Also what a bias costs whose player aims it away.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from rangework.skill import coordinates as c
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.level_by_piece import LEVELS, piece_levels
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer
from rangework.units import DEGREE_RAD

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "skill"))
from standard_rounds import expected_score, with_family

FAMILIES = ("tee", "approach", "short_game")
HANDICAPS, GOLFERS, APART = (3.0, 12.0, 22.0), 12, 3.0


def unbiased(handicap: float, rng: np.random.Generator) -> Golfer:
    """A golfer off the prior, with the biases of the reference golfer."""
    golfer = golfer_from_latents(rng.standard_normal(N_LATENTS), LatentPrior(handicap, 3.0))
    usual = reference_golfer(handicap)
    names = ("tee_bias_rad", "approach_bias_rad", "approach_bias_depth")
    return replace(golfer, **{name: getattr(usual, name) for name in names})


def levels(golfer: Golfer) -> dict[str, float]:
    """The level of every piece by worth."""
    found = piece_levels(c.golfer_coordinates(golfer)[None, :], golfer.putting.aim_past_m)
    return {piece: float(level[0]) for piece, level in found.items()}


def too_high(golfer: Golfer, family: str, level: float) -> float:
    """How far the level by worth is above the level by rounds."""
    usual, other = reference_golfer(level), reference_golfer(level + APART)
    score = expected_score(usual)
    by_level = (expected_score(with_family(usual, other, family)) - score) / APART
    return -(expected_score(with_family(usual, golfer, family)) - score) / by_level


def main() -> None:
    rng = np.random.default_rng(5)
    errors: dict[str, list[float]] = {family: [] for family in FAMILIES}
    for number in range(GOLFERS):
        golfer = unbiased(HANDICAPS[number % len(HANDICAPS)], rng)
        for family, level in levels(golfer).items():
            if family in errors and LEVELS[0] < level < 50.0:
                errors[family].append(too_high(golfer, family, level))
    everything = [each for found in errors.values() for each in found]
    for name, found in [*errors.items(), ("all", everything)]:
        told = f"mean {np.mean(found):+.2f}, sd {np.std(found):.2f}, most {np.abs(found).max():.2f}"
        print(f"{name:12} {len(found):3} levels by worth less levels by rounds: {told}")
    usual = reference_golfer(15.0)
    biased = replace(usual, tee_bias_rad=3.0 * DEGREE_RAD)
    cost = expected_score(biased) - expected_score(usual)
    print(f"3 degrees of bias from the tee, aimed away: {cost:+.2f} strokes")
    print(f"tee level of that golfer of 15: {levels(biased)['tee']:.1f}")


if __name__ == "__main__":
    main()
