"""Expected strokes to hole out by lie and distance, for any golfer: what strokes gained count from."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.course.standard_hole import PAR_FOUR_FROM_M, standard_hole
from rangework.lie import LIE_ON_GROUND, PUTTED_LIES, SHOT_LIES, Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import PAR_THREE_TEE, Layout, lay_out
from rangework.play.points import error_points
from rangework.play.strategy import compile_player, solve_hole, standard_effort
from rangework.skill.model import Golfer
from rangework.skill.putting import PuttTables, expected_putts, putt_tables
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: Length of the standard holes. Where more is asked for, the table goes on in a straight line.
HOLE_M = 600.0 * YARD_M
#: A tee shot from nearer than this is played on a hole of just that length, whose surroundings differ.
OWN_HOLE_BELOW_M = 380.0 * YARD_M
#: Nearer than this a ball may lie anywhere around the green; farther out it lies in front of it.
AROUND_M = 30.0 * YARD_M
BEARINGS = 8
_TABLE_YD = (4, 6, 8, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, *range(100, 601, 20))
#: Distances that a table is made for.
TABLE_M: FloatArray = np.array(_TABLE_YD) * YARD_M
_COARSE_STEP_M, _FINE_STEP_M = 12.0, 5.0
_MAY_LIE = np.array([LIE_ON_GROUND[ground] not in (-1, *PUTTED_LIES) for ground in Ground])


@dataclass(frozen=True, slots=True, eq=False)
class ExpectedStrokes:
    """Expected strokes of one golfer on standard holes.

    ``strokes[lie, i]`` at ``distance_m[i]`` (lies TEE to RECOVERY) and ``putts`` on the green. Between
    distances linear; beyond the last one straight on; nearer than the first one level.
    """

    distance_m: FloatArray
    strokes: FloatArray
    putts: PuttTables

    def at(self, lie: ArrayLike, distance_m: ArrayLike) -> FloatArray:
        """Expected strokes from a lie and distance; 0 where the lie is HOLED, nan where it is none."""
        lies, distances = np.broadcast_arrays(np.asarray(lie), np.asarray(distance_m, dtype=np.float64))
        strokes = np.where(lies == Lie.HOLED, 0.0, np.nan)
        green = np.isin(lies, PUTTED_LIES)
        strokes[green] = expected_putts(distances[green], self.putts)
        for shot_lie in SHOT_LIES:
            chosen = lies == shot_lie
            strokes[chosen] = self._from(shot_lie, distances[chosen])
        return strokes

    def _from(self, lie: Lie, distance_m: FloatArray) -> FloatArray:
        known = np.flatnonzero(np.isfinite(self.strokes[lie]))
        x, y = self.distance_m[known], self.strokes[lie, known]
        slope = (y[-1] - y[-2]) / (x[-1] - x[-2])
        return np.asarray(np.interp(distance_m, x, y) + slope * np.maximum(distance_m - x[-1], 0.0))


def expected_strokes_table(
    golfer: Golfer, *, holes: int = 12, seed: int = 0, threads: int = 2
) -> ExpectedStrokes:
    """The golfer's expected strokes at ``TABLE_M`` from every lie, equal for any number of threads."""
    lies = np.array([int(lie) for lie in SHOT_LIES])
    strokes = expected_strokes(golfer, lies[:, None], TABLE_M, holes=holes, seed=seed, threads=threads)
    return ExpectedStrokes(TABLE_M, strokes, putt_tables(golfer.putting))


