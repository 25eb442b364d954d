"""What kernels read and write: constants, and tuples of arrays.

Kernels see arrays only; meanings, shapes and units are documented at the public functions of this folder and here:

- ``HoleArrays``: ground codes of ``rangework.lie.Ground`` in square cells, frame as ``GroundGrid``.
- ``Lattices``: places whose value is solved for, a coarse lattice everywhere and a fine one in a box around
  the pin; ``*_id[lie - 1, iy, ix]`` is the node's number or -1.
- ``Nodes``: per node its place, the row of the skill table it plays from and its entry in ``longest_m``.
- ``Policy``: per node the target's place and the height played.
- ``Points``: standard normal pairs standing for solid and poor strikes.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from rangework.lie import Ground, Lie

ROUGH, FAIRWAY, GREEN, FRINGE = int(Ground.ROUGH), int(Ground.FAIRWAY), int(Ground.GREEN), int(Ground.FRINGE)
SAND, TREES, WATER, OUT = int(Ground.SAND), int(Ground.TREES), int(Ground.WATER), int(Ground.OUT)
LIE_FAIRWAY, LIE_ROUGH, LIE_SAND = int(Lie.FAIRWAY), int(Lie.ROUGH), int(Lie.SAND)
LIE_RECOVERY, LIE_GREEN, LIE_TEE = int(Lie.RECOVERY), int(Lie.GREEN), int(Lie.TEE)
LIE_FRINGE = int(Lie.FRINGE)
#: How a stroke ended: at rest in play; dropped with one penalty stroke; stroke and distance; still in trouble.
IN_PLAY, DROPPED, REPLAYED, STUCK = 0, 1, 2, 3
#: Costs that mark cells where the place in the cell, or where the ball came from, decides.
MARK_WATER, MARK_OUT, MARK_GREEN = -1.0, -2.0, -3.0
#: How the hole goes on from a cell without a shot from it, where other cells have the number of a play.
IN_WATER, OUT_OF_BOUNDS, ON_GREEN = -1, -2, -3
ROLL_STEP_M = 1.0
#: Candidates for a target that are looked at more closely.
KEPT = 4
#: Most sweeps over the rings nearest the pin, and the change of value (strokes) at which they end.
SETTLE_SWEEPS, SETTLED = 10, 0.004
#: How often targets are chosen again at most, and the rise of value (strokes) from which a place gets a new one.
CHOSEN_AGAIN, MUCH_DEARER = 25, 0.03
#: Targets from this share of the longest on count as the longest.
AT_LONGEST = 0.97
#: A recovery is aimed at least this far (30 yd) short of the pin, or half way to it where that is nearer; when it
#: fails it stays where it was.
RECOVERY_SHORT_M = 27.432
#: Shots aimed shorter than this (60 yd) roll out step by step over whatever ground they meet.
WALK_BELOW_M = 54.864
POOR_LENGTH, POOR_SPREAD = 0.65, 2.2
#: Rounds played in step. Every phase of a stroke runs over all of them before the next one starts.
WAVE = 512
#: Most error points in a set.
MOST_POINTS = 4096
#: Length of a row of the work arrays. Not a power of two: such rows would fight for the same places of the cache.
ROW = MOST_POINTS + 8
#: Rows of the work array of numbers: at fixed distances in one array, so that the compiler
#: sees that they don't overlap and can use the processor's vector units.
(
    X, Y, WORTH, TARGET_X, TARGET_Y, LONGEST, NORMAL_1, NORMAL_2, UNIFORM, LINE_X, LINE_Y, TARGET, FULL_TARGET,
    SHIFT_X, SHIFT_Y, UNSURE_ALONG, UNSURE_ACROSS, DEPTH, DIRECTION, BIAS_DEPTH, BIAS, POOR, CARRY, END_X, END_Y, RUN,
    AFTER, DELTA, N_NUMBERS,
) = (ROW * row for row in range(29))  # fmt: skip
#: Rows of the work array of whole numbers. ``TALLY`` packs bytes: tee, approach, short game, putts, penalties,
#: strokes taken, flags.
ROUND, PLAY, KIND, TALLY, ENTRY, CELL, NEXT, GROUP, LIST, TROUBLE, N_COUNTS = (ROW * row for row in range(11))


class Air(NamedTuple):
    """What changes a shot on one hole; ``rangework.conditions`` has the figures and their sources.

    The wind blows toward (``wind_x``, ``wind_y``), m/s on the grid's plane. A ball is carried on by the golfer's driver
    length times ``tail``, ``cross`` (per m/s), or back by ``head`` and ``head_squared`` (per m/s and its square), in
    full from ``full_share`` of the driver length on; ``unsure`` is the share of it that a player does not foresee.
    ``stretch`` multiplies calm distances; ``slope`` is the climb a metre from the tee to the pin.
    """

    neutral: bool  # nothing is changed
    wind_x: float
    wind_y: float
    head: float
    head_squared: float
    tail: float
    cross: float
    full_share: float
    unsure: float
    stretch: float
    slope: float


class HoleArrays(NamedTuple):
    """Ground of a hole for the kernels."""

    ground: Any
    flat: Any  # the same cells in one row
    x0: float
    y0: float
    cell: float
    per_cell: float
    pin_x: float
    pin_y: float
    firmness: float  # multiplies the run of full shots; 1 is normal ground
    short_firmness: float  # multiplies the run of shots that roll out step by step
    run_share: Any  # by ground: the share of a full shot's run that it allows where the ball lands
    roll_price: Any  # by ground: green-metres of roll that a metre uses up
    surface: Any  # by cell: ground + 8 * metres in any direction over which the roll's price is the same, 31 at most
    air: Air


class Lattices(NamedTuple):
    """Numbers of the nodes on the coarse and the fine lattice."""

    coarse_id: Any
    coarse_x0: float
    coarse_y0: float
    coarse_step: float
    fine_id: Any
    fine_x0: float
    fine_y0: float
    fine_step: float
    box_x0: float
    box_y0: float
    box_x1: float
    box_y1: float


class Nodes(NamedTuple):
    """Places whose value is solved for, by growing distance from the pin; and the cells that read from them.

    ``cell_order`` lists the flat numbers of cells by ring; ``cell_node[cell]`` and ``cell_weight[cell]`` are the
    four nodes that a cell's cost is interpolated from. ``cell_play[cell]`` is the number of the play (a node's
    target, see ``play_hole``) that a ball in the cell uses, or how its hole goes on without one.

    Once ring ``r`` is valued, the cells ``fill_order[fill_start[r] : fill_start[r + 1]]`` are written: those of the
    ring itself, and those of the two rings before it that read from one of its nodes. ``fill_node`` and
    ``fill_weight`` are their nodes and weights once more, in the order in which they are read; or empty.
    """

    x: Any
    y: Any
    row: Any
    reach: Any
    ring_start: Any
    cell_order: Any
    cell_ring_start: Any
    cell_node: Any
    cell_weight: Any
    cell_play: Any
    fill_start: Any
    fill_order: Any
    fill_node: Any
    fill_weight: Any


class Policy(NamedTuple):
    """Where each node aims and how high it plays."""

    x: Any
    y: Any
    height: Any


class Points(NamedTuple):
    """Standard normal pairs for solid and for poor strikes, [set, 2, number].

    Nodes take the sets in turn, so that the sets' own errors cancel over the nodes that a shot may reach.
    """

    solid: Any
    poor: Any


class Player(NamedTuple):
    """A golfer's tables: shots, longest targets, correlation, expected putts, chances of at most 1-4 putts."""

    table: Any
    longest: Any
    correlation: float
    putts: Any
    cumulative: Any
    putt_step: float
