"""What `rangework assess forecast` prints."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from rangework.cli.assess.cell_words import cell_words
from rangework.cli.tables import Block, interval, number, paragraph, percent, table

if TYPE_CHECKING:
    from rangework.assessment.forecasts import Forecast, Outcome
    from rangework.units import Units

_WORDS = {
    "score": "score",
    "tee": "tee shots, par 4s and 5s",
    "approach": "approach strokes",
    "short_game": "short-game strokes",
    "putting": "putts",
    "penalties": "penalty strokes",
}


def forecasts_page(made: Sequence[Forecast], who: str, units: Units) -> str:
    """A forecast, number by number."""
    what = "NEXT ROUND" if made[0].about == "round" else "RETEST, strokes gained a ball"
    rows = [
        [
            _words(each, units),
            *_numbers(each),
            number(each.last, _decimals(each), signed=each.about == "test"),
        ]
        for each in made
    ]
    shown = table(["", "forecast", "90 % range", "last time"], [Block("", rows)])
    return f"THE {what} of {who}, from {made[0].day} on\n{shown}"


def left_out_words(day: date, balls: int, cards: int) -> str:
    """What the forecast does not know, since it may be what is foretold."""
    if not balls and not cards:
        return paragraph(f"Made from records of days before {day}; none of that day or later was given.")
    out = [f"{balls:,} balls and strokes of records"] if balls else []
    out += [f"{cards} card{'s' if cards > 1 else ''}"] if cards else []
    return paragraph(
        f"Made from what was known before {day}: {' and '.join(out)} of that day or later left out."
    )


def verdict_page(found: Sequence[Outcome], kept: int, units: Units) -> str:
    """How the forecasts stood up, in sum and one by one."""
    from rangework.assessment.forecasts import verdict

    summed = verdict(found)
    if summed is None:
        return paragraph(f"None of the {kept} kept forecasts has an outcome in RECORDS yet.")
    rows = [
        ["inside the 90 % range", percent(summed.inside), percent(summed.last_inside)],
        ["mean error", number(summed.error, 2), number(summed.last_error, 2)],
        ["width of the range, mean", number(summed.width, 2), number(summed.width, 2)],
        [
            "width and misses in one (less is better)",
            number(summed.penalty, 2),
            number(summed.last_penalty, 2),
        ],
    ]
    each = [
        [
            f"{outcome.forecast.day} {_words(outcome.forecast, units)}",
            *_numbers(outcome.forecast),
            number(outcome.came, _decimals(outcome.forecast), signed=outcome.forecast.about == "test"),
            "inside" if outcome.inside else "outside",
        ]
        for outcome in found
    ]
    few = (
        " With fewer than 20 that says little either way: an honest 90 % range holds 9 of 10 in the long run."
        if summed.forecasts < 20
        else ""
    )
    told = (
        f"{summed.forecasts} of {kept} kept forecasts have an outcome, {summed.with_last} of them a last time. "
        f"Numbers of one round hang together, so that they are fewer than they look.{few}"
    )
    sums = table(["", "forecast", "the same as\nlast time"], [Block("", rows)])
    singly = table(["", "forecast", "90 % range", "came", ""], [Block("", each)])
    return f"HOW THE FORECASTS STOOD UP\n{sums}\n{paragraph(told)}\n\nONE BY ONE\n{singly}"


def _words(forecast: Forecast, units: Units) -> str:
    return _WORDS[forecast.quantity] if forecast.about == "round" else cell_words(forecast.quantity, units)


def _decimals(forecast: Forecast) -> int:
    return 1 if forecast.about == "round" else 2


def _numbers(forecast: Forecast) -> list[str]:
    decimals, signed = _decimals(forecast), forecast.about == "test"
    return [
        number(forecast.value, decimals, signed=signed),
        interval(forecast.low, forecast.high, decimals, signed=signed),
    ]
