"""The handicap that each piece of the game looks like: "putts like 6 (3 to 9), drives like 14 (9 to 20)".

A piece looks like the handicap of that reference golfer to whom it neither loses nor gains a stroke. Strokes of a part
are its steps away from that golfer, at what a step is worth to that golfer (`usual_worths`); strokes of putting
are expected putts from the usual first putts (`usual_putts`). A bias has no usual worth: the mean square of a shot's
distance from its line holds spread and bias alike, so it counts as the spread that would make the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rangework.skill import coordinates as c
from rangework.skill.by_index import TOUR_INDEX
from rangework.skill.latents import HIGHEST_LEVEL, LEVEL_STEP, LOWEST_LEVEL, level_table
from rangework.skill.measures import (
    WORDS,
    basis_of,
    estimate_of,
    has_relatives,
    prior_coordinates,
    range_share,
    shots_behind,
    sureness,
)
from rangework.skill.model import BAND_CENTRE_M
from rangework.skill.part_values import part_values
from rangework.skill.parts import PART_BY_ID, PARTS, STEP_CARRY_M, STEP_FACTOR, Family
from rangework.skill.posterior import Posterior
from rangework.skill.reference import Group
from rangework.skill.shot_cells import BAND_IDS
from rangework.skill.usual_putts import putts_a_round, reference_putts
from rangework.skill.usual_worths import usual_worths
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: Levels that a piece can look like. The first stands for the tour or better, the last for 54 or more.
LEVELS: FloatArray = np.arange(TOUR_INDEX, HIGHEST_LEVEL + 0.5 * LEVEL_STEP, LEVEL_STEP)
#: How likely the best family must truly be better than the worst before that is said.
SURE_APART = 0.95
ASSUMED = WORDS[0]
BASIS = "prior.reference_golfer+assumption.usual_worths"
PUTTING_BASIS = "prior.reference_golfer+assumption.usual_first_putts"
_PRIOR_DRAWS = 500


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the game that players speak of: a whole family of parts, or some of it.

    ``parts`` are those whose strokes it adds up, ``counted_by`` is one whose balls inform it.
    """

    id: str
    family: Family
    parts: tuple[str, ...]
    counted_by: str


def _family(family: Family, counted_by: str) -> Piece:
    parts = tuple(part.id for part in PARTS if part.family == family and part.kind != "bias")
    return Piece(family, family, parts, counted_by)


def _band(band: str) -> Piece:
    return Piece(band, "approach", (f"{band}.depth", f"{band}.direction"), f"{band}.depth")


PIECES: tuple[Piece, ...] = (
    _family("tee", "tee.direction"),
    Piece("tee.length", "tee", ("tee.carry",), "tee.carry"),
    Piece("tee.straightness", "tee", ("tee.direction", "tee.poor_strikes"), "tee.direction"),
    _family("approach", "approach.poor_strikes"),
    # from 200 yd and more a step is worth nothing to most reference golfers: no level follows
    *(_band(band) for band in BAND_IDS[:3]),
    _family("short_game", "short_game.poor_strikes"),
    *(Piece(part, "short_game", (part,), part) for part in ("chip", "pitch", "bunker")),
    _family("putting", "putt.line"),
)


@dataclass(frozen=True, slots=True)
class PieceLevel:
    """What a piece looks like: a handicap with its 90 % interval, balls behind it, basis and how sure.

    -5 stands for the tour or better, 54 for 54 or more. ``level``, ``low`` and ``high`` are None where the records
    say nothing of the piece: the prior's level would be no more than the stated handicap.
    """

    piece: str
    family: Family
    level: float | None
    low: float | None
    high: float | None
    shots: int
    basis: str
    words: str

    @property
    def measured(self) -> bool:
        """Whether the records say anything of it."""
        return self.words != ASSUMED


@dataclass(frozen=True, slots=True)
class Apart:
    """The families at the two ends, when the records are sure that one is better than the other."""

    best: Family
    worst: Family


@dataclass(frozen=True, slots=True)
class LevelByPiece:
    """Every piece in the order of ``PIECES``, and the two families that stand apart (None: none do)."""

    pieces: Sequence[PieceLevel]
    apart: Apart | None


def level_by_piece(posterior: Posterior) -> LevelByPiece:
    """What the pieces of a player's game look like, beside reference golfers of the player's own group."""
    prior = posterior.prior
    lost = strokes_lost(posterior.coordinates, prior.group)
    before = strokes_lost(prior_coordinates(prior)[:_PRIOR_DRAWS], prior.group)
    at = int(np.abs(LEVELS - posterior.reference_level).argmin())
    words = {
        piece.id: _words(piece, lost[piece.id][:, at], before[piece.id][:, at], posterior) for piece in PIECES
    }
    drawn = {piece: _where_level(strokes) for piece, strokes in lost.items()}
    pieces = [_piece_level(piece, drawn[piece.id], words[piece.id], posterior) for piece in PIECES]
    measured = [each.family for each in pieces if each.piece == each.family and each.measured]
    return LevelByPiece(pieces, _apart({family: drawn[family] for family in measured}))


def _words(piece: Piece, lost: FloatArray, before: FloatArray, posterior: Posterior) -> str:
    """How sure a level is: by the strokes ``[draw]`` lost to one golfer, which have no ends as levels have."""
    if not has_relatives(posterior, putts=piece.family == "putting"):
        return ASSUMED
    share = range_share(lost, posterior.coordinates[:, c.LN_RANGE_FACTOR]) if posterior.has_range else 0.0
    return sureness(float(lost.std()), float(before.std()), shots_behind(piece.counted_by, posterior), share)


