"""Sessions of the records, and which of them have effects of their own in the fit."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.skill.kernel_arrays import Sessions

IntArray = NDArray[np.int64]

#: Sessions of a kind beyond these many, smallest first, get no effects of their own: the fit stays quick.
MOST_SESSIONS = 400
NO_SESSION = 0


class SessionNumbers(NamedTuple):
    """Number of every row's session (0: none), by kind of records, and where their effects stand."""

    aimed: IntArray
    putts: IntArray
    rounds: IntArray
    effects: Sessions
    n_effects: int


def _numbers(frame: pd.DataFrame, name: str, first: int) -> tuple[IntArray, int]:
    """Session numbers from ``first`` on, for the largest sessions; how many there are."""
    if not len(frame):
        return np.zeros(0, dtype=np.int64), 0
    groups = frame.groupby(["date", name], sort=True, dropna=False).ngroup().to_numpy(np.int64)
    sizes = np.bincount(groups)
    largest = np.argsort(-sizes, kind="stable")[:MOST_SESSIONS]
    number = np.full(sizes.size, NO_SESSION, dtype=np.int64)
    number[np.sort(largest)] = first + np.arange(largest.size)
    return number[groups], int(largest.size)


def number_sessions(
    aimed: pd.DataFrame, putts: pd.DataFrame, log: pd.DataFrame, *, effects: bool = True
) -> SessionNumbers:
    """Number the sessions of the records. Practice sessions have three effects, putting and rounds their
    spread.

    ``effects=False`` leaves all effects out (for tests: intervals are then too narrow).
    """
    aimed_numbers, n_aimed = _numbers(aimed, "session", 1)
    putt_numbers, n_putts = _numbers(putts, "session", 1 + n_aimed)
    rounds, n_rounds = _numbers(log, "round", 1 + n_aimed + n_putts)
    n = 1 + n_aimed + n_putts + n_rounds
    where = Sessions(*(np.full(n, -1, dtype=np.int64) for _ in range(3)))
    if not effects:
        return SessionNumbers(aimed_numbers, putt_numbers, rounds, where, 0)
    where.direction[1 : 1 + n_aimed] = np.arange(n_aimed)
    where.depth[1 : 1 + n_aimed] = n_aimed + np.arange(n_aimed)
    where.spread[1:] = 2 * n_aimed + np.arange(n - 1)
    return SessionNumbers(aimed_numbers, putt_numbers, rounds, where, 2 * n_aimed + n - 1)
