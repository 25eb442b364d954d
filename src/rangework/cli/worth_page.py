"""What `rangework worth` prints and writes: what one step of each part saves."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.tables import Block, interval, number, paragraph, table

if TYPE_CHECKING:
    from rangework.units import Units
    from rangework.worth import WorthTable

NOTE = (
    "Strokes a round that one step of a part saves, all else as it is; the range comes from what the records "
    "leave open about the player. Steps of different parts are not equally hard: `rangework plan` weighs them "
    "by hours."
)


def worth_results(worths: WorthTable, day: str = "") -> list[dict[str, Any]]:
    """Every part in order, by the keys of the JSON file; ``day`` is the basis of the day's conditions."""
    from rangework.advice import PLAYER_BASIS
    from rangework.skill.parts import PARTS

    low, high = worths.interval()
    return [
        {
            "part": part.id,
            "family": part.family,
            "step": part.step,
            "strokes_saved": worths.strokes_saved[i],
            "standard_error": worths.standard_error[i],
            "low": low[i],
            "high": high[i],
            "basis": PLAYER_BASIS + day,
        }
        for i, part in enumerate(PARTS)
    ]


def worth_text(parts: Sequence[dict[str, Any]], where: str, units: Units) -> str:
    """The page that is printed: all parts by what a step saves, most first."""
    largest = number(max(float(part["standard_error"]) for part in parts), 4)
    error = f"Error of the simulation: at most {largest} strokes (standard error)."
    return "\n\n".join(
        [f"WHAT ONE STEP SAVES on {where}\n{parts_table(parts, units)}", paragraph(f"{NOTE} {error}")]
    )


def parts_table(parts: Sequence[dict[str, Any]], units: Units, *, most: int | None = None) -> str:
    """Parts by what a step saves, most first; the first ``most`` of them, or all."""
    rows = [
        [
            name_in_units(part["part"], units),
            step_words(part["part"], units),
            number(part["strokes_saved"], 2),
            interval(part["low"], part["high"], 2),
        ]
        for part in sorted(parts, key=lambda part: -float(part["strokes_saved"]))[:most]
    ]
    return table(["part", "one step", "strokes\na round", "90 % range"], [Block("", rows)])


def name_in_units(part_id: str, units: Units) -> str:
    """The name of a part, the distances in it in the user's units."""
    from rangework.skill.parts import PART_BY_ID
    from rangework.units import YARD_M

    name = PART_BY_ID[part_id].name
    if units != "metres":
        return name
    in_metres = re.sub(r"\d+(?=[-\d]* yd)", lambda yards: f"{int(yards[0]) * YARD_M:.0f}", name)
    return in_metres.replace(" yd", " m")


def step_words(part_id: str, units: Units) -> str:
    """One step of a part in words, a length in the user's units."""
    from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M
    from rangework.units import METRES_PER, shot_unit

    part = PART_BY_ID[part_id]
    if part.kind != "carry":
        return part.step
    unit = shot_unit(units)
    return f"+{number(STEP_CARRY_M / METRES_PER[unit], 1)} {unit}"
