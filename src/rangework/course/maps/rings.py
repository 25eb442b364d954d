"""Ways of OpenStreetMap that share ends, joined into rings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Nodes = NDArray[np.int64]


def joined_rings(ways: Sequence[Nodes]) -> tuple[list[Nodes], bool]:
    """The closed rings that ways (lists of nodes) make, and whether every open way has become part of one."""
    rings = [way for way in ways if len(way) > 3 and way[0] == way[-1]]
    opened = [way for way in ways if len(way) > 1 and way[0] != way[-1]]
    at_end: dict[int, list[int]] = defaultdict(list)
    for index, way in enumerate(opened):
        at_end[int(way[0])].append(index)
        at_end[int(way[-1])].append(index)
    unused, whole = set(range(len(opened))), True
    for first in range(len(opened)):
        if first in unused:
            chain = _chain(first, opened, at_end, unused)
            closed = len(chain) > 3 and chain[0] == chain[-1]
            whole = whole and closed
            rings += [chain] if closed else []
    return rings, whole


def _chain(first: int, ways: Sequence[Nodes], at_end: dict[int, list[int]], unused: set[int]) -> Nodes:
    """A way and all that continues it, until the ends meet or nothing is left to add."""
    unused.discard(first)
    pieces, start, end = [ways[first]], int(ways[first][0]), int(ways[first][-1])
    while start != end:
        waiting = at_end[end]
        while waiting and waiting[-1] not in unused:
            waiting.pop()
        if not waiting:
            break
        following = waiting.pop()
        unused.discard(following)
        way = ways[following]
        way = way if int(way[0]) == end else way[::-1]
        pieces.append(way[1:])
        end = int(way[-1])
    return np.concatenate(pieces)
