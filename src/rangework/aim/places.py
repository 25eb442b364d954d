"""Where the next shot is played from."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np

from rangework.aim.played_hole import PlayedHole
from rangework.course.geometry import Point
from rangework.errors import InputError, Problem
from rangework.lie import LIE_ON_GROUND, PUTTED_LIES, Ground, Lie
from rangework.play.kernels import Player
from rangework.skill.model import SHORT_LIMIT_M
from rangework.units import METRES_PER, Units, shot_unit

#: Lies that a shot off the tee is aimed from, by the words of the commands.
LIES = {"fairway": Lie.FAIRWAY, "rough": Lie.ROUGH, "sand": Lie.SAND, "recovery": Lie.RECOVERY}
_OTHER_WORDS = {"bunker": "sand", "trees": "recovery"}
#: Lies that are looked for on the map, their ground in words, and how roughly the distance is meant.
_MAPPED = {Lie.SAND: (Ground.SAND, "a bunker"), Lie.RECOVERY: (Ground.TREES, "trees")}
_ROUGHLY_M = 3.0
_DISTANCE = re.compile(r"([^,]*),\s*([0-9.]+)\s*(yd|m)?\s*")
_POINT = re.compile(r"\s*(-?[0-9.]+)\s*,\s*(-?[0-9.]+)\s*")


@dataclass(frozen=True, slots=True)
class FromDistance:
    """What the ball lies on, and its distance to the pin as the crow flies.

    On fairway and in rough that is a place on the line of play; in sand and among trees the nearest to that line
    where the map shows them.
    """

    lie: Lie
    distance_m: float


@dataclass(frozen=True, slots=True)
class FromPoint:
    """A place on the hole's plane: metres right of its longest tee and ahead of it, along the first leg."""

    point_m: Point


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball to be played: lie, place on the grid's plane, and the number of the stroke on the hole.

    ``row`` and ``reach`` are what the kernels know the lie by.
    """

    lie: Lie
    place_m: Point
    stroke: int
    row: int
    reach: int

    def distance_m(self, place_m: Point) -> float:
        """How far a place is."""
        return math.dist(self.place_m, place_m)


def parse_distance(text: str, units: Units) -> FromDistance:
    """``fairway,150``. Raises InputError with every fault."""
    unit = shot_unit(units)
    form = f"a lie and the distance to the pin in {unit}, such as fairway,150"
    found = _DISTANCE.fullmatch(text)
    if not found:
        raise InputError(Problem("--from", "", text, form))
    word, number, own_unit = found[1].strip().lower(), found[2], found[3]
    problems = []
    if word not in LIES:
        problems.append(Problem("--from", "the lie", word, f"one of {', '.join(LIES)}", _remedy(word)))
    length_m = _length_m(number, own_unit or unit)
    if not length_m or length_m > 600.0:
        problems.append(Problem("--from", "the distance", number, f"a number of {own_unit or unit} above 0"))
    if problems or not length_m:
        raise InputError(problems)
    return FromDistance(LIES[word], length_m)


def parse_point(text: str, units: Units) -> FromPoint:
    """``12,180``: right of the hole's longest tee and ahead of it. Raises InputError."""
    found = _POINT.fullmatch(text)
    sides = [_length_m(number, shot_unit(units)) for number in found.groups()] if found else [None]
    if None in sides:
        form = f"two numbers of {shot_unit(units)}, right of the longest tee and ahead of it, such as 12,180"
        raise InputError(Problem("--from-point", "", text, form, "Left of the tee is negative."))
    x, y = (side for side in sides if side is not None)
    return FromPoint((x, y))


def _length_m(number: str, unit: str) -> float | None:
    try:
        return float(number) * METRES_PER[unit]
    except ValueError:
        return None


def _remedy(word: str) -> str:
    if word in ("green", "fringe"):
        return "A putt has no target to choose: the hole is one."
    if word == "tee":
        return "Without --from the shot is the tee shot."
    meant = _OTHER_WORDS.get(word) or next(iter(get_close_matches(word, LIES, n=1)), "")
    return f"Did you mean {meant}?" if meant else ""


