"""The field of values of targets, read at any place."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rangework.aim.target_field import TargetField

#: One target of the second row cannot be aimed at.
FIELD = TargetField(
    0.0,
    np.array([-3.0, 0.0, 3.0, 6.0]),
    np.array([10.0, 14.0, 18.0]),
    np.array([[1.0, 2.0, 3.0, 4.0], [2.0, 3.0, 4.0, math.nan], [3.0, 4.0, 5.0, 6.0]]),
)


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ((0.0, 10.0), 2.0),
        ((1.5, 12.0), 3.0),
        ((3.0, 12.0), 3.5),  # on a side of the square whose other side has no value
        ((3.0, 14.0), 4.0),
        ((6.0, 18.0), 6.0),
        ((np.nextafter(6.0, 7.0), 10.0), 4.0),  # beyond the edge by rounding alone
    ],
)
def test_a_place_is_read_between_the_targets_around_it(place: tuple[float, float], value: float) -> None:
    assert FIELD.at(place) == pytest.approx(value)


@pytest.mark.parametrize("place", [(4.0, 12.0), (6.0, 14.0), (6.1, 10.0), (0.0, 9.9), (-3.1, 18.1)])
def test_nothing_is_read_beyond_the_field_or_beside_what_cannot_be_aimed_at(
    place: tuple[float, float],
) -> None:
    assert math.isnan(FIELD.at(place))
