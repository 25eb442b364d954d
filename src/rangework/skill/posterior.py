"""Posterior: plausible players, given their records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rangework.errors import Problem
from rangework.skill import coordinates as c
from rangework.skill.latents import (
    HIGHEST_LEVEL,
    LATENT_NAMES,
    LN_DRIVER_SD,
    LOWEST_LEVEL,
    N_LATENTS,
    LatentPrior,
    golfer_from_latents,
)
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.skill.sampler import Laplace

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Plausible players: draws of latents, with what they rest on.

    ``latents`` ``[draw, latent]`` has the latents of ``names`` first, then the effects of sessions. ``shots``
    counts balls by part of the game, ``aimed_shots`` those with a known aim, ``shots_from`` by part and lie.
    ``diagnostics``: acceptance, step and the largest split R-hat of the named latents. ``warnings`` name what
    limits the fit.
    """

    latents: FloatArray
    prior: LatentPrior
    handicap: float | None
    shots: Mapping[str, int]
    aimed_shots: Mapping[str, int]
    shots_from: Mapping[tuple[str, int], int]
    has_range: bool
    has_course: bool
    laplace: Laplace
    diagnostics: Mapping[str, float]
    warnings: tuple[Problem, ...] = ()
    names: tuple[str, ...] = field(default=LATENT_NAMES)

    @property
    def n_draws(self) -> int:
        """Number of draws."""
        return len(self.latents)

    @property
    def mean(self) -> Golfer:
        """The golfer at the mean of the latents: the one that strategy and advice are made for."""
        return golfer_from_latents(self.latents[:, :N_LATENTS].mean(axis=0), self.prior)

    def draws(self, n: int) -> list[Golfer]:
        """``n`` plausible golfers: evenly spaced draws (all of them, at most)."""
        if n < 1:
            raise ValueError(f"n is {n}; at least one draw is needed")
        places = np.unique(np.linspace(0, self.n_draws - 1, min(n, self.n_draws)).round().astype(int))
        return [golfer_from_latents(self.latents[i], self.prior) for i in places]

    @property
    def coordinates(self) -> FloatArray:
        """Coordinates ``[draw, coordinate]`` (`rangework.skill.coordinates`), right positive for any hand."""
        coordinates = self.prior.coordinates(self.latents[:, :N_LATENTS])
        return c.mirrored(coordinates) if self.prior.hand == "left" else coordinates

    @property
    def reference_level(self) -> float:
        """The level to compare with: the stated handicap, or the median level when none is stated."""
        level = float(np.median(self.level)) if self.handicap is None else self.handicap
        return min(max(level, LOWEST_LEVEL), HIGHEST_LEVEL)

    @property
    def by_length(self) -> bool:
        """Whether this player's length does not go by the handicap: a junior, a senior, drives far off the level."""
        return self.prior.ln_driver_sd > LN_DRIVER_SD

    def reference(self, level: float | str | None = None) -> Golfer:
        """The golfer to compare with: a handicap index or ``tour``, the player's own level unless given.

        Where length does not go by the handicap it is the golfer of that index who drives as far as the player.
        """
        if level == "tour":
            return tour_golfer(self.prior.group)
        index = self.reference_level if level is None else float(level)
        return reference_golfer(
            index, self.prior.group, driver_m=self.mean.driver_m if self.by_length else None
        )

    @property
    def level(self) -> FloatArray:
        """Handicap level ``[draw]`` that prior and records together imply."""
        return self.prior.level_of(self.latents)
