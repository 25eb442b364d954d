"""What `rangework aim` prints and writes: targets side by side, and the advice in a sentence."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.aim_words import (
    SAME,
    advice_sentence,
    length_text,
    line_sentence,
    percent_of,
    range_text,
    target_name,
)
from rangework.cli.tables import Block, interval, number, paragraph, table

if TYPE_CHECKING:
    from rangework.aim import AimAdvice, Choice, Comparison, Difference
    from rangework.units import Units

#: Choices beside one another in a table of 80 columns, and the width of their headings.
BESIDE, HEADING_WIDTH = 4, 13
SAFETY = (
    "Never toward people: before you play, be sure that nobody is where the ball may go, the poor strike and the "
    "widest miss among them, and call out when one goes astray. The tool knows the map, not who stands on it."
)
LINE_BASIS = "prior.reference_golfer+published.tour_form+assumption.play.relief+assumption.play.fringe"
HEIGHTS = ("low", "standard", "high")


def aim_results(advice: AimAdvice, units: Units) -> dict[str, Any]:
    """Every number of the command by its key in the JSON file."""
    from rangework.aim.landing import SHORT_SIDE_FROM_M, SHORT_SIDE_M

    compared = advice.comparison
    aiming = compared.aiming
    ball, played = aiming.ball, aiming.played
    choices = [_choice_results(advice, index, units) for index in range(len(compared.choices))]
    return {
        "hole": played.layout.number,
        "par": played.layout.par,
        "tee": advice.tee,
        "pin": advice.pin,
        "from": {
            "lie": ball.lie.name.lower(),
            "to_pin_m": aiming.to_pin_m,
            "point_m": played.layout.grid.to_hole(ball.place_m),
            "stroke": ball.stroke,
        },
        "objective": "mean" if advice.score is None else f"{advice.score} or better",
        "choices": choices,
        "best": choices[compared.best],
        "differences": _pairs(compared),
        "advice": advice_sentence(advice, units),
        "short_side": {"green_less_than_m": SHORT_SIDE_M, "pin_within_m": SHORT_SIDE_FROM_M},
        "holes_played": compared.rounds,
        "break_even": _line_results(advice),
        "target_values": _field_results(advice),
        "cautions": [SAFETY],
    }


def _choice_results(advice: AimAdvice, index: int, units: Units) -> dict[str, Any]:
    from rangework.aim import target_text

    compared = advice.comparison
    choice, apart = compared.choices[index], compared.difference(index, compared.best)
    pin, place = compared.aiming.played.pin_m, choice.shot.place_m
    birdie, par, bogey, double = choice.scores
    reached, club = choice.reached, advice.club(choice)
    return {
        "target": target_text(choice.target, units),
        "club": club and club.name,
        "partial": club and club.partial,
        "distance_m": choice.distance_m,
        "carry_m": choice.carry_m,
        "plays_m": choice.plays_m,
        "height": HEIGHTS[choice.shot.height] if _is_short(compared, choice) else None,
        "from_pin_m": {"right": place[0] - pin[0], "beyond": place[1] - pin[1]},
        "expected_strokes": choice.strokes.value,
        "standard_error": choice.standard_error,
        "low": choice.strokes.low,
        "high": choice.strokes.high,
        "birdie": birdie,
        "par": par,
        "bogey": bogey,
        "double": double,
        "green": choice.finish.green,
        "short_sided": choice.finish.short_sided,
        "bunker": choice.finish.bunker,
        "penalty": choice.finish.penalty,
        "difference": apart.amount.value,
        "difference_low": apart.amount.low,
        "difference_high": apart.amount.high,
        "real": apart.is_real,
        "reached": reached and {"value": reached.value, "low": reached.low, "high": reached.high},
        "basis": choice.strokes.basis,
    }


def _line_results(advice: AimAdvice) -> dict[str, Any] | None:
    line = advice.line
    if line is None:
        return None
    return {
        "against": advice.against,
        "expected_strokes": line.strokes,
        "putt_m": line.putt_m,
        "polygons": line.lines_m,
        "basis": LINE_BASIS,
    }


def _field_results(advice: AimAdvice) -> dict[str, Any] | None:
    import numpy as np

    field, compared = advice.field, advice.comparison
    if field is None:
        return None
    pin = compared.aiming.played.pin_m
    places = [
        (choice.shot.place_m[0] - pin[0], choice.shot.place_m[1] - pin[1]) for choice in compared.choices
    ]
    return {
        "of": "expected_strokes" if advice.score is None else "reached",
        "turn_deg": math.degrees(field.turn_rad),
        "right_m": field.right_m,
        "beyond_m": field.beyond_m,
        "values": field.values,
        "choices_m": field.seen(np.array(places)),
        "basis": compared.basis,
    }


def _pairs(compared: Comparison) -> list[dict[str, Any]]:
    """Every choice against every later one."""
    count = len(compared.choices)
    pairs = [(first, second) for first in range(count) for second in range(first + 1, count)]
    return [
        {
            "first": first,
            "second": second,
            "difference": apart.amount.value,
            "low": apart.amount.low,
            "high": apart.amount.high,
            "chance_first_cheaper": apart.chance,
            "real": apart.is_real,
            "basis": apart.amount.basis,
        }
        for first, second in pairs
        if (apart := compared.difference(first, second))
    ]


def aim_text(advice: AimAdvice, course: str, units: Units) -> str:
    """The page: advice first, then targets side by side, then their differences."""
    compared = advice.comparison
    starts = range(0, len(compared.choices), BESIDE)
    tables = [_side_by_side(advice, compared.choices[start : start + BESIDE], units) for start in starts]
    parts = [
        f"AIM on hole {compared.aiming.played.layout.number} of {course}\n"
        + paragraph(_place_sentence(advice, units)),
        paragraph(advice_sentence(advice, units)),
        *tables,
        "BESIDE THE BEST\n" + _differences_table(advice, units),
        *([paragraph(line_sentence(advice, units))] if advice.line else []),
        paragraph(_notes(advice, units)),
        paragraph(SAFETY),
    ]
    return "\n\n".join(parts)


def _place_sentence(advice: AimAdvice, units: Units) -> str:
    from rangework.lie import Lie

    aiming = advice.comparison.aiming
    ball, layout = aiming.ball, aiming.played.layout
    lie = {
        Lie.TEE: f"the {advice.tee} tee",
        Lie.SAND: "sand",
        Lie.RECOVERY: "among trees",
    }.get(ball.lie, f"the {ball.lie.name.lower()}")
    return (
        f"Par {layout.par}, pin {advice.pin}. {length_text(aiming.to_pin_m, units)} to the pin from {lie}, "
        f"stroke {ball.stroke} of the hole."
    )


def _side_by_side(advice: AimAdvice, choices: Sequence[Choice], units: Units) -> str:
    """A column for each choice."""
    headings = ["", *(textwrap.fill(target_name(choice, units), HEADING_WIDTH) for choice in choices)]
    blocks = [
        Block("The shot", _shot_rows(advice, choices, units)),
        Block("Strokes from here", _stroke_rows(choices)),
        Block(f"{advice.score} or better, of 100 holes played for it", _reached_rows(choices)),
        Block("Of 100 holes", _score_rows(choices)),
        Block("Of 100 such shots", _finish_rows(choices)),
    ]
    return table(headings, blocks)


def _shot_rows(advice: AimAdvice, choices: Sequence[Choice], units: Units) -> list[list[str]]:
    rows = [
        ["length", *(length_text(choice.distance_m, units) for choice in choices)],
        ["of it carry", *(length_text(choice.carry_m, units) for choice in choices)],
    ]
    if any(abs(choice.plays_m - choice.distance_m) >= 0.5 for choice in choices):
        rows.append(["plays like", *(length_text(choice.plays_m, units) for choice in choices)])
    clubs = [advice.club(choice) for choice in choices]
    if any(clubs):
        rows.append(["club", *(club.words if club else "-" for club in clubs)])
    if any(_is_short(advice.comparison, choice) for choice in choices):
        rows.append(["height", *(HEIGHTS[choice.shot.height] for choice in choices)])
    return rows


def _is_short(compared: Comparison, choice: Choice) -> bool:
    return len(compared.aiming.heights(choice.shot.place_m)) > 1


def _stroke_rows(choices: Sequence[Choice]) -> list[list[str]]:
    return [
        ["expected", *(number(choice.strokes.value, 2) for choice in choices)],
        ["90 % range", *(interval(choice.strokes.low, choice.strokes.high, 2) for choice in choices)],
    ]


def _score_rows(choices: Sequence[Choice]) -> list[list[str]]:
    names = ("birdie or better", "par", "bogey", "double or worse")
    return [[name, *(_of_100(choice.scores[k]) for choice in choices)] for k, name in enumerate(names)]


def _reached_rows(choices: Sequence[Choice]) -> list[list[str]]:
    """The chance of the score that is aimed for, with its range."""
    reached = [choice.reached for choice in choices if choice.reached]
    if not reached:
        return []
    return [
        ["chance", *(_of_100(each.value) for each in reached)],
        ["90 % range", *(interval(percent_of(each.low), percent_of(each.high), 0) for each in reached)],
    ]


def _finish_rows(choices: Sequence[Choice]) -> list[list[str]]:
    names = {"green": "green", "short_sided": "short-sided", "bunker": "bunker", "penalty": "penalty"}
    return [
        [name, *(_of_100(getattr(choice.finish, key)) for choice in choices)] for key, name in names.items()
    ]


def _of_100(share: float) -> str:
    return number(100.0 * share, 0)


def _differences_table(advice: AimAdvice, units: Units) -> str:
    compared = advice.comparison
    in_strokes = compared.unit == "strokes"
    rows = [
        _difference_row(target_name(choice, units), compared.difference(index, compared.best), compared)
        for index, choice in enumerate(compared.choices)
        if index != compared.best
    ]
    rows.append([target_name(compared.choices[compared.best], units), "best", "", ""])
    lost = "strokes\ndearer" if in_strokes else "holes lost\nin 100"
    return table(["target", "", lost, "90 % range"], [Block("", rows)])


def _difference_row(name: str, apart: Difference, compared: Comparison) -> list[str]:
    scale, decimals = (1.0, 2) if compared.unit == "strokes" else (100.0, 1)
    verdict = "dearer" if apart.is_real else SAME
    return [name, verdict, number(scale * apart.amount.value, decimals), range_text(apart, compared)]


def _notes(advice: AimAdvice, units: Units) -> str:
    from rangework.aim.comparing import AGREEING, SMALLEST
    from rangework.aim.landing import SHORT_SIDE_FROM_M, SHORT_SIDE_M

    compared = advice.comparison
    error = max(choice.standard_error for choice in compared.choices)
    smallest = f"{SMALLEST:g} strokes" if advice.score is None else f"{100 * SMALLEST:g} hole in 100"
    near, little = length_text(SHORT_SIDE_FROM_M, units), length_text(SHORT_SIDE_M, units)
    return (
        f"Ranges come from what the records leave open about the player. {SAME.capitalize()}: fewer than "
        f"{100 * AGREEING:.0f} of 100 plausible players agree on which costs less, or it is under {smallest}. "
        f"Short-sided: off the green and fringe, within {near} of the pin, with less than {little} of green between "
        f"its edge and the pin. {compared.rounds:,} holes played for each target: error of the strokes "
        f"{number(error, 4)}."
    )
