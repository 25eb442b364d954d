"""Ground is told apart by every eye, and whatever is written on it can be read."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from colour_sight import SIGHT, contrast, distance

from rangework.lie import Ground
from rangework.report.style import INK, PAPER, PLUM, QUIET, TEXTURES

#: Far more than the just noticeable 2.3, since the areas also differ by edge or pattern.
LEAST_DISTANCE = 12.0


def test_the_measures_measure() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(
        4.48, abs=0.01
    )  # WCAG's familiar near miss (from memory)
    assert distance("#ff0000", "#00ff00", "full") > 100.0
    for matrix in SIGHT.values():
        assert np.allclose(matrix.sum(axis=1), 1.0, atol=2e-6)
    # a red and a green that are one to eyes without green cones: the check can fail
    assert distance("#b34d4d", "#7d7848", "without green cones") < LEAST_DISTANCE


@pytest.mark.parametrize("sight", SIGHT)
def test_no_two_grounds_look_alike(sight: str) -> None:
    colours = {texture.colour for texture in TEXTURES.values()}
    near = [(a, b) for a, b in combinations(sorted(colours), 2) if distance(a, b, sight) < LEAST_DISTANCE]
    assert not near


def test_only_fringe_and_fairway_share_their_look() -> None:
    looks = [(texture.colour, texture.hatch) for texture in TEXTURES.values()]
    assert len(set(looks)) == len(looks) - 1
    assert TEXTURES[Ground.FRINGE] == TEXTURES[Ground.FAIRWAY]


def test_patterns_tell_trouble_apart_without_colour() -> None:
    trouble = (Ground.SAND, Ground.WATER, Ground.TREES, Ground.OUT)
    assert len({TEXTURES[ground].hatch for ground in trouble} - {""}) == len(trouble)


@pytest.mark.parametrize("ground", TEXTURES, ids=lambda ground: ground.name.lower())
def test_ink_can_be_read_on_every_ground(ground: Ground) -> None:
    assert contrast(INK, TEXTURES[ground].colour) >= 4.5


@pytest.mark.parametrize("colour", [INK, QUIET, PLUM])
def test_everything_written_can_be_read_on_paper(colour: str) -> None:
    assert contrast(colour, PAPER) >= 4.5


def test_computed_lines_stand_out_from_the_green() -> None:
    assert contrast(PLUM, TEXTURES[Ground.GREEN].colour) >= 3.0
