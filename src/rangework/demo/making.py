"""Makes the demo's records: ``python -m rangework.demo.making`` writes them anew into ``demo/files``.

The same seed gives the same files; a test compares them with those that ship. The player is in
``hidden_player``, the sessions are below. To change the demo, change these two, run this module, and look at
what ``rangework check`` and ``rangework skill`` say. ``rounds.csv`` is played with the strategy of ``play``: after
a change of its kernels it must be made anew. The TOML files beside them are written by hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from importlib.resources import files
from pathlib import Path

import numpy as np

from rangework.demo.hidden_player import Day, hidden_player, hit_balls, misread
from rangework.demo.made_rounds import logged_rounds
from rangework.lie import Lie
from rangework.play.logbook import roll_putt_to
from rangework.units import FOOT_M, YARD_M

SEED = 20260413
FIRST_DAY = date(2026, 4, 6)

#: Club, lie, target (yd) and balls of a session.
Block = tuple[str, Lie, float, int]


@dataclass(frozen=True, slots=True)
class Session:
    """One day's practice: what was hit, where, and off what."""

    day: int
    place: str
    surface: str
    wind: str
    blocks: tuple[Block, ...]


_LONG_CLUBS: tuple[Block, ...] = (
    ("driver", Lie.TEE, 196, 14),
    ("3 wood", Lie.FAIRWAY, 170, 6),
    ("4 hybrid", Lie.FAIRWAY, 162, 8),
    ("5 iron", Lie.FAIRWAY, 152, 8),
)
_SHORT_CLUBS: tuple[Block, ...] = (
    ("6 iron", Lie.FAIRWAY, 143, 6),
    ("7 iron", Lie.FAIRWAY, 134, 8),
    ("8 iron", Lie.FAIRWAY, 124, 6),
    ("9 iron", Lie.FAIRWAY, 113, 6),
    ("pitching wedge", Lie.FAIRWAY, 101, 6),
    ("gap wedge", Lie.FAIRWAY, 86, 6),
    ("sand wedge", Lie.FAIRWAY, 70, 4),
)
_AROUND_THE_GREEN: tuple[Block, ...] = (
    ("8 iron", Lie.FAIRWAY, 8, 6),
    ("8 iron", Lie.FAIRWAY, 14, 6),
    ("sand wedge", Lie.ROUGH, 10, 6),
    ("sand wedge", Lie.ROUGH, 16, 4),
    ("sand wedge", Lie.FAIRWAY, 25, 6),
    ("sand wedge", Lie.FAIRWAY, 40, 6),
    ("sand wedge", Lie.ROUGH, 32, 6),
    ("sand wedge", Lie.SAND, 10, 8),
    ("sand wedge", Lie.SAND, 16, 8),
    ("sand wedge", Lie.SAND, 22, 4),
)
_FULL_SWINGS = (*_LONG_CLUBS, *_SHORT_CLUBS)
SESSIONS = (
    Session(1, "range", "mat", "calm", _FULL_SWINGS),
    Session(5, "short_game_area", "grass", "calm", _AROUND_THE_GREEN),
    Session(9, "range", "mat", "light from the left", _LONG_CLUBS),
    Session(16, "range", "grass", "calm", _FULL_SWINGS),
    Session(19, "short_game_area", "grass", "light", _AROUND_THE_GREEN),
    Session(30, "range", "mat", "light against", _FULL_SWINGS),
    Session(34, "short_game_area", "grass", "calm", _AROUND_THE_GREEN[-3:]),
)
#: Every range session begins with these, which no fit counts.
_WARM_UP: Block = ("sand wedge", Lie.FAIRWAY, 60, 6)

PUTT_DAYS = (3, 12, 19, 26, 34)
PUTT_LENGTHS_FT = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0)
PUTTS_A_DAY = 48
#: Nobody measures where a short putt stopped.
_MEASURED_FROM_FT = 8.0

DEVICE_DAYS = (23, 37)
_DEVICE_CLUBS: tuple[Block, ...] = (
    ("B1", Lie.TEE, 196, 12),
    ("B3", Lie.FAIRWAY, 170, 6),
    ("H4", Lie.FAIRWAY, 162, 6),
    ("F5", Lie.FAIRWAY, 152, 8),
    ("F7", Lie.FAIRWAY, 134, 10),
    ("F9", Lie.FAIRWAY, 113, 8),
    ("PW", Lie.FAIRWAY, 101, 6),
    ("GW", Lie.FAIRWAY, 86, 4),
)


def made_files() -> dict[str, str]:
    """The text of every file that is made, by name; rounds are played, which takes some seconds."""
    return made_practice() | {"rounds.csv": logged_rounds(hidden_player(), FIRST_DAY, SEED)}


