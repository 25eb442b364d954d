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
HOLE_M = 0.054


@dataclass
class Days:
    """What no part of the player's skill decides: how sessions differ, range and course, where logs were
    aimed.
    """

    direction_rad: float = 1.0 * DEGREE_RAD
    depth: float = 0.015
    spread: float = 0.10
    range_factor: float = 0.85
    aim_rad: float = 3.0 * DEGREE_RAD
    aim_depth_ratio: float = 0.5
    misread_poor: float = 0.0


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

    def _row(self, lie: int, target_m: FloatArray, column: int) -> FloatArray:
        distance = np.arange(model.TABLE_LENGTH) * model.TABLE_STEP_M
        return np.interp(target_m, distance, self.tables.table[lie, model.STANDARD, :, column])

    def _strike(
        self, lie: int, target_m: FloatArray, *, spread: float = 1.0, turn: float = 0.0, stretch: float = 0.0
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Distance, angle and whether poor, of balls at targets from one lie."""
        poor = self.rng.random(target_m.size) < self._row(lie, target_m, model.POOR)
        wide = np.where(poor, 2.2, 1.0) * spread
        bias = self._row(lie, target_m, model.BIAS_DEPTH) + stretch * target_m
        middle = np.where(poor, 0.65 * target_m, target_m + bias)
        z = self.rng.standard_normal((2, target_m.size))
        distance = middle + wide * self._row(lie, target_m, model.DEPTH) * z[0]
        angle = self._row(lie, target_m, model.BIAS_DIRECTION) + turn
        return distance, angle + wide * self._row(lie, target_m, model.DIRECTION) * z[1], poor

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
        """``balls`` balls in each of ``sessions``, targets taken in turn; from the tee all are drives
        (carry).
        """
        frames = []
        for session in range(sessions):
            target = np.resize(np.array(target_yd) * YARD_M, balls)
            run_m = 18.0 * YARD_M if lie == Lie.TEE else 0.0
            if lie == Lie.TEE:
                target = np.full(balls, self.golfer.driver_m)
            scale = self.days.range_factor if place == "range" else 1.0
            distance, angle, poor = self._strike(
                lie,
                target,
                spread=scale * np.exp(self.days.spread * self.rng.standard_normal()),
                turn=self.days.direction_rad * self.rng.standard_normal(),
                stretch=self.days.depth * self.rng.standard_normal(),
            )
            misread = poor & (self.rng.random(balls) < self.days.misread_poor)
            distance = distance - run_m
            meant = target - run_m
            frames.append(
                make_frame(
                    "aimed",
                    {
                        "date": np.full(balls, np.datetime64("2026-05-01") + first_day + session),
                        "session": [f"{place} {lie} {first_day + session}"] * balls,
                        "place": [place] * balls,
                        "lie": np.full(balls, lie),
                        "club": [""] * balls,
                        "target_m": meant,
                        "long_m": np.where(misread, np.nan, distance * np.cos(angle) - meant),
                        "right_m": np.where(misread, np.nan, distance * np.sin(angle)),
                        "measured": ["carry" if place == "range" else "finish"] * balls,
                        "misread": misread,
                        **{name: [""] * balls for name in ("surface", "purpose", "wind", "pin", "ball")},
                        "source": ["simulated"] * balls,
                        "row": np.arange(balls) + 1,
                    },
                )
            )
        return pd.concat(frames, ignore_index=True)

    def _putt(
        self, length_m: FloatArray, spread: float = 1.0
    ) -> tuple[NDArray[np.bool_], FloatArray, FloatArray]:
        """Holed, long and right of putts."""
        skill = self.golfer.putting
        z = self.rng.standard_normal((2, length_m.size)) * spread
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
        frames = []
        for session in range(sessions):
            length = np.resize(np.array(length_ft) * FOOT_M, each)
            holed, long_m, right_m = self._putt(length, np.exp(self.days.spread * self.rng.standard_normal()))
            unknown = holed | (not measured)
            frames.append(
                make_frame(
                    "putts",
                    {
                        "date": np.full(each, np.datetime64("2026-05-01") + session),
                        "session": [f"putting {session}"] * each,
                        "place": ["putting_green"] * each,
                        "target_m": length,
                        "holed": holed,
                        "long_m": np.where(unknown, np.nan, long_m),
                        "right_m": np.where(unknown, np.nan, right_m),
                        "purpose": [""] * each,
                        "ball": [""] * each,
                        "source": ["simulated"] * each,
                        "row": np.arange(each) + 1,
                    },
                )
            )
        return pd.concat(frames, ignore_index=True)

    def rounds(self, n: int) -> pd.DataFrame:
        """Strokes as rounds hold them (drives, shots at the hole from all lies, putts), each on its own."""
        return pd.concat([self._round(i) for i in range(n)], ignore_index=True)

    def _round(self, number: int) -> pd.DataFrame:
        rng = self.rng
        spread = float(np.exp(self.days.spread * rng.standard_normal()))
        drives = rng.uniform(310.0, 430.0, 12) * YARD_M + (self.golfer.driver_m - 210.0)
        distance, angle, _ = self._strike(Lie.TEE, np.full(12, self.golfer.driver_m), spread=spread)
        distance = distance + 0.04 * self.golfer.driver_m * rng.standard_normal(12)
        strokes = [(Lie.TEE, drives, np.hypot(drives - distance * np.cos(angle), distance * np.sin(angle)))]
        longest = 0.78 * self.golfer.driver_m
        for lie, count, low, high in (
            (Lie.FAIRWAY, 10, 60.0 * YARD_M, longest),
            (Lie.ROUGH, 8, 60.0 * YARD_M, 0.9 * longest),
            (Lie.FAIRWAY, 3, 6.0, 45.0),
            (Lie.ROUGH, 3, 6.0, 45.0),
            (Lie.SAND, 2, 6.0, 40.0),
        ):
            strokes.append((lie, *self._toward_hole(lie, rng.uniform(low, high, count), spread)))
        lengths = rng.gamma(2.0, 2.2, 18) + 0.3
        holed, long_m, right_m = self._putt(lengths)
        second = np.maximum(np.hypot(long_m, right_m), 0.1)[~holed]
        holed_again, long_again, right_again = self._putt(second)
        strokes.append((Lie.GREEN, lengths, np.where(holed, 0.0, np.hypot(long_m, right_m))))
        strokes.append((Lie.GREEN, second, np.where(holed_again, 0.0, np.hypot(long_again, right_again))))
        return self._log_frame(number, strokes)

    def _toward_hole(self, lie: int, to_hole: FloatArray, spread: float) -> tuple[FloatArray, FloatArray]:
        distance, angle, _ = self._strike(lie, to_hole, spread=spread)
        z = self.rng.standard_normal((2, to_hole.size)) * self.days.aim_rad * to_hole
        along = distance * np.cos(angle) - to_hole + self.days.aim_depth_ratio * z[0]
        return to_hole, np.hypot(along, distance * np.sin(angle) + z[1])

    def _log_frame(self, number: int, strokes: list[tuple[int, FloatArray, FloatArray]]) -> pd.DataFrame:
        lie = np.concatenate([np.full(to_hole.size, lie) for lie, to_hole, _ in strokes])
        to_hole = np.concatenate([to_hole for _, to_hole, _ in strokes])
        left = np.concatenate([left for *_, left in strokes])
        n = lie.size
        return make_frame(
            "log",
            {
                "date": np.full(n, np.datetime64("2026-06-01") + number),
                "session": [""] * n,
                "round": [f"round {number}"] * n,
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
    longest_yd = 0.78 * player.golfer.driver_m / YARD_M
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