def _piece_level(piece: Piece, drawn: FloatArray, words: str, posterior: Posterior) -> PieceLevel:
    basis = f"{basis_of(words)}+{PUTTING_BASIS if piece.family == 'putting' else BASIS}"
    level = estimate_of(drawn, "handicap", basis)
    value, low, high = (None,) * 3 if words == ASSUMED else (level.value, level.low, level.high)
    shots = shots_behind(piece.counted_by, posterior)
    return PieceLevel(piece.id, piece.family, value, low, high, shots, basis, words)


def _apart(drawn: Mapping[Family, FloatArray]) -> Apart | None:
    if len(drawn) < 2:
        return None
    by_level = sorted(drawn, key=lambda family: float(np.median(drawn[family])))
    best, worst = by_level[0], by_level[-1]
    sure = np.mean(drawn[worst] > drawn[best]) >= SURE_APART
    return Apart(best, worst) if sure else None


def piece_levels(coordinates: FloatArray, group: Group = "men") -> dict[str, FloatArray]:
    """By piece the level ``[golfer]`` that golfers of ``coordinates`` ``[golfer, coordinate]`` look like there.

    Every piece of a reference golfer looks like the golfer's own level; what gets worse raises the level of its
    pieces or leaves it at an end. ``group`` as in ``strokes_lost``.
    """
    lost = strokes_lost(coordinates, group)
    return {piece: _where_level(strokes) for piece, strokes in lost.items()}


def strokes_lost(coordinates: FloatArray, group: Group = "men") -> dict[str, FloatArray]:
    """By piece the strokes a round ``[golfer, level]`` that golfers lose to the reference golfers of ``LEVELS``.

    ``group``: the reference golfers they are seen beside.
    """
    ours, theirs = quantities(coordinates), quantities(_reference(group))
    by_part = {part: _part_lost(part, ours[part], theirs[part], worth) for part, worth in _worths().items()}
    lost = {
        piece.id: np.sum([by_part[part] for part in piece.parts], axis=0)
        for piece in PIECES
        if piece.family != "putting"
    }
    return lost | {"putting": putts_a_round(coordinates)[:, None] - _reference_putts()}


def _reference(group: Group) -> FloatArray:
    """Coordinates ``[level, coordinate]`` of the reference golfers of ``LEVELS``."""
    return level_table(group)[round((TOUR_INDEX - LOWEST_LEVEL) / LEVEL_STEP) :]


def _reference_putts() -> FloatArray:
    """Expected putts of the reference golfers of ``LEVELS``, men and women alike."""
    return np.asarray(np.interp(LEVELS, *reference_putts(TOUR_INDEX, HIGHEST_LEVEL)))


@lru_cache(maxsize=1)
def _worths() -> dict[str, FloatArray]:
    """Strokes a round that a step of each part saves the reference golfers of ``LEVELS``; shots alone."""
    by_level = [usual_worths(float(level)) for level in LEVELS]
    parts = [part for part in PARTS if part.family != "putting" and part.kind != "bias"]
    return {part.id: np.array([worths[part.id] for worths in by_level]) for part in parts}


_BANDS_YD: FloatArray = BAND_CENTRE_M / YARD_M
#: Metres at a band's centre for a depth bias of one: it sets in between 40 and 100 yd (`model`).
_BIAS_REACH_M: FloatArray = BAND_CENTRE_M * np.clip((_BANDS_YD - 40.0) / 60.0, 0.0, 1.0)


def quantities(coordinates: FloatArray) -> dict[str, FloatArray]:
    """The quantity of every part ``[golfer]``, biases counted as spread: mean square and all."""
    values = part_values(coordinates)
    values["tee.direction"] = np.hypot(values["tee.direction"], values["tee.bias"])
    for band, name in enumerate(BAND_IDS):
        bias_m = coordinates[:, c.BIAS_DEPTH + band] * _BIAS_REACH_M[band]
        values[f"{name}.depth"] = np.hypot(values[f"{name}.depth"], bias_m)
        values[f"{name}.direction"] = np.hypot(values[f"{name}.direction"], values[f"{name}.bias"])
    return values


def _part_lost(part: str, ours: FloatArray, theirs: FloatArray, worth: FloatArray) -> FloatArray:
    """Strokes a round ``[golfer, level]`` that one part loses to each reference golfer.

    Spread goes by repeated steps, as practice changes it (`parts.improve`); poor strikes cost in proportion
    to how many there are, and so does the extra spread from rough.
    """
    kind = PART_BY_ID[part].kind
    if kind == "carry":
        return np.asarray(worth / STEP_CARRY_M * (theirs - ours[:, None]))
    if kind == "spread":
        return np.asarray(worth / -math.log(STEP_FACTOR[kind]) * (np.log(ours)[:, None] - np.log(theirs)))
    return np.asarray(worth / (1.0 - STEP_FACTOR[kind]) * (ours[:, None] / theirs - 1.0))


def _where_level(lost: FloatArray) -> FloatArray:
    """The level ``[golfer]`` from which on strokes ``[golfer, level]`` are gained and no longer lost."""
    loses = lost > 0.0
    last = LEVELS.size - 1 - np.argmax(loses[:, ::-1], axis=1)
    cell = np.minimum(last, LEVELS.size - 2)
    before, after = np.take_along_axis(lost, np.stack([cell, cell + 1], axis=1), axis=1).T
    turns = loses.any(axis=1) & ~loses[:, -1]
    share = before / np.where(turns, before - after, 1.0)
    level = np.where(turns, LEVELS[cell] + LEVEL_STEP * share, LEVELS[-1])
    return np.asarray(np.where(loses.any(axis=1), level, LEVELS[0]))
