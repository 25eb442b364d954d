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
    return {
        "assessment": safe_text(words.name),
        "ball": str(ball.number),
        "date": words.date,
        "session": safe_text(words.name),
        "place": ball.drawn.place,
        "lie": Lie(ball.drawn.lie).name.lower(),
        **_length("target", ball.target_m, unit),
        "measured": words.measured,
        **{f"long_{unit}": "", f"right_{unit}": "", "misread": "", "holed": "", "gained": ""},
        "purpose": "test",
        "measured_by": words.measured_by,
        **_pin(design, ball, unit),
        "reference": safe_text(reference_text(words.reference)),
        "reference_group": words.group,
        "margin": f"{words.margin:g}",
        "expected_strokes": f"{ball.values.strokes:.4f}",
    }


def _pin(design: AssessmentDesign, ball: AssessedBall, unit: LengthUnit) -> Mapping[str, str]:
    """The columns that say where the pin is."""
    green = design.greens[ball.green]
    return {
        "course": safe_text(design.course.name),
        "tee": safe_text(design.words.tee),
        "hole": str(green.hole.number),
        "pin": safe_text(green.pin),
        **_length("pin_distance", ball.drawn.distance_m, unit),
        **_length("pin_right", 0.0, unit),
        **_length("run", ball.run_m, unit),
        "pin_side": ball.pin.side,
        "pin_depth": ball.pin.depth,
        **_length("pin_from_left", ball.pin.from_left_m, unit),
        **_length("pin_from_right", ball.pin.from_right_m, unit),
        **_length("pin_from_front", ball.pin.from_front_m, unit),
        **_length("pin_from_back", ball.pin.from_back_m, unit),
        "short_side": ball.pin.short_side,
        "bunker": ball.pin.bunker,
    }


def _length(name: str, metres: float, unit: LengthUnit) -> dict[str, str]:
    return {f"{name}_{unit}": f"{metres / METRES_PER[unit]:.2f}".rstrip("0").rstrip(".")}


def reference_text(level: float | str) -> str:
    """A reference golfer's level as a card writes it: ``12.4``, ``+2``, ``tour``."""
    if isinstance(level, str):
        return level
    return f"+{-level:.1f}" if level < 0.0 else f"{level:.1f}"


def _unit(design: AssessmentDesign) -> LengthUnit:
    return "m" if design.words.unit == "m" else "yd"
