"""A designed test as the data of a page: everything that a phone needs to score each ball without network."""

from __future__ import annotations

import base64
import hashlib
import json
import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.aim.played_hole import heading
from rangework.assessment.card_writing import card_csv, card_row
from rangework.assessment.design import AssessedBall, AssessedGreen, AssessmentDesign
from rangework.assessment.pin_values import PinValues
from rangework.course.hole_view import View, patches
from rangework.lie import LIE_ON_GROUND, PUTTED_LIES, Ground
from rangework.units import METRES_PER, putt_unit

#: Strokes are kept in steps of this: half of it is the most that a phone's figure is off.
STEP_STROKES = 4e-4
#: Codes above every value: a cell that is putted from, out of bounds, or water.
PUTTED, OUT, WATER = 65535, 65534, 65533
#: Water is valued in blocks of so many cells a side (as in ``PinValues``).
_BLOCK = 4
#: Ground is kept from this far behind the ball on, and drawn this far around the pin.
_BEHIND_M, _DRAWN_M = 20.0, 64.0
_STOPS = (Ground.ROUGH, Ground.SAND, Ground.TREES, Ground.WATER, Ground.OUT)
_PUTTED_GROUND = [int(ground) for ground, lie in LIE_ON_GROUND.items() if lie in PUTTED_LIES]


def card_data(design: AssessmentDesign) -> dict[str, Any]:
    """The test as plain values; lengths in metres unless they are shown, which are in the unit of the test.

    Finishes count from the pin as seen from the ball. ``docs/reference/assessments.md`` says what a ball gains.
    """
    words, unit = design.words, design.words.unit
    first_rows = [_first_row(design, number) for number in range(len(design.greens))]
    player = design.greens[0].values.player
    return {
        "id": hashlib.sha256(card_csv(design).encode()).hexdigest()[:16],
        "name": words.name,
        "course": design.course.name,
        "attribution": design.course.attribution,
        "unit": unit,
        "unit_m": METRES_PER["m" if unit == "m" else "yd"],
        "putt_unit": putt_unit("metres" if unit == "m" else "yards"),
        "putt_unit_m": METRES_PER["m" if unit == "m" else "ft"],
        "carry": words.measured == "carry",
        "paced": words.measured_by == "paced",
        "margin": words.margin,
        "reference": words.reference,
        "women": words.group == "women",
        "step": STEP_STROKES,
        "block": _BLOCK,
        "putts": {"step_m": player.putt_step, "strokes": [round(float(value), 5) for value in player.putts]},
        "greens": [_green(green, first) for green, first in zip(design.greens, first_rows, strict=True)],
        "balls": [_ball(design, ball, first_rows[ball.green]) for ball in design.balls],
    }


def page_json(data: dict[str, Any]) -> str:
    """The data as they stand inside a page: no text of theirs can end the script or open a tag."""
    text = json.dumps(data, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _first_row(design: AssessmentDesign, green: int) -> int:
    """The first row of a green's grid that is kept, a multiple of the blocks of water."""
    grid = design.greens[green].values.played.layout.grid
    balls = [ball.values.ball.place_m[1] for ball in design.balls if ball.green == green]
    row = int((min(balls, default=grid.pin_m[1]) - _BEHIND_M - grid.origin_m[1]) / grid.cell_m)
    return max(row - row % _BLOCK, 0)


def _green(green: AssessedGreen, first: int) -> dict[str, Any]:
    grid = green.values.played.layout.grid
    codes = _cell_codes(green.values)[first:]
    x, y = grid.to_hole(grid.pin_m).tolist()
    window = (-_DRAWN_M, -_DRAWN_M, _DRAWN_M, _DRAWN_M)
    return {
        "hole": green.hole.number,
        "pin": green.pin,
        "x0_m": grid.origin_m[0] - grid.pin_m[0],
        "y0_m": grid.origin_m[1] + first * grid.cell_m - grid.pin_m[1],
        "cell_m": grid.cell_m,
        "columns": int(codes.shape[1]),
        "cells": _packed(codes),
        "ground": [
            [patch.ground.name.lower(), [_rounded(ring) for ring in patch.rings]]
            for patch in patches(green.hole, View((x, y), grid.turn_rad), window)
        ],
    }


def _cell_codes(values: PinValues) -> NDArray[np.uint16]:
    """Strokes from each cell in steps, doubled, with 1 added where the ground stops a ball that lands; or a code."""
    ground = values.played.layout.grid.ground
    strokes = np.rint(values.strategy.cost.astype(np.float64) / STEP_STROKES)
    codes = 2.0 * np.minimum(strokes, 32000.0) + np.isin(ground, [int(kind) for kind in _STOPS])
    codes[np.isin(ground, _PUTTED_GROUND)] = PUTTED
    codes[ground == Ground.OUT] = OUT
    codes[ground == Ground.WATER] = WATER
    return codes.astype(np.uint16)


def _ball(design: AssessmentDesign, ball: AssessedBall, first: int) -> dict[str, Any]:
    values, unit_m = ball.values, METRES_PER["m" if design.words.unit == "m" else "yd"]
    right, forward = heading(values.ball.place_m, values.pin.played.pin_m)
    pin, zone = ball.pin, ball.zone
    room = (pin.from_left_m, pin.from_right_m, pin.from_front_m, pin.from_back_m)
    ways = (zone.short_m, zone.long_m, zone.left_m, zone.right_m)
    ground = values.pin.played.layout.grid.ground[first:]
    wet = _by_block(values.after[first:], ground == Ground.WATER)
    return {
        "number": ball.number,
        "green": ball.green,
        "lie": ball.drawn.lie.name.lower(),
        "place": ball.drawn.place,
        "distance": round(ball.drawn.distance_m / unit_m),
        "target": round(ball.target_m / unit_m),
        "run_m": ball.run_m,
        "right": right,
        "forward": forward,
        "turn_deg": math.degrees(math.atan2(right, forward)),
        "strokes": round(values.strokes, 6),
        "room": [round(length / unit_m) for length in room],
        "short_side": pin.short_side,
        "bunker": pin.bunker,
        "zone": [_rounded(line) for line in zone.lines_m],
        "success": [round(length / unit_m) for length in ways],
        "putt_m": zone.putt_m,
        "water": _packed(np.rint(wet / STEP_STROKES).astype(np.uint16)),
        "row": dict(card_row(design, ball)),
    }


def _by_block(values: NDArray[np.float64], where: NDArray[np.bool_]) -> NDArray[np.float64]:
    """The value of each block that holds a marked cell, row of blocks by row."""
    rows, columns = np.nonzero(where)
    block = (rows // _BLOCK) * (where.shape[1] // _BLOCK + 1) + columns // _BLOCK
    _, first = np.unique(block, return_index=True)
    return values[rows[first], columns[first]]


def _rounded(line: NDArray[np.float64]) -> list[list[float]]:
    return [[round(x, 1), round(y, 1)] for x, y in line.tolist()]


def _packed(values: NDArray[np.uint16]) -> str:
    return base64.b64encode(values.astype("<u2").tobytes()).decode("ascii")
