"""Forecasts of a retest, and what came of it: strokes gained a ball of the test and of its distance bands."""

from __future__ import annotations

from datetime import date

import numpy as np

from rangework.assessment.forecasts import Forecast
from rangework.assessment.tested_player import TestedPlayer


def test_forecasts(tested: TestedPlayer, made: date, day: date) -> list[Forecast]:
    """What a retest of the last card will show, if nothing changes: with another day and its luck in the interval."""
    card, posterior = tested.posterior.cards[-1], tested.posterior
    found = []
    for name, chosen in _groups(tested).items():
        balls = np.where(chosen, card.balls, 0).astype(np.float64)
        if balls.any():
            shares = balls / balls.sum()
            spread = posterior.next_card(shares, np.maximum(balls, 1.0))
            low, high = spread.interval
            last = float(shares @ card.mean)
            level = tested.level if isinstance(tested.level, str) else _index(float(tested.level))
            found.append(
                Forecast(
                    made.isoformat(), day.isoformat(), "test", name, spread.centre, low, high, last, level
                )
            )
    return found


def tests_played(tested: TestedPlayer) -> list[tuple[date, dict[str, float]]]:
    """Day and strokes gained a ball of every card, as a whole and by band."""
    found = []
    for card in tested.posterior.cards:
        values = {}
        for name, chosen in _groups(tested).items():
            balls = np.where(chosen, card.balls, 0)
            if balls.any():
                values[name] = float(balls @ card.mean / balls.sum())
        found.append((card.day, values))
    return found


def _groups(tested: TestedPlayer) -> dict[str, np.ndarray]:
    bands = tested.scored.cells.bands
    every = {"all balls": np.ones(len(bands), dtype=bool)}
    return every | {band: np.array([each == band for each in bands]) for band in dict.fromkeys(bands)}


def _index(level: float) -> str:
    return f"+{-level:g}" if level < 0.0 else f"{level:g}"
