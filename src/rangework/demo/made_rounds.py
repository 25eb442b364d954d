"""The demo's course log: rounds of the hidden player on the demo course, written down as a player would."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from importlib.resources import as_file, files

import numpy as np

from rangework.course import read_course
from rangework.course.geometry import Course, Hole
from rangework.course.ground_grid import ground_grid
from rangework.demo.hidden_player import Day
from rangework.lie import Lie
from rangework.play.lattice import lay_out
from rangework.play.logbook import LoggedStroke, play_logged
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.model import Golfer, wider
from rangework.units import DEGREE_RAD, FOOT_M, YARD_M

TEE = "middle"
ROUND_DAYS = (6, 13, 20, 24, 27, 31, 35, 38)
AIM_SCATTER_RAD = 1.0 * DEGREE_RAD
#: Sets of pins that the rounds take in turn.
_PIN_SETS = 3

_HEADER = (
    "date,session,place,round,hole,stroke,lie,"
    "to_hole_yd,to_hole_ft,next_lie,left_to_hole_yd,left_to_hole_ft,penalty"
)


def logged_rounds(golfer: Golfer, first_day: date, seed: int) -> str:
    """The course log as the text of a canonical file. Each day the player is as wide as that day."""
    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        course = read_course(path)
    rows = [_HEADER]
    strategies = [_strategies(course, golfer, turn) for turn in range(_PIN_SETS)]
    card_m = [_card_m(hole) for hole in course.holes]
    for number, day in enumerate(ROUND_DAYS, start=1):
        rng = np.random.default_rng([seed, 4, number])
        log = play_logged(
            strategies[number % _PIN_SETS], _on_the_day(golfer, Day.drawn(rng)), 1,
            seed=seed, aim_scatter_rad=AIM_SCATTER_RAD, first_round=number, card_m=card_m,
        )  # fmt: skip
        rows += [",".join(map(str, row)) for row in _rows(log, first_day + timedelta(days=day))]
    return "\n".join([*rows, ""])


def _strategies(course: Course, golfer: Golfer, turn: int) -> list[Strategy]:
    layouts = [lay_out(ground_grid(hole, TEE, _pin(hole, turn))) for hole in course.holes]
    return solve_course(layouts, compile_player(golfer))


def _pin(hole: Hole, turn: int) -> str:
    return list(hole.pins)[(hole.number + turn) % len(hole.pins)]


def _card_m(hole: Hole) -> float:
    """Length on the card: along the line of play to the middle of the green."""
    legs = float(np.hypot(*np.diff(hole.line, axis=0).T).sum())
    return legs - float(np.hypot(*(np.asarray(hole.tees[TEE]) - hole.line[0])))


def _on_the_day(golfer: Golfer, day: Day) -> Golfer:
    return replace(wider(golfer, day.wider), putting=golfer.putting.scaled(day.wider, day.wider))


def _rows(log: Sequence[LoggedStroke], day: date) -> Iterator[Sequence[object]]:
    for stroke in log:
        yield (
            day, f"round {stroke.round}", "course", stroke.round, stroke.hole, stroke.stroke,
            stroke.lie.name.lower(), *_written(stroke.to_hole_m, stroke.lie),
            stroke.next_lie.name.lower(), *_written(stroke.left_to_hole_m, stroke.next_lie), stroke.penalty,
        )  # fmt: skip


def _written(length_m: float, lie: Lie) -> tuple[float | str, float | str]:
    """A distance as a player notes it: whole yards (half ones near the green), on the green feet."""
    if lie == Lie.HOLED:
        return "", ""
    if lie == Lie.GREEN:
        feet = length_m / FOOT_M
        return "", max(round(2.0 * feet) / 2.0 if feet < 10.0 else float(round(feet)), 0.5)
    yards = length_m / YARD_M
    return max(round(2.0 * yards) / 2.0 if yards < 30.0 else round(yards), 0.5), ""
