"""What the fit's kernels read: evidence of every kind, the prior and the sampler's way, as plain arrays."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rangework.skill.coordinates import N_COORDINATES

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Places where a logged shot can lie, for each of them: two rows of eight, which is what processors take at a time.
PLACES = 16
#: Balls of a cell that are taken at a time.
LANES = 8

#: Coordinates beyond those of `coordinates`, which describe the rows of the records: log odds that a solid strike is
#: wild, that a row is no shot of its target at all, and of misreading a solid strike (share of the most there is).
WILD, SLIPS, MISREADS = N_COORDINATES, N_COORDINATES + 1, N_COORDINATES + 2
N_FITTED = N_COORDINATES + 3

#: A wild strike, solid all the same, scatters so many times as widely as the others.
WILD_SPREAD = 2.0
WILD_EXCESS = WILD_SPREAD**2 - 1.0

NOT_TEE, TEE_DRIVER, TEE_SHORTER = 0, 1, 2


class Form(NamedTuple):
    """Numbers of the shot model that no fit changes (lengths in metres)."""

    depth_short_m: float
    depth_half_m: float
    depth_long: float
    direction_rad: float
    direction_long_rad: float
    tee_short_club: float
    poor_length: float
    poor_spread: float
    misread_ratio: float  #: how much likelier a poor strike is misread than a solid one
    most_misread: float  #: chance that a solid strike is misread, at most; 0 where nothing ever was
    tee_extra: float  #: sd of a logged drive's length that is not the golfer's, share of driver length
    shorter_length: float  #: mean advance with a shorter club, share of driver length
    shorter_spread: float  #: and its sd
    reading_ratio_per_m: float


class Cells(NamedTuple):
    """Shots of one target, lie, place and session: what their spread is made of, ``[cell]``.

    Spread is ``multiplier (full_share x full form + short)``; the multiplier is the weighted mean of those of one or
    two neighbours, the part that the shot counts to first, ``[cell, 2]``. Biases likewise. Indices are coordinates.
    """

    target_m: FloatArray
    tee: IntArray
    run_m: FloatArray
    full_share: FloatArray
    rough: IntArray
    short_depth_m: FloatArray
    short_direction_rad: FloatArray
    depth_at: IntArray
    direction_at: IntArray
    spread_weight: FloatArray
    sandy: FloatArray  #: [cell, 2] whether the level from sand counts too, 0 or 1
    partial: FloatArray  #: how much wider in depth than a full shot, 1 for full shots
    bias_at: IntArray
    bias_weight: FloatArray
    bias_depth_at: IntArray
    bias_depth_weight: FloatArray
    blend: FloatArray
    full_poor_at: IntArray
    short_poor_at: IntArray
    on_range: IntArray
    session: IntArray


class Aimed(NamedTuple):
    """Aimed balls: ``cells``, misreads ``[cell]``, balls in polar form from ``first[cell]`` on."""

    cells: Cells
    misreads: FloatArray
    first: IntArray
    distance_m: FloatArray
    angle_rad: FloatArray


class Logged(NamedTuple):
    """Logged strokes without an aim: approaches (one cell each) by what was left, drives by their advance."""

    cells: Cells
    left_m: FloatArray
    lay_up: FloatArray  #: density of what is left, if the stroke was a lay-up, times the share of such
    anywhere: FloatArray  #: density of what is left if the row is no shot at the hole at all
    drive_advance_m: FloatArray
    drive_to_hole_m: FloatArray
    drive_anywhere: FloatArray
    drive_length_m: float  #: a first look at driver length: how far from the tee drives are looked for
    drive_session: IntArray


class PoorPlaces(NamedTuple):
    """Places where a poor strike at the hole can lie that left so much, ``[approach, PLACES]``."""

    distance_m: FloatArray  #: from where it was struck, negative behind
    lever_m2: FloatArray  #: square of the distance that a turn moves a ball at
    aside_m2: FloatArray  #: square of the arc from the line to the hole
    weight: FloatArray


class DrivePlaces(NamedTuple):
    """Places where a drive can lie that left so much, ``[drive, PLACES]``."""

    distance_m: FloatArray  #: from the tee
    angle_square: FloatArray  #: of the angle off the line to the hole
    weight: FloatArray


class Putts(NamedTuple):
    """Putts holed, missed with nothing measured, and missed to a tap-in: counts by session and distance node."""

    node: IntArray
    session: IntArray
    holed: FloatArray
    missed: FloatArray
    near: FloatArray
    log_make: FloatArray  #: [node, line, pace, past]
    log_miss: FloatArray
    log_near: FloatArray
    line_first: float
    line_step: float
    pace_first: float
    pace_step: float
    past_first: float
    past_step: float


class Leaves(NamedTuple):
    """Missed putts by where they finished: the points ``[miss, point]`` that a measurement allows."""

    distance_m: FloatArray
    rolled_m: FloatArray
    angle_rad: FloatArray
    weight: FloatArray
    anywhere: FloatArray  #: density of a row that is no putt at all
    session: IntArray


class Sessions(NamedTuple):
    """Where each session's effects stand among the effects, ``[session]``, -1 for none."""

    direction: IntArray
    depth: IntArray
    spread: IntArray


class Evidence(NamedTuple):
    """All that the records say."""

    form: Form
    aimed: Aimed
    logged: Logged
    poor_places: PoorPlaces
    drive_places: DrivePlaces
    putts: Putts
    measured: Leaves  #: one point a miss
    circles: Leaves  #: points all round the hole: only the distance left is known
    sessions: Sessions


class Point(NamedTuple):
    """Coordinates with what the kernels need of them over and over, each ``[coordinate]``."""

    value: FloatArray
    factor: FloatArray  #: exponential
    chance: FloatArray  #: what the value is the log odds of


class Prior(NamedTuple):
    """Coordinates are ``levels`` at the level plus ``loadings`` times the latents."""

    loadings: FloatArray
    levels: FloatArray
    first_level: float
    level_step: float
    level: float
    level_sd: float
    shifts: FloatArray  #: [level, latent] how far latents must move for coordinates to stay as at ``level``


class Whitening(NamedTuple):
    """Latents and effects ``x`` from independent unit normals ``u``: the way the sampler walks.

    With ``v = golfer u`` for the latents (and ``sessions`` for the effects), ``x = mode + v`` but for a bend: of
    latents that the records know well, a share ``centred`` of their shift with the level is taken off, so that
    a change of level leaves the golfer's coordinates where the records want them.
    """

    mode: FloatArray
    golfer: FloatArray  #: [latent, latent]
    lean: FloatArray  #: [effect, latent] effects by the latents' u
    blocks: FloatArray  #: [effect, 3] effects by the u of ``partners``
    partners: IntArray  #: [effect, 3] effects of the same session
    centred: FloatArray  #: [latent]