def place_ball(
    played: PlayedHole,
    player: Player,
    place: FromDistance | FromPoint | None = None,
    stroke: int | None = None,
) -> Ball:
    """The ball at ``place`` (on the tee unless given), played as stroke number ``stroke``.

    Unless given, that is the stroke of a hole played in regulation (``regulation_stroke``). Raises InputError for
    a place that is off the course, on the green, or where the ball is not in play.
    """
    if place is None:
        return _on_tee(played, stroke)
    if isinstance(place, FromDistance):
        at, lie = _before_pin(played, place), place.lie
    else:
        x, y = played.layout.grid.from_hole(place.point_m).tolist()
        at, lie = (x, y), None
    _check_in_play(played, place, at)
    lie = Lie(LIE_ON_GROUND[_ground(played, at)]) if lie is None else lie
    reach = float(player.longest[int(lie)])
    number = stroke or regulation_stroke(played.layout.par, math.dist(at, played.pin_m), reach)
    return Ball(lie, at, number, int(lie), int(lie))


def regulation_stroke(par: int, distance_m: float, longest_m: float) -> int:
    """The number of the stroke from that far when the hole is played in regulation; never the first.

    The stroke that reaches the green is number par - 2, one fewer for each longest shot that the green is out of
    reach; a shot from within 50 yd follows one that missed the green: number par - 1.
    """
    if distance_m < SHORT_LIMIT_M:
        return par - 1
    return max(par - 1 - math.ceil(distance_m / longest_m - 1e-9), 2)


def _on_tee(played: PlayedHole, stroke: int | None) -> Ball:
    nodes = played.layout.nodes
    tee_m = (float(nodes.x[-1]), float(nodes.y[-1]))
    return Ball(Lie.TEE, tee_m, stroke or 1, int(nodes.row[-1]), int(nodes.reach[-1]))


def _before_pin(played: PlayedHole, place: FromDistance) -> Point:
    at = played.before_pin(place.distance_m)
    if at is None:
        farthest = math.dist(played.line_m[0], played.pin_m)
        expected = f"at most the {farthest:.0f} m ({farthest / METRES_PER['yd']:.0f} yd) from tee to pin"
        raise InputError(Problem("--from", "the distance", f"{place.distance_m:.0f} m", expected))
    if place.lie not in _MAPPED:
        return at
    mapped = _nearest_mapped(played, place, at)
    if mapped is None:
        name = place.lie.name.lower()
        expected = f"{_MAPPED[place.lie][1]} on the map at that distance"
        shown = f"{name},{place.distance_m:.0f} m"
        raise InputError(Problem("--from", "", shown, expected, "Say where the ball is with --from-point."))
    return mapped


def _nearest_mapped(played: PlayedHole, place: FromDistance, at: Point) -> Point | None:
    """The cell of the lie's own ground at that distance that is nearest to ``at``."""
    grid = played.layout.grid
    x, y = (axis.ravel() for axis in np.meshgrid(*grid.cell_centres()))
    off_m = np.abs(np.hypot(x - played.pin_m[0], y - played.pin_m[1]) - place.distance_m)
    held = (grid.ground.ravel() == _MAPPED[place.lie][0]) & (off_m <= _ROUGHLY_M)
    if not held.any():
        return None
    away = np.where(held, np.hypot(x - at[0], y - at[1]), np.inf)
    nearest = int(np.argmin(away))
    return float(x[nearest]), float(y[nearest])


def _ground(played: PlayedHole, at: Point) -> Ground:
    return Ground(int(played.layout.grid.ground_at(*at)))


def _check_in_play(played: PlayedHole, place: FromDistance | FromPoint, at: Point) -> None:
    option = "--from" if isinstance(place, FromDistance) else "--from-point"
    if not played.shown(at):
        x, y = played.layout.grid.to_hole(at).tolist()
        found = f"{x:.0f} m right of the longest tee and {y:.0f} m ahead of it"
        raise InputError(Problem(option, "", found, "a place on the map of the hole"))
    ground = _ground(played, at)
    if LIE_ON_GROUND[ground] in PUTTED_LIES:
        expected = "a place off the green and its fringe"
        raise InputError(Problem(option, "", "a place that is putted from", expected, _remedy("green")))
    if ground in (Ground.WATER, Ground.OUT):
        where = "in a penalty area" if ground is Ground.WATER else "out of bounds"
        remedy = "Give the place of the drop, with --stroke counting the penalty."
        raise InputError(Problem(option, "", f"a place {where}", "a place in play", remedy))
