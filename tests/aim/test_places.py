"""Where the ball lies: by lie and distance, by a point, and what is told of places that cannot be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from aimed_holes import par_three, scene, twelve
from synthetic_holes import drawn_hole

from rangework.aim import FromDistance, FromPoint, PlayedHole, parse_distance, parse_point, place_ball
from rangework.aim.places import regulation_stroke
from rangework.errors import InputError
from rangework.lie import Ground, Lie
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player
from rangework.units import YARD_M


@pytest.fixture(scope="module")
def player() -> Player:
    return compile_player(twelve())


@pytest.fixture(scope="module")
def bent() -> PlayedHole:
    """A par 4 that bends right: 200 m, then on at a right angle, trees inside the corner, a bunker by the green."""

    def draw(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        ground = np.zeros(x.shape, dtype=np.uint8)
        ground[np.hypot(x, y - 250.0) < 12.0] = int(Ground.GREEN)
        ground[np.hypot(x - 18.0, y - 250.0) < 4.0] = int(Ground.SAND)
        ground[(x > 20.0) & (y < 180.0)] = int(Ground.TREES)
        ground[(x < -60.0) & (y > 200.0)] = int(Ground.WATER)
        return ground

    grid = drawn_hole(250.0, 4, draw)
    layout = lay_out(grid, coarse_step_m=25.0, fine_step_m=12.0)
    corner = (-math.sqrt(200.0**2 - 160.0**2) / 2, 160.0)
    return PlayedHole(layout, np.array([(0.0, 0.0), corner, (0.0, 250.0)]), (0.0, 250.0))


@pytest.mark.parametrize(
    ("par", "yards", "longest", "stroke"),
    [(4, 150, 200, 2), (4, 230, 200, 2), (5, 150, 200, 3), (5, 240, 200, 2), (5, 420, 200, 2), (3, 100, 200, 2),
     (3, 20, 200, 2), (4, 20, 200, 3), (5, 49, 200, 4), (5, 51, 200, 3)],
)  # fmt: skip
def test_strokes_in_regulation(par: int, yards: float, longest: float, stroke: int) -> None:
    assert regulation_stroke(par, yards * YARD_M, longest * YARD_M) == stroke


def test_a_distance_lies_on_the_line_of_play(bent: PlayedHole, player: Player) -> None:
    for distance in (60.0, 110.0, 180.0):
        ball = place_ball(bent, player, FromDistance(Lie.FAIRWAY, distance))
        assert ball.distance_m(bent.pin_m) == pytest.approx(distance)
        assert ball.place_m[0] < 0.0
        assert ball.stroke == 2
    assert place_ball(bent, player, FromDistance(Lie.ROUGH, 60.0)).row == int(Lie.ROUGH)


def test_sand_and_trees_are_looked_for_on_the_map(bent: PlayedHole, player: Player) -> None:
    for place in (FromDistance(Lie.SAND, 18.0), FromDistance(Lie.RECOVERY, 120.0)):
        ball = place_ball(bent, player, place)
        assert ball.lie is place.lie
        assert abs(ball.distance_m(bent.pin_m) - place.distance_m) <= 3.0
        wanted = Ground.SAND if place.lie is Lie.SAND else Ground.TREES
        assert bent.layout.grid.ground_at(*ball.place_m) == wanted


def test_a_point_is_on_the_holes_own_plane(player: Player) -> None:
    grid = replace(par_three(), hole_tee_m=(10.0, 20.0), turn_rad=0.3)
    layout = lay_out(grid, coarse_step_m=25.0, fine_step_m=12.0)
    played = PlayedHole(layout, np.array([grid.tee_m, grid.pin_m]), grid.pin_m)
    point = tuple(grid.to_hole((4.0, 90.0)).tolist())
    ball = place_ball(played, player, FromPoint(point))
    assert ball.place_m == pytest.approx((4.0, 90.0))
    assert ball.lie is Lie.FAIRWAY


def test_the_tee_is_the_first_stroke() -> None:
    ball = scene(par_three(), twelve()).aiming.ball
    assert (ball.lie, ball.stroke, ball.place_m) == (Lie.TEE, 1, (0.0, 0.0))


@pytest.mark.parametrize(
    ("place", "told"),
    [
        (FromDistance(Lie.FAIRWAY, 400.0), "from tee to pin"),
        (FromDistance(Lie.FAIRWAY, 5.0), "A putt has no target"),
        (FromDistance(Lie.SAND, 150.0), "--from-point"),
        (FromPoint((-80.0, 230.0)), "penalty area"),
        (FromPoint((500.0, 0.0)), "on the map of the hole"),
    ],
)
def test_places_that_cannot_be_are_told(
    bent: PlayedHole, player: Player, place: FromDistance | FromPoint, told: str
) -> None:
    with pytest.raises(InputError, match=told):
        place_ball(bent, player, place)


def test_words_of_a_place() -> None:
    assert parse_distance("fairway,150", "yards") == FromDistance(Lie.FAIRWAY, 150 * YARD_M)
    assert parse_distance(" Rough , 80 m", "yards") == FromDistance(Lie.ROUGH, 80.0)
    assert parse_point("-12.5, 180", "metres") == FromPoint((-12.5, 180.0))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("fairway", "a lie and the distance"),
        ("fairway,far", "a lie and the distance"),
        ("bunker,20", "Did you mean sand"),
        ("fairwy,20", "Did you mean fairway"),
        ("green,3", "A putt has no target"),
        ("tee,300", "Without --from"),
        ("rough,0", "a number of yd above 0"),
        ("rough,1.2.3", "a number of yd above 0"),
        ("swamp,0", "one of fairway, rough, sand, recovery"),
    ],
)
def test_faults_of_a_distance(text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        parse_distance(text, "yards")


@pytest.mark.parametrize("text", ["12", "12,x", "1,2,3", "1.2.3,4"])
def test_faults_of_a_point(text: str) -> None:
    with pytest.raises(InputError, match="right of the longest tee"):
        parse_point(text, "yards")


def test_both_faults_of_a_distance_are_told() -> None:
    with pytest.raises(InputError) as caught:
        parse_distance("swamp,0", "yards")
    assert len(caught.value.problems) == 2
