"""Lie: what the ball is played from. Ground: what a map of the course shows."""

from __future__ import annotations

from enum import IntEnum


class Lie(IntEnum):
    """What the ball is played from. The numbers index the rows of every skill table."""

    TEE = 0  #: driving tee of a par 4 or 5; a par-3 tee shot is played as from FAIRWAY
    FAIRWAY = 1  #: closely mown grass off the green
    ROUGH = 2
    SAND = 3
    RECOVERY = 4  #: among trees: only a shot back into play is open
    GREEN = 5
    HOLED = 6  #: only as where a stroke finished
    FRINGE = 7  #: the strip round a green, putted from like the green; a practice ball hit there is one from FAIRWAY


#: Lies that are putted from.
PUTTED_LIES = (Lie.GREEN, Lie.FRINGE)

#: Lies that a full shot or a short shot is played from: the rows of the skill tables.
SHOT_LIES = (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY)


class Ground(IntEnum):
    """What covers a cell of a hole's ground grid."""

    ROUGH = 0
    FAIRWAY = 1
    GREEN = 2
    FRINGE = 3
    SAND = 4
    TREES = 5
    WATER = 6  #: penalty area
    OUT = 7  #: out of bounds


#: The lie of a ball at rest on each kind of ground; -1 where it may not be played.
LIE_ON_GROUND: dict[Ground, int] = {
    Ground.ROUGH: Lie.ROUGH,
    Ground.FAIRWAY: Lie.FAIRWAY,
    Ground.GREEN: Lie.GREEN,
    Ground.FRINGE: Lie.FRINGE,
    Ground.SAND: Lie.SAND,
    Ground.TREES: Lie.RECOVERY,
    Ground.WATER: -1,
    Ground.OUT: -1,
}
