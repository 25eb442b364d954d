"""How far and how wide, by distance and lie; how often holed; how far each club carries."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.estimate import Estimate
from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.measures import (
    WORDS,
    basis_of,
    estimate_of,
    has_relatives,
    known_sd,
    prior_coordinates,
    range_share,
    sureness,
)
from rangework.skill.model import BAND_CENTRE_M
from rangework.skill.part_values import (
    BUNKER_CENTRE_M,
    CHIP_CENTRE_M,
    PITCH_CENTRE_M,
    full_depth_m,
    full_direction_degrees,
)
from rangework.skill.posterior import Posterior
from rangework.skill.putting import make_probability, putt_tables, three_putt_probability
from rangework.skill.shot_cells import BAND_IDS, full_scale, short_form
from rangework.units import DEGREE_RAD, FOOT_M

FloatArray = NDArray[np.float64]

#: Putts shown, in feet.
PUTT_LENGTHS_FT = (3, 5, 8, 10, 15, 20, 30, 40, 60)
_PUTT_DRAWS = 60


@dataclass(frozen=True, slots=True)
class DispersionRow:
    """Spread of one kind of shot from one lie, at ``target_m``.

    ``depth`` (m), ``direction`` (degrees), ``bias`` (degrees, right positive), ``bias_depth`` (m, long
    positive; both None where the model has none) and ``poor_strikes`` (share), each with its 90 % interval.
    """

    shot: str
    lie: Lie
    target_m: float
    depth: Estimate
    direction: Estimate
    bias: Estimate | None
    bias_depth: Estimate | None
    poor_strikes: Estimate
    shots: int
    words: str


@dataclass(frozen=True, slots=True)
class PuttRow:
    """Chances of holing and of three putts or more from one length."""

    length_m: float
    make: Estimate
    three_putt: Estimate


def _spreads(x: FloatArray, shot: str, lie: Lie) -> dict[str, FloatArray]:
    """Depth (m), direction (degrees), biases and poor strikes ``[draw]`` of a kind of shot."""
    if shot == "tee":
        return {
            "depth": np.exp(x[:, c.LN_TEE_DEPTH] + x[:, c.LN_DRIVER]),
            "direction": np.exp(x[:, c.LN_TEE_DIRECTION]) / DEGREE_RAD,
            "bias": x[:, c.TEE_BIAS] / DEGREE_RAD,
            "poor": c.expit(x[:, c.TEE_POOR]),
        }
    row = int(lie - Lie.FAIRWAY)
    if shot in _SHORT:
        at, centre = _SHORT[shot]
        depth, direction = short_form(lie, centre)
        multiplier = np.exp(x[:, at])
        return {
            "depth": multiplier * depth,
            "direction": multiplier * direction / DEGREE_RAD,
            "poor": c.expit(x[:, c.SHORT_POOR + row]),
        }
    band = BAND_IDS.index(shot)
    scale = full_scale(lie, float(BAND_CENTRE_M[band])) * _lie_scale(x, lie)
    return {
        "depth": full_depth_m(x, band) * scale,
        "direction": full_direction_degrees(x, band) * scale,
        "bias": x[:, c.BIAS + band] / DEGREE_RAD,
        "bias_depth": x[:, c.BIAS_DEPTH + band] * _bias_reach_m(band),
        "poor": c.expit(x[:, c.FULL_POOR + row]),
    }


_SHORT = {
    "chip": (c.LN_CHIP, CHIP_CENTRE_M),
    "pitch": (c.LN_PITCH, PITCH_CENTRE_M),
    "bunker": (c.LN_BUNKER, BUNKER_CENTRE_M),
}


def _lie_scale(x: FloatArray, lie: Lie) -> FloatArray | float:
    if lie == Lie.ROUGH:
        return np.asarray(1.0 + np.exp(x[:, c.LN_ROUGH_EXTRA]))
    return np.asarray(np.exp(x[:, c.LN_SAND_LEVEL])) if lie == Lie.SAND else 1.0


def _bias_reach_m(band: int) -> float:
    """Metres at the band's centre for a depth bias of one (the bias sets in between 40 and 100 yd)."""
    centre = float(BAND_CENTRE_M[band])
    return centre * min(max((centre / 0.9144 - 40.0) / 60.0, 0.0), 1.0)


def _kinds() -> list[tuple[str, Lie, float]]:
    kinds = [("tee", Lie.TEE, float("nan"))]
    for lie in (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND):
        kinds += [
            (shot, lie, centre)
            for shot, (_, centre) in _SHORT.items()
            if (shot == "bunker") == (lie == Lie.SAND)
        ]
        kinds += [(shot, lie, float(BAND_CENTRE_M[band])) for band, shot in enumerate(BAND_IDS)]
    return kinds


def dispersion_table(posterior: Posterior) -> list[DispersionRow]:
    """Spread by distance and lie: the tee, then short game and bands from fairway, rough and sand."""
    x, before = posterior.coordinates, prior_coordinates(posterior.prior)
    rows = []
    for shot, lie, centre in _kinds():
        drawn, prior = _spreads(x, shot, lie), _spreads(before, shot, lie)
        shots = (
            posterior.shots.get("tee", 0) if shot == "tee" else posterior.shots_from.get((shot, int(lie)), 0)
        )
        share = range_share(drawn["depth"], x[:, c.LN_RANGE_FACTOR]) if posterior.has_range else 0.0
        known = has_relatives(posterior, putts=False)
        words = sureness(*known_sd(drawn["depth"], prior["depth"]), shots, share) if known else WORDS[0]
        target_m = float(np.exp(x[:, c.LN_DRIVER]).mean()) if shot == "tee" else centre
        rows.append(_row(shot, lie, target_m, drawn, shots, words))
    return rows


def _row(
    shot: str, lie: Lie, target_m: float, drawn: dict[str, FloatArray], shots: int, words: str
) -> DispersionRow:
    basis = basis_of(words)

    def shown(name: str, unit: str) -> Estimate | None:
        return estimate_of(drawn[name], unit, basis) if name in drawn else None

    return DispersionRow(
        shot=shot,
        lie=lie,
        target_m=target_m,
        depth=estimate_of(drawn["depth"], "m", basis),
        direction=estimate_of(drawn["direction"], "degrees", basis),
        bias=shown("bias", "degrees"),
        bias_depth=shown("bias_depth", "m"),
        poor_strikes=estimate_of(drawn["poor"], "share", basis),
        shots=shots,
        words=words,
    )


def putting_table(posterior: Posterior) -> list[PuttRow]:
    """Chances of holing and of three putts or more by length, from at most 60 draws."""
    places = np.unique(np.linspace(0, posterior.n_draws - 1, min(_PUTT_DRAWS, posterior.n_draws)).astype(int))
    length_m = np.array(PUTT_LENGTHS_FT) * FOOT_M
    make, three = (np.empty((places.size, length_m.size)) for _ in range(2))
    for row, x in enumerate(posterior.coordinates[places]):
        skill = c.putting_from_coordinates(x)
        make[row] = make_probability(length_m, skill)
        three[row] = three_putt_probability(length_m, putt_tables(skill, longest_m=30.0, step_m=0.15))
    basis = "data+prior.player" if posterior.shots.get("putts") else "prior.player"
    return [
        PuttRow(
            float(length), estimate_of(make[:, i], "share", basis), estimate_of(three[:, i], "share", basis)
        )
        for i, length in enumerate(length_m)
    ]
