"""Everything that is told of a player's skill, in one place: what `rangework skill` prints and writes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from rangework.errors import Problem
from rangework.estimate import Estimate
from rangework.lie import SHOT_LIES
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.balls_needed import BallsNeeded, balls_needed
from rangework.skill.by_index import TOUR_INDEX
from rangework.skill.club_carries import ClubCarry, club_carries, doubted_carries
from rangework.skill.coordinates import golfer_coordinates
from rangework.skill.dispersion_table import DispersionRow, dispersion_table, putting_table
from rangework.skill.level_by_piece import LevelByPiece, level_by_piece
from rangework.skill.measures import PartEstimate, RangeFactor, estimate_of, part_estimates, range_factor
from rangework.skill.model import Golfer, longest_targets
from rangework.skill.part_values import part_values
from rangework.skill.posterior import Posterior
from rangework.skill.putting import make_probability, putt_tables, three_putt_probability
from rangework.skill.standing_out import StandingOut, standing_out
from rangework.skill.usual_worths import usual_worths

#: A golfer to compare with: a handicap index, or the tour.
Level = float | Literal["tour"]

#: Balls of each kind that are imagined to find where more of them would help.
MORE_BALLS = 60
USUAL_WORTHS_BASIS = "assumption.usual_worths"


@dataclass(frozen=True, slots=True)
class PuttLength:
    """Chances from one length of holing and of three putts or more, and those of the reference golfer."""

    length_m: float
    make: Estimate
    three_putt: Estimate
    make_reference: Estimate
    three_putt_reference: Estimate


@dataclass(frozen=True, slots=True)
class SkillReport:
    """What the records tell of a player.

    ``held`` counts the records; ``reference`` is the golfer that parts and putts are compared with, ``level``
    the handicap that the records look like, as a whole; ``level_by_piece`` the same piece by piece. ``stated_m``
    has the profile's carry of each club that it names, ``longest_m`` the longest target by lie, ``more_balls``
    what more balls would tell; both that and what stands out is weighed by worths that rest on ``weights_basis``.
    """

    name: str
    stated_handicap: float | None
    held: Mapping[str, Any]
    reference: Level
    level: Estimate
    level_by_piece: LevelByPiece
    parts: Sequence[PartEstimate]
    stands_out: Sequence[StandingOut]
    dispersion: Sequence[DispersionRow]
    putts: Sequence[PuttLength]
    clubs: Sequence[ClubCarry]
    stated_m: Mapping[str, float]
    has_range: bool
    range_factor: RangeFactor
    more_balls: Sequence[BallsNeeded]
    weights_basis: str
    longest_m: Mapping[str, float]
    warnings: Sequence[Problem]


def skill_report(
    records: ShotRecords,
    posterior: Posterior,
    profile: PlayerProfile,
    *,
    reference: Level | None = None,
    strokes_saved: Mapping[str, float] | None = None,
    seed: int = 0,
) -> SkillReport:
    """Everything told of a player.

    ``reference``: the golfer to compare with; the player's own level unless given. ``strokes_saved``: what one
    step of each part saves on the player's course; without it standard holes weigh what stands out and where
    more balls would help.
    """
    level: Level = posterior.reference_level if reference is None else reference
    golfer = posterior.reference(level)
    weights = strokes_saved or usual_worths(TOUR_INDEX if level == "tour" else level)
    basis = "data+prior.reference_golfer" if strokes_saved else USUAL_WORTHS_BASIS
    parts = _parts_beside(posterior, golfer)
    clubs = club_carries(records, posterior.mean)
    return SkillReport(
        name=profile.name,
        stated_handicap=posterior.handicap,
        held=records.summary(),
        reference=level,
        level=estimate_of(posterior.level, "handicap", "data+prior.player"),
        level_by_piece=level_by_piece(posterior),
        parts=parts,
        stands_out=standing_out(parts, weights, basis, of_player=strokes_saved is not None),
        dispersion=dispersion_table(posterior),
        putts=_putts_beside(posterior, golfer),
        clubs=clubs,
        stated_m=dict(profile.clubs),
        has_range=posterior.has_range,
        range_factor=range_factor(posterior),
        more_balls=balls_needed(posterior, weights, balls=MORE_BALLS, seed=seed),
        weights_basis=basis,
        longest_m=_longest_m(posterior.mean),
        warnings=(*records.warnings, *posterior.warnings, *doubted_carries(clubs, profile.clubs)),
    )


def _parts_beside(posterior: Posterior, golfer: Golfer) -> list[PartEstimate]:
    theirs = part_values(golfer_coordinates(golfer)[None, :])
    return [replace(part, reference=float(theirs[part.part][0])) for part in part_estimates(posterior)]


def _putts_beside(posterior: Posterior, golfer: Golfer) -> list[PuttLength]:
    rows = putting_table(posterior)
    length_m = np.array([row.length_m for row in rows])
    make = make_probability(length_m, golfer.putting)
    three = three_putt_probability(length_m, putt_tables(golfer.putting))
    return [
        PuttLength(row.length_m, row.make, row.three_putt, _theirs(made), _theirs(missed))
        for row, made, missed in zip(rows, make.tolist(), three.tolist(), strict=True)
    ]


def _theirs(chance: float) -> Estimate:
    return Estimate(chance, None, None, "share", "prior.reference_golfer")


def _longest_m(golfer: Golfer) -> dict[str, float]:
    longest = longest_targets(golfer)
    return {lie.name.lower(): float(longest[lie]) for lie in SHOT_LIES}
