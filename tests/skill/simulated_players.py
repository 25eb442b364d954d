"""Players whose every shot is simulated from the shot model's tables: shares no code with the likelihood."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.records.shots import ShotRecords, make_frame
from rangework.skill import model
from rangework.skill.model import Golfer, compile_golfer
from rangework.skill.putting import capture_past_m
from rangework.units import DEGREE_RAD, FOOT_M, YARD_M

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
HOLE_M = 0.054
#: What one round holds: lie, strokes, nearest and farthest distance to the hole (m, or shares of the longest shot).
_ROUND_SHORT = ((Lie.FAIRWAY, 3, 6.0, 45.0), (Lie.ROUGH, 3, 6.0, 45.0), (Lie.SAND, 2, 6.0, 40.0))
_ROUND_FULL = ((Lie.FAIRWAY, 10, 1.0), (Lie.ROUGH, 8, 0.9), (Lie.TEE, 4, 1.0))


@dataclass
class Days:
    """What no part of the player's skill decides: how sessions differ, range and course, how logs were aimed,
    what the device misreads, and (for misspecification) what no fit knows of.
    """

    direction_rad: float = 1.0 * DEGREE_RAD
    depth: float = 0.015
    spread: float = 0.10
    range_factor: float = 0.85
    aim_rad: float = 3.0 * DEGREE_RAD
    aim_depth_ratio: float = 0.5
    misread_poor: float = 0.0
    misread_solid: float = 0.0
    run_m: float = 18.0 * YARD_M
    shorter_club: float = 0.0
    rounded: bool = False  #: logs hold whole feet on the green (a foot at least) and whole yards elsewhere
    allows_for_bias: float = 1.0  #: share of the own bias that logged strokes are aimed against
    wild: float = 0.0  #: share of solid strikes that scatter twice as widely as the others
    slips: float = 0.0  #: share of measured places that are recorded anywhere within the target's distance
    tail_freedom: float = np.inf  #: degrees of freedom of every error of a full or short shot
    putt_tail_freedom: float = np.inf


@dataclass
class SimulatedPlayer:
    golfer: Golfer
    seed: int
    days: Days = field(default_factory=Days)

    def __post_init__(self) -> None:
        self.rng = np.random.default_rng(self.seed)
        self.tables = compile_golfer(self.golfer)

    def records(
        self,
        *,
        aimed: pd.DataFrame | None = None,
        putts: pd.DataFrame | None = None,
        log: pd.DataFrame | None = None,
    ) -> ShotRecords:
        empty = ShotRecords.empty()
        return ShotRecords(
            aimed if aimed is not None else empty.aimed,
            putts if putts is not None else empty.putts,
            log if log is not None else empty.log,
        )

    @property
    def longest_m(self) -> float:
        """The farthest that an iron or fairway club is aimed at."""
        return 0.78 * self.golfer.driver_m

    def _row(self, lie: IntArray, target_m: FloatArray, column: int) -> FloatArray:
        distance = np.arange(model.TABLE_LENGTH) * model.TABLE_STEP_M
        values = np.empty(target_m.size)
        for one in np.unique(lie):
            at = lie == one
            values[at] = np.interp(target_m[at], distance, self.tables.table[one, model.STANDARD, :, column])
        return values

    def _errors(self, n: int, freedom: float) -> FloatArray:
        """Two standard errors a ball, with the spread of a normal where tails are heavy."""
        z = self.rng.standard_normal((2, n))
        if np.isfinite(freedom):
            z *= np.sqrt((freedom - 2.0) / self.rng.chisquare(freedom, (2, n)))
        return z

    def _strike(
        self,
        lie: IntArray | int,
        target_m: FloatArray,
        *,
        spread: FloatArray | float = 1.0,
        turn: FloatArray | float = 0.0,
        stretch: FloatArray | float = 0.0,
    ) -> tuple[FloatArray, FloatArray, BoolArray]:
        """Distance, angle and whether poor, of balls at targets from their lies."""
        lie = np.broadcast_to(np.asarray(lie, dtype=np.int64), target_m.shape)
        poor = self.rng.random(target_m.size) < self._row(lie, target_m, model.POOR)
        wild = np.where(self.rng.random(target_m.size) < self.days.wild, 2.0, 1.0)
        solid_spread = wild / np.sqrt(1.0 + 3.0 * self.days.wild)
        wide = np.where(poor, 2.2, solid_spread) * spread
        bias = self._row(lie, target_m, model.BIAS_DEPTH) + stretch * target_m
        middle = np.where(poor, 0.65 * target_m, target_m + bias)
        z = self._errors(target_m.size, self.days.tail_freedom)
        distance = middle + wide * self._row(lie, target_m, model.DEPTH) * z[0]
        angle = self._row(lie, target_m, model.BIAS_DIRECTION) + turn
        return distance, angle + wide * self._row(lie, target_m, model.DIRECTION) * z[1], poor

    def balls(
        self,
        target_m: FloatArray,
        lie: IntArray,
        session: IntArray,
        *,
        place: str = "range",
        first_day: int = 0,
    ) -> pd.DataFrame:
        """Balls at targets (totals) from their lies, in sessions numbered from 0; on the range where they land is told.
        A ball from the tee at the driver's whole length is a drive.
        """
        n, sessions = target_m.size, int(session.max()) + 1
        lean = self.rng.standard_normal((3, sessions))[:, session]
        drive = (lie == Lie.TEE) & (target_m >= 0.999 * self.golfer.driver_m)
        distance, angle, poor = self._strike(
            lie,
            target_m,
            spread=(self.days.range_factor if place == "range" else 1.0) * np.exp(self.days.spread * lean[0]),
            turn=self.days.direction_rad * lean[1],
            stretch=self.days.depth * lean[2],
        )
        carried = place == "range"
        landed = target_m * self._row(lie, target_m, model.CARRY_SHARE)
        run_m = np.where(drive, self.days.run_m, target_m - landed) if carried else 0.0
        meant = target_m - run_m
        long_m, right_m = (distance - run_m) * np.cos(angle) - meant, (distance - run_m) * np.sin(angle)
        long_m, right_m = self._with_slips(meant, long_m, right_m)
        missing = np.where(poor, self.days.misread_poor, self.days.misread_solid)
        misread = self.rng.random(n) < missing
        numbers = first_day + session
        return make_frame(
            "aimed",
            {
                "date": np.datetime64("2026-05-01") + numbers,
                "session": [f"{place} {number}" for number in numbers],
                "place": [place] * n,
                "lie": lie,
                "club": [""] * n,
                "target_m": meant,
                "long_m": np.where(misread, np.nan, long_m),
                "right_m": np.where(misread, np.nan, right_m),
                "measured": ["carry" if carried else "finish"] * n,
                "misread": misread,
                **{name: [""] * n for name in ("surface", "purpose", "wind", "pin", "ball")},
                "source": ["simulated"] * n,
                "row": np.arange(n) + 1,
            },
        )

    def _with_slips(
        self, target_m: FloatArray, long_m: FloatArray, right_m: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        wrong = self.rng.random(target_m.size) < self.days.slips
        anywhere = self.rng.uniform(-1.0, 1.0, (2, target_m.size)) * target_m
        return np.where(wrong, anywhere[0], long_m), np.where(wrong, anywhere[1], right_m)

    def practice(
        self,
        target_yd: list[float],
        balls: int,
        sessions: int,
        *,
        lie: int = Lie.FAIRWAY,
        place: str = "range",
        first_day: int = 0,
    ) -> pd.DataFrame:
        """``balls`` balls in each of ``sessions``, targets taken in turn; from the tee all are drives."""
        target = np.tile(np.resize(np.array(target_yd) * YARD_M, balls), sessions)
        if lie == Lie.TEE:
            target[:] = self.golfer.driver_m
        session = np.repeat(np.arange(sessions), balls)
        frame = self.balls(target, np.full(target.size, int(lie)), session, place=place, first_day=first_day)
        frame["session"] = [f"{name} {lie}" for name in frame["session"]]
        return frame

    def _putt(
        self, length_m: FloatArray, spread: FloatArray | float = 1.0
    ) -> tuple[BoolArray, FloatArray, FloatArray]:
        """Holed, long and right of putts."""
        skill = self.golfer.putting
        z = self._errors(length_m.size, self.days.putt_tail_freedom) * spread
        angle = z[0] * np.hypot(skill.line_rad, skill.reading_rad_per_m * length_m)
        past = skill.aim_past_m + z[1] * skill.pace * (length_m + skill.aim_past_m)
        speed = np.clip(past / capture_past_m(), 0.0, 1.0)
        width = HOLE_M * np.sqrt(1.0 - np.sqrt(speed))
        holed = (past >= 0.0) & (past <= capture_past_m()) & (np.abs(np.sin(angle) * length_m) < width)
        rolled = length_m + past
        return holed, rolled * np.cos(angle) - length_m, rolled * np.sin(angle)

    def putts(
        self, length_ft: list[float], each: int, sessions: int, *, measured: bool = True
    ) -> pd.DataFrame:
        """``each`` putts in each of ``sessions``, lengths taken in turn."""
        length = np.tile(np.resize(np.array(length_ft) * FOOT_M, each), sessions)
        session = np.repeat(np.arange(sessions), each)
        n = length.size
        spread = np.exp(self.days.spread * self.rng.standard_normal(sessions))[session]
        holed, long_m, right_m = self._putt(length, spread)
        long_m, right_m = self._with_slips(length, long_m, right_m)
        unknown = holed | (not measured)
        return make_frame(
            "putts",
            {
                "date": np.datetime64("2026-05-01") + session,
                "session": [f"putting {number}" for number in session],
                "place": ["putting_green"] * n,
                "target_m": length,
                "holed": holed,
                "long_m": np.where(unknown, np.nan, long_m),
                "right_m": np.where(unknown, np.nan, right_m),
                "purpose": [""] * n,
                "ball": [""] * n,
                "source": ["simulated"] * n,
                "row": np.arange(n) + 1,
            },
        )

    def rounds(self, n: int) -> pd.DataFrame:
        """Strokes as rounds hold them (drives, shots at the hole from all lies, putts), each on its own."""
        spread = np.exp(self.days.spread * self.rng.standard_normal(n))
        kinds = [self._drives(n, spread), *self._shots_at_the_hole(n, spread), *self._logged_putts(n)]
        number, lie, to_hole, left = (np.concatenate(column) for column in zip(*kinds, strict=True))
        order = np.argsort(number, kind="stable")
        return self._log_frame(number[order], lie[order], to_hole[order], left[order])

    def _drives(self, n: int, spread: FloatArray) -> tuple[FloatArray, ...]:
        """Tee shots of long holes; some are hit with a shorter club, and ground and wind add to all."""
        driver_m, count = self.golfer.driver_m, 12 * n
        number = np.repeat(np.arange(n), 12)
        to_hole = self.rng.uniform(310.0, 430.0, count) * YARD_M + (driver_m - 210.0)
        shorter = self.rng.random(count) < self.days.shorter_club
        target = np.where(shorter, self.rng.uniform(0.62, 0.94, count), 1.0) * driver_m
        turn = self.days.aim_rad * self.rng.standard_normal(count)
        turn -= self.days.allows_for_bias * self.golfer.tee_bias_rad
        distance, angle, _ = self._strike(Lie.TEE, target, spread=spread[number], turn=turn)
        distance = distance + 0.04 * driver_m * self.rng.standard_normal(count)
        left = np.hypot(to_hole - distance * np.cos(angle), distance * np.sin(angle))
        return number, np.full(count, int(Lie.TEE)), to_hole, left

    def _shots_at_the_hole(self, n: int, spread: FloatArray) -> list[tuple[FloatArray, ...]]:
        nearest = min(60.0 * YARD_M, 0.6 * self.longest_m)
        kinds = [(lie, count, nearest, share * self.longest_m) for lie, count, share in _ROUND_FULL]
        strokes = []
        for lie, count, low, high in (*kinds, *_ROUND_SHORT):
            number = np.repeat(np.arange(n), count)
            to_hole = self.rng.uniform(low, high, number.size)
            # the tee of a par 3 is played with every club, as from the fairway
            played_from = Lie.FAIRWAY if lie == Lie.TEE else lie
            lies = np.full(number.size, int(played_from))
            against = -self.days.allows_for_bias
            distance, angle, _ = self._strike(
                lies,
                to_hole,
                spread=spread[number],
                turn=against * self._row(lies, to_hole, model.BIAS_DIRECTION),
                stretch=against * self._row(lies, to_hole, model.BIAS_DEPTH) / to_hole,
            )
            z = self.rng.standard_normal((2, to_hole.size)) * self.days.aim_rad * to_hole
            along = distance * np.cos(angle) - to_hole + self.days.aim_depth_ratio * z[0]
            left = np.hypot(along, distance * np.sin(angle) + z[1])
            strokes.append((number, np.full(number.size, int(lie)), to_hole, left))
        return strokes

    def _logged_putts(self, n: int) -> list[tuple[FloatArray, ...]]:
        """Eighteen first putts a round, and the second ones of those that missed."""
        number = np.repeat(np.arange(n), 18)
        lengths = self.rng.gamma(2.0, 2.2, number.size) + 0.3
        strokes = []
        for _ in range(2):
            holed, long_m, right_m = self._putt(lengths)
            left = np.where(holed, 0.0, np.maximum(np.hypot(long_m, right_m), 0.03))
            strokes.append((number, np.full(number.size, int(Lie.GREEN)), lengths, left))
            number, lengths = number[~holed], left[~holed]
        return strokes

    def _log_frame(
        self, number: IntArray, lie: IntArray, to_hole: FloatArray, left: FloatArray
    ) -> pd.DataFrame:
        n = lie.size
        if self.days.rounded:
            unit_m = np.where(lie == Lie.GREEN, FOOT_M, YARD_M)
            to_hole = np.maximum(np.round(to_hole / unit_m), 1.0) * unit_m
            left_unit_m = np.where(left > 20.0, YARD_M, FOOT_M)
            left = np.where(left > 0.0, np.maximum(np.round(left / left_unit_m), 1.0) * left_unit_m, 0.0)
        wrong = (self.rng.random(n) < self.days.slips) & (left > 0.0)
        left = np.where(wrong, self.rng.uniform(0.02, 1.0, n) * to_hole, left)
        return make_frame(
            "log",
            {
                "date": np.datetime64("2026-06-01") + number,
                "session": [""] * n,
                "round": [f"round {one}" for one in number],
                "hole": np.ones(n),
                "stroke": np.arange(n) + 1,
                "lie": lie,
                "to_hole_m": to_hole,
                "next_lie": np.where(left == 0.0, int(Lie.HOLED), int(Lie.GREEN)),
                "left_to_hole_m": left,
                "penalty": np.zeros(n),
                "picked_up": np.zeros(n, dtype=bool),
                "conceded": np.zeros(n, dtype=bool),
                "club": [""] * n,
                "source": ["simulated"] * n,
                "row": np.arange(n) + 1,
            },
        )


def typical_records(
    player: SimulatedPlayer, *, sessions: int = 4, balls: int = 60, rounds: int = 3, putts: int = 60
) -> ShotRecords:
    """A realistic mix: irons and drives on the range, short game, putts, some rounds."""
    longest_yd = player.longest_m / YARD_M
    irons = [
        y for y in (60.0, 80.0, 95.0, 110.0, 125.0, 140.0, 155.0, 165.0, 180.0, 205.0) if y <= longest_yd
    ]
    aimed = pd.concat(
        [
            player.practice(irons, balls, sessions),
            player.practice([0.0], balls // 3, sessions, lie=Lie.TEE),
            player.practice([8.0, 15.0, 25.0, 40.0], balls // 2, 2, place="short_game_area"),
            player.practice([10.0, 20.0], balls // 4, 1, lie=Lie.SAND, place="short_game_area"),
        ],
        ignore_index=True,
    )
    lengths = [3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0]
    return player.records(
        aimed=aimed,
        putts=player.putts(lengths, putts, 3) if putts else None,
        log=player.rounds(rounds) if rounds else None,
    )
