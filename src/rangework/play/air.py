"""A hole's air and ground for the kernels: what the day's conditions and the hole's climb come to there."""

from __future__ import annotations

from rangework.conditions.day import CROSS, FULL_SHARE, HEAD, HEAD_SQUARED, TAIL, UNSURE, Conditions
from rangework.course.ground_grid import GroundGrid
from rangework.play.kernels import Air


def air_on(grid: GroundGrid, conditions: Conditions) -> Air:
    """The air of a hole. Raises ValueError for a wind by the compass on a hole of unknown bearing."""
    wind = conditions.wind_on(grid.number)
    right, ahead = wind.toward(grid.bearing_rad) if wind else (0.0, 0.0)
    slope = grid.climb_m / max(grid.pin_m[1], 1.0)
    return Air(
        neutral=not (right or ahead or slope or conditions.stretch != 1.0 or conditions.ground != "normal"),
        wind_x=right,
        wind_y=ahead,
        head=HEAD,
        head_squared=HEAD_SQUARED,
        tail=TAIL,
        cross=CROSS,
        full_share=FULL_SHARE,
        unsure=UNSURE,
        stretch=conditions.stretch,
        slope=slope,
    )