def expected_strokes(
    golfer: Golfer,
    lies: ArrayLike,
    distances_m: ArrayLike,
    *,
    holes: int = 12,
    seed: int = 0,
    threads: int = 2,
) -> FloatArray:
    """Expected strokes to hole out from each lie and distance (broadcast together), up to 600 yd.

    Means over ``holes`` standard holes, on each of which the golfer's strategy is solved. A ball lies on
    the line from the tee to the pin and, nearer than ``AROUND_M``, on any side of the pin; a tee shot of a short
    hole has holes of its own. Places on the green, in penalty areas or out of bounds don't count; where no other
    is left the answer is nan.
    """
    lie, distance = np.broadcast_arrays(np.asarray(lies), np.asarray(distances_m, dtype=np.float64))
    player = compile_player(golfer)
    balls = _Balls.around_pin(lie.ravel(), distance.ravel())
    length_m = np.where(balls.short_tee_shots, balls.to_hole_m, HOLE_M)
    values = np.full((holes, length_m.size), np.nan)
    # short holes differ less from one another: half as many will do
    numbers = {float(at): holes if at == HOLE_M else (holes + 1) // 2 for at in np.unique(length_m)}
    tasks = [(number, at) for at, count in numbers.items() for number in range(count)]

    def on_hole(task: tuple[int, float]) -> None:
        number, hole_m = task
        grid = standard_hole(hole_m, seed=seed + number)
        layout = lay_out(grid, coarse_step_m=_COARSE_STEP_M, fine_step_m=_FINE_STEP_M)
        here = length_m == hole_m
        values[number, here] = _values(layout, player, balls.chosen(here))

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(on_hole, tasks))
    strokes = _means(values, balls.place, lie.size).reshape(lie.shape)
    on_green = expected_putts(distance, putt_tables(golfer.putting))
    return np.asarray(np.where(np.isin(lie, PUTTED_LIES), on_green, strokes))


@dataclass(frozen=True, slots=True)
class _Balls:
    """Balls whose strokes to hole out are asked for; ``place`` is the entry that each belongs to."""

    place: NDArray[np.int64]
    right_m: FloatArray
    past_m: FloatArray
    row: NDArray[np.int64]
    reach: NDArray[np.int64]

    @property
    def to_hole_m(self) -> FloatArray:
        """Distance to the pin."""
        return np.hypot(self.right_m, self.past_m)

    @property
    def short_tee_shots(self) -> NDArray[np.bool_]:
        """Which balls lie on the tee of a short hole."""
        tee = (self.reach == Lie.TEE) | (self.reach == PAR_THREE_TEE)
        return np.asarray(tee & (self.to_hole_m < OWN_HOLE_BELOW_M) & (self.to_hole_m >= AROUND_M))

    def chosen(self, these: NDArray[np.bool_]) -> _Balls:
        """Some of the balls."""
        return _Balls(*(getattr(self, name)[these] for name in self.__slots__))

    @classmethod
    def around_pin(cls, lie: NDArray[np.int64], distance_m: FloatArray) -> _Balls:
        bearings = np.where(distance_m < AROUND_M, BEARINGS, 1)
        bearings[~np.isin(lie, SHOT_LIES)] = 0
        place = np.repeat(np.arange(lie.size), bearings)
        number = np.concatenate([np.arange(count) for count in bearings])
        turn = number * (2.0 * np.pi / BEARINGS)
        far, from_lie = distance_m[place], lie[place]
        par_three = (from_lie == Lie.TEE) & (far < PAR_FOUR_FROM_M)
        row, reach = np.where(par_three, Lie.FAIRWAY, from_lie), np.where(par_three, PAR_THREE_TEE, from_lie)
        return cls(
            place, -far * np.sin(turn), -far * np.cos(turn), row.astype(np.int64), reach.astype(np.int64)
        )


def _values(layout: Layout, player: Player, balls: _Balls) -> FloatArray:
    """Strokes to hole out of every ball on one hole, nan where it may not lie."""
    hole, effort = layout.hole, standard_effort()
    strategy = solve_hole(layout, player, effort)
    x, y = hole.pin_x + balls.right_m, hole.pin_y + balls.past_m
    valid = _MAY_LIE[layout.grid.ground_at(x, y)]
    known = np.empty(int(valid.sum()))
    kernels.best_values(
        hole, strategy.cost, player, effort.far[1], effort.far[2], error_points(2000, 400, 0.3),
        balls.row[valid], balls.reach[valid], x[valid], y[valid], known,
    )  # fmt: skip
    values = np.full(x.shape, np.nan)
    values[valid] = known
    return values


def _means(values: FloatArray, place: NDArray[np.int64], n_places: int) -> FloatArray:
    """Mean over holes and balls [hole, ball] of what is known, by place."""
    known = np.isfinite(values)
    count = np.bincount(place, known.sum(axis=0), n_places)
    total = np.bincount(place, np.where(known, values, 0.0).sum(axis=0), n_places)
    with np.errstate(invalid="ignore"):
        return np.asarray(total / count)
