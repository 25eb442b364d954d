"""The 24 parts of the game that practice can change, and what one step of each is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from rangework.skill.model import BAND_EDGES_M, Golfer
from rangework.units import METRES_PER

Family = Literal["tee", "approach", "short_game", "putting"]
Kind = Literal["carry", "spread", "bias", "poor_strikes", "extra_spread"]

#: What one step does to the quantity of a part: a factor, or metres for carry.
STEP_FACTOR: dict[Kind, float] = {"spread": 0.9, "bias": 0.5, "poor_strikes": 0.75, "extra_spread": 0.9}
STEP_CARRY_M = 5.0
STEP_TEXT: dict[Kind, str] = {
    "carry": "+5 m",
    "spread": "10 % less spread",
    "bias": "bias halved",
    "poor_strikes": "a quarter fewer",
    "extra_spread": "10 % less extra spread",
}


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of the game that practice can change."""

    id: str
    family: Family
    kind: Kind
    name: str  #: in a coach's words

    @property
    def step(self) -> str:
        """One unit of improvement, in words."""
        return STEP_TEXT[self.kind]


def _band_name(band: int) -> str:
    low, high = (round(edge / METRES_PER["yd"]) for edge in BAND_EDGES_M[band : band + 2])
    return f"{low}-{high} yd" if band < 3 else f"{low} yd and more"


def _approach_parts() -> list[Part]:
    ids = ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")
    kinds: tuple[tuple[str, Kind, str], ...] = (
        ("depth", "spread", "distance control"),
        ("direction", "spread", "direction"),
        ("bias", "bias", "bias"),
    )
    return [
        Part(f"{id_}.{suffix}", "approach", kind, f"approach {_band_name(band)}, {words}")
        for band, id_ in enumerate(ids)
        for suffix, kind, words in kinds
    ]


PARTS: tuple[Part, ...] = (
    Part("tee.carry", "tee", "carry", "driver length"),
    Part("tee.direction", "tee", "spread", "tee shots, direction"),
    Part("tee.bias", "tee", "bias", "tee shots, bias"),
    Part("tee.poor_strikes", "tee", "poor_strikes", "tee shots, poor strikes"),
    *_approach_parts(),
    Part("approach.poor_strikes", "approach", "poor_strikes", "approach, poor strikes"),
    Part("approach.rough", "approach", "extra_spread", "approach from rough"),
    Part("chip", "short_game", "spread", "chips (under 20 yd)"),
    Part("pitch", "short_game", "spread", "pitches (20-50 yd)"),
    Part("bunker", "short_game", "spread", "greenside bunker"),
    Part("short_game.poor_strikes", "short_game", "poor_strikes", "short game, poor strikes"),
    Part("putt.line", "putting", "spread", "putting, line"),
    Part("putt.pace", "putting", "spread", "putting, pace"),
)
PART_IDS: tuple[str, ...] = tuple(part.id for part in PARTS)
PART_BY_ID: dict[str, Part] = {part.id: part for part in PARTS}


def improve(golfer: Golfer, part_id: str, steps: float = 1.0) -> Golfer:
    """The golfer after ``steps`` steps of one part (fractions allowed; negative steps make it worse).

    Spread, bias and poor strikes shrink by the step's factor raised to ``steps``; driver length grows by
    5 m a step, and no other club changes.
    """
    part = PART_BY_ID[part_id]
    if part.kind == "carry":
        return replace(golfer, driver_m=golfer.driver_m + STEP_CARRY_M * steps, base_m=golfer.clubs_from_m)
    factor = STEP_FACTOR[part.kind] ** steps
    if part_id.startswith("approach_"):
        return _improve_band(golfer, part_id, factor)
    return replace(golfer, **_changed_fields(golfer, part_id, factor))


def _improve_band(golfer: Golfer, part_id: str, factor: float) -> Golfer:
    prefix, suffix = part_id.split(".")
    band = [part.id for part in PARTS if part.id.endswith(".depth")].index(f"{prefix}.depth")
    scale = np.ones(4)
    scale[band] = factor
    if suffix == "bias":
        return replace(
            golfer,
            approach_bias_rad=golfer.approach_bias_rad * scale,
            approach_bias_depth=golfer.approach_bias_depth * scale,
        )
    field = f"approach_{suffix}"
    return replace(golfer, **{field: getattr(golfer, field) * scale})


def _changed_fields(golfer: Golfer, part_id: str, factor: float) -> dict[str, Any]:
    match part_id:
        case "tee.direction" | "tee.bias":
            field = f"tee_{part_id.removeprefix('tee.')}_rad"
            return {field: getattr(golfer, field) * factor}
        case "tee.poor_strikes":
            return {"tee_poor": golfer.tee_poor * factor}
        case "approach.poor_strikes":
            return {"full_poor": golfer.full_poor * factor}
        case "approach.rough":
            return {"rough_spread": 1.0 + (golfer.rough_spread - 1.0) * factor}
        case "chip" | "pitch" | "bunker":
            return {part_id: getattr(golfer, part_id) * factor}
        case "short_game.poor_strikes":
            return {"short_poor": golfer.short_poor * factor}
        case "putt.line":
            putting = golfer.putting
            return {
                "putting": putting._replace(
                    line_rad=putting.line_rad * factor,
                    reading_rad_per_m=putting.reading_rad_per_m * factor,
                )
            }
        case "putt.pace":
            return {"putting": golfer.putting._replace(pace=golfer.putting.pace * factor)}
    raise KeyError(part_id)