def made_practice() -> dict[str, str]:
    """The text of the files of practice balls and putts, by name."""
    return {
        "shots.csv": _text(_SHOT_HEADER, _shot_rows()),
        "putts.csv": _text("date,session,place,lie,target_ft,holed,long_ft,right_ft", _putt_rows()),
        "device.csv": _text("série;jour;coup;canne;visée m;vol m;écart m;côté;lecture", _device_rows()),
    }


_SHOT_HEADER = "date,session,place,lie,club,target_yd,long_yd,right_yd,measured,misread,surface,purpose,wind"


def _text(header: str, rows: Iterator[Sequence[object]]) -> str:
    separator = ";" if ";" in header else ","
    return "\n".join([header, *(separator.join(map(str, row)) for row in rows), ""])


def _day(number: int) -> date:
    return FIRST_DAY + timedelta(days=number)


def _shot_rows() -> Iterator[Sequence[object]]:
    for number, session in enumerate(SESSIONS):
        rng = np.random.default_rng([SEED, 1, number])
        day, on_range = Day.drawn(rng), session.place == "range"
        name = f"{session.place.replace('_', ' ')} {number + 1}"
        for block in (_WARM_UP, *session.blocks) if on_range else session.blocks:
            purpose = "warm_up" if block is _WARM_UP else "drill"
            club, lie, target_yd, _ = block
            for long_yd, right_yd, unread in _block_yd(block, day, rng, on_range=on_range):
                yield (
                    _day(session.day), name, session.place, lie.name.lower(), club, target_yd,
                    "" if unread else _tidy(long_yd, on_range), "" if unread else _tidy(right_yd, on_range),
                    "carry" if on_range else "finish", int(unread), session.surface, purpose, session.wind,
                )  # fmt: skip


def _block_yd(
    block: Block, day: Day, rng: np.random.Generator, *, on_range: bool
) -> Iterator[tuple[float, float, bool]]:
    """Long, right (yd) and whether misread, of every ball of a block."""
    _, lie, target_yd, balls = block
    target_m = np.full(balls, target_yd * YARD_M)
    long_m, right_m, poor = hit_balls(
        hidden_player(), lie, target_m, day, rng, on_range=on_range, landing=on_range
    )
    unread = misread(poor, rng) & on_range
    yield from zip((long_m / YARD_M).tolist(), (right_m / YARD_M).tolist(), unread.tolist(), strict=True)


def _tidy(length_yd: float, on_range: bool) -> float:
    """As written down: a device says tenths of a yard, a person pacing says half yards."""
    return round(length_yd, 1) + 0.0 if on_range else round(2.0 * length_yd) / 2.0


def _putt_rows() -> Iterator[Sequence[object]]:
    putting = hidden_player().putting
    for number, day in enumerate(PUTT_DAYS):
        rng = np.random.default_rng([SEED, 2, number])
        wider = Day.drawn(rng).wider
        skill = putting.scaled(wider, wider)
        for length_ft in np.resize(PUTT_LENGTHS_FT, PUTTS_A_DAY).tolist():
            holed, long_m, right_m = roll_putt_to(length_ft * FOOT_M, skill, rng)
            told = not holed and length_ft >= _MEASURED_FROM_FT
            places = [round(2.0 * side / FOOT_M) / 2.0 for side in (long_m, right_m)] if told else ["", ""]
            yield _day(day), f"putting {number + 1}", "putting_green", "green", length_ft, int(holed), *places


def _device_rows() -> Iterator[Sequence[object]]:
    """As a device of another land writes them: distance straight to the ball, the side as a word."""
    for number, day in enumerate(DEVICE_DAYS):
        rng = np.random.default_rng([SEED, 3, number])
        today, stroke = Day.drawn(rng), 0
        for block in _DEVICE_CLUBS:
            for long_yd, right_yd, unread in _block_yd(block, today, rng, on_range=True):
                stroke += 1
                target_m = block[2] * YARD_M
                flight_m = np.hypot(target_m + long_yd * YARD_M, right_yd * YARD_M)
                read = [_comma(flight_m), _comma(abs(right_yd) * YARD_M), "D" if right_yd > 0 else "G", "oui"]
                told = ["", "", "", "non"] if unread else read
                yield number + 1, f"{_day(day):%d/%m/%Y}", stroke, block[0], _comma(target_m), *told


def _comma(length_m: float) -> str:
    return f"{length_m:.1f}".replace(".", ",")


def main() -> None:
    """Write the files that are made into the package's own folder."""
    folder = Path(str(files("rangework.demo").joinpath("files")))
    for name, text in made_files().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
