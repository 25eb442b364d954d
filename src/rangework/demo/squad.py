"""Twelve invented players for a roster: profile and records of each, made by the same physics as the demo's player.

``rangework demo DIR --squad`` writes them. All is drawn from the squad's seed, so the files are always the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from rangework.demo.hidden_player import Day, hit_balls, misread
from rangework.lie import Lie
from rangework.play.logbook import roll_putt_to
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer
from rangework.units import DEGREE_RAD, FOOT_M, YARD_M

SEED = 20260601
FIRST_DAY = date(2026, 5, 4)


@dataclass(frozen=True, slots=True)
class Invented:
    """A player of the squad, and where their game is weaker (above 1) or better than usual for the handicap."""

    name: str
    handicap: float
    age: int
    women: bool = False
    left: bool = False
    wide: float = 1.0
    bunker: float = 1.0
    chip: float = 1.0
    putting: float = 1.0
    push_degrees: float = 0.0


SQUAD = (
    Invented("Asta Brenmoor", 4.1, 17, women=True, putting=1.25),
    Invented("Corvin Haddel", 22.6, 58, wide=1.2, push_degrees=3.0),
    Invented("Delphie Marrow", 11.3, 34, women=True, bunker=1.6),
    Invented("Eskil Thornby", 7.8, 15, chip=1.4),
    Invented("Fenna Oxlade", 28.4, 67, women=True, putting=1.2),
    Invented("Garrick Sowle", 16.0, 45, push_degrees=-2.5),
    Invented("Hester Quayle", 9.5, 12, women=True, wide=1.15),
    Invented("Ivo Pellinger", -1.2, 24, bunker=1.3),
    Invented("Jorun Vasker", 19.2, 39, left=True, chip=1.3),
    Invented("Kestrel Dunmarsh", 13.7, 29, putting=1.3),
    Invented("Lowen Trask", 6.4, 52, wide=1.1, putting=0.9),
    Invented("Maren Ellcott", 17.9, 41, women=True, push_degrees=2.0, bunker=1.3),
)

_FULL_SWINGS = ((Lie.FAIRWAY, 70, 8), (Lie.FAIRWAY, 95, 8), (Lie.FAIRWAY, 120, 10), (Lie.FAIRWAY, 145, 8))
_AROUND_THE_GREEN = (
    (Lie.FAIRWAY, 12, 8), (Lie.ROUGH, 15, 6), (Lie.FAIRWAY, 30, 8), (Lie.ROUGH, 40, 4), (Lie.SAND, 14, 8),
)  # fmt: skip
_PUTTS_FT = (3.0, 5.0, 8.0, 12.0, 20.0, 35.0)
_PUTTS_A_DAY = 30
_HEADER = "date,session,place,lie,club,target_yd,long_yd,right_yd,measured,misread,holed,target_ft"


def squad_files() -> dict[str, str]:
    """The text of every file by name: a profile and the records of each player."""
    files: dict[str, str] = {}
    for number, player in enumerate(SQUAD):
        stem = player.name.split()[0].casefold()
        files[f"{stem}.toml"] = _profile(player)
        files[f"{stem}.csv"] = "\n".join([_HEADER, *_rows(number, player), ""])
    return files


def _profile(player: Invented) -> str:
    lines = [f'name = "{player.name}"', f"handicap = {player.handicap}", f"age = {player.age}"]
    lines += ['reference = "women"'] if player.women else []
    lines += ['hand = "left"'] if player.left else []
    return "\n".join([*lines, ""])


def _golfer(player: Invented) -> Golfer:
    usual = reference_golfer(player.handicap, "women" if player.women else "men")
    push = player.push_degrees * DEGREE_RAD
    return replace(
        usual,
        tee_bias_rad=usual.tee_bias_rad + push,
        approach_bias_rad=usual.approach_bias_rad + push,
        approach_direction=player.wide * usual.approach_direction,
        bunker=player.bunker * usual.bunker,
        chip=player.chip * usual.chip,
        putting=usual.putting.scaled(player.putting, player.putting),
    )


def _rows(number: int, player: Invented) -> Iterator[str]:
    golfer = _golfer(player)
    for week in range(3):
        rng = np.random.default_rng([SEED, number, week])
        today = Day.drawn(rng)
        day = FIRST_DAY + timedelta(days=7 * week)
        yield from _practice(golfer, "range", day, today, rng)
        yield from _practice(golfer, "short_game_area", day + timedelta(days=2), today, rng)
        yield from _putts(golfer, day + timedelta(days=2), rng)


def _practice(golfer: Golfer, place: str, day: date, today: Day, rng: np.random.Generator) -> Iterator[str]:
    on_range = place == "range"
    drive = (Lie.TEE, round((golfer.driver_m - 16.0) / YARD_M), 12)
    blocks = (drive, *_within_reach(golfer)) if on_range else _AROUND_THE_GREEN
    for lie, target_yd, balls in blocks:
        target_m = np.full(balls, target_yd * YARD_M)
        long_m, right_m, poor = hit_balls(
            golfer, lie, target_m, today, rng, on_range=on_range, landing=on_range
        )
        unread = misread(poor, rng) & on_range
        for long, right, lost in zip(long_m / YARD_M, right_m / YARD_M, unread, strict=True):
            where = "," if lost else f"{long:.1f},{right:.1f}"
            club = "driver" if lie == Lie.TEE else ""
            measured = "carry" if on_range else "finish"
            yield f"{day},,{place},{lie.name.lower()},{club},{target_yd},{where},{measured},{int(lost)},,"


def _within_reach(golfer: Golfer) -> tuple[tuple[Lie, int, int], ...]:
    return tuple(block for block in _FULL_SWINGS if block[1] * YARD_M < 0.8 * golfer.driver_m)


def _putts(golfer: Golfer, day: date, rng: np.random.Generator) -> Iterator[str]:
    for length_ft in np.resize(_PUTTS_FT, _PUTTS_A_DAY).tolist():
        holed, _, _ = roll_putt_to(length_ft * FOOT_M, golfer.putting, rng)
        yield f"{day},,putting_green,green,,,,,,,{int(holed)},{length_ft:g}"
