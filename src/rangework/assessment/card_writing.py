"""A test's card as a CSV file to fill in (docs/reference/assessments.md)."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from rangework.assessment.design import AssessedBall, AssessmentDesign
from rangework.lie import Lie
from rangework.records.safe_text import safe_text
from rangework.units import METRES_PER, LengthUnit

#: What the player fills in; the phone fills in the last as well.
TO_FILL = ("long", "right", "misread", "holed")


def card_csv(design: AssessmentDesign) -> str:
    """The card without a result; lengths in the unit of the design."""
    out = io.StringIO()
    rows = [card_row(design, ball) for ball in design.balls]
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def card_row(design: AssessmentDesign, ball: AssessedBall) -> Mapping[str, str]:
    """One ball's row, its result empty, in the order of the columns."""
    words, unit = design.words, _unit(design)
    green = design.greens[ball.green]

    def length(name: str, metres: float) -> dict[str, str]:
        return {f"{name}_{unit}": f"{metres / METRES_PER[unit]:.2f}".rstrip("0").rstrip(".")}

    room = {
        "pin_from_left": ball.pin.from_left_m,
        "pin_from_right": ball.pin.from_right_m,
        "pin_from_front": ball.pin.from_front_m,
        "pin_from_back": ball.pin.from_back_m,
    }
    row = {
        "assessment": safe_text(words.name),
        "ball": str(ball.number),
        "date": words.date,
        "session": safe_text(words.name),
        "place": ball.drawn.place,
        "lie": Lie(ball.drawn.lie).name.lower(),
        **length("target", ball.target_m),
        "measured": words.measured,
        **{f"long_{unit}": "", f"right_{unit}": "", "misread": "", "holed": "", "gained": ""},
        "purpose": "test",
        "measured_by": words.measured_by,
        "course": safe_text(design.course.name),
        "tee": safe_text(words.tee),
        "hole": str(green.hole.number),
        "pin": safe_text(green.pin),
        **length("pin_distance", ball.drawn.distance_m),
        **length("pin_right", 0.0),
        **length("run", ball.run_m),
        "pin_side": ball.pin.side,
        "pin_depth": ball.pin.depth,
    }
    for name, metres in room.items():
        row |= length(name, metres)
    return row | {
        "short_side": ball.pin.short_side,
        "bunker": ball.pin.bunker,
        "reference": safe_text(reference_text(words.reference)),
        "reference_group": words.group,
        "margin": f"{words.margin:g}",
        "expected_strokes": f"{ball.values.strokes:.4f}",
    }


def reference_text(level: float | str) -> str:
    """A reference golfer's level as a card writes it: ``12.4``, ``+2``, ``tour``."""
    if isinstance(level, str):
        return level
    return f"+{-level:.1f}" if level < 0.0 else f"{level:.1f}"


def _unit(design: AssessmentDesign) -> LengthUnit:
    return "m" if design.words.unit == "m" else "yd"
