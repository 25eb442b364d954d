"""How many balls show a change: the published formula, the mixture, and tests played over and over."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest

from rangework.assessment.balls_to_see import (
    SEEN_AT,
    ball_finishes,
    normal_formula,
    outlook,
    shrunk,
    spread_balls,
)
from rangework.assessment.design import AssessmentDesign
from rangework.play.strategy import compile_player
from rangework.skill.model import POOR_LENGTH, POOR_SPREAD
from rangework.skill.reference import reference_golfer

CLOSED_FORMS = Path(__file__).parents[1] / "validation" / "published" / "closed_forms.csv"


def test_the_normal_formula_gives_the_worked_values() -> None:
    """closed_forms.csv, n per group to see SD fall by x."""
    lines = [line for line in CLOSED_FORMS.read_text("utf-8").splitlines() if not line.startswith("#")]
    (worked,) = (
        row["worked_values"] for row in csv.DictReader(lines) if row["check"].startswith("n per group")
    )
    values = {int(change): int(two) for change, two in re.findall(r"(\d+) % (\d+)/", worked)}
    assert len(values) == 6
    for change, balls in values.items():
        assert abs(normal_formula(change / 100.0) - balls) <= 1


def test_without_poor_strikes_the_mixture_is_the_normal_formula() -> None:
    for change in (0.1, 0.2, 0.3):
        assert abs(spread_balls(change, 0.0, 20.0) - normal_formula(change)) <= 1


def powers(change: float, poor: float, ratio: float, balls: int, seed: int) -> float:
    """How often a fall of the sd is seen, tests of lengths played out one by one."""
    luck = np.random.default_rng(seed)

    def log_sd(scale: float) -> np.ndarray:
        struck = luck.random((900, balls)) >= poor
        z = luck.standard_normal((900, balls)) * scale
        lengths = np.where(struck, z, (POOR_LENGTH - 1.0) * ratio + POOR_SPREAD * z)
        return np.asarray(np.log(lengths.std(axis=1, ddof=1)))

    before, again, after = log_sd(1.0), log_sd(1.0), log_sd(1.0 - change)
    error = float((before - again).std()) * 1.96
    return float((np.abs(before - after) > error).mean())


def test_the_mixture_s_balls_have_the_power_and_the_formula_s_have_not() -> None:
    balls = spread_balls(0.3, 0.12, 18.0)
    assert balls > 3 * normal_formula(0.3)
    assert powers(0.3, 0.12, 18.0, balls, seed=3) == pytest.approx(0.8, abs=0.06)
    assert powers(0.3, 0.12, 18.0, normal_formula(0.3), seed=4) < 0.5


@pytest.mark.slow
def test_tests_played_over_and_over_see_the_change_as_often_as_said(designed: AssessmentDesign) -> None:
    """Strokes gained of the test's own balls, drawn from where they finish."""
    shots = [ball.values for ball in designed.balls]
    golfer, luck = reference_golfer(15.0), np.random.default_rng(8)
    said = designed.sight.rows[2]
    rounds = math.ceil(said.gained / len(shots))

    def means(change: float) -> np.ndarray:
        player = compile_player(shrunk(golfer, change))
        total = np.zeros(2000)
        for shot in shots:
            long, right, weight = ball_finishes(shot, player)
            gained = shot.gained(long, right)
            total += luck.choice(gained, (2000, rounds), p=weight / weight.sum()).sum(axis=1)
        return total / (rounds * len(shots))

    before, again, after = means(0.0), means(0.0), means(0.3)
    error = 1.96 * float((before - again).std())
    assert float((after - before > error).mean()) == pytest.approx(0.8, abs=0.04)
    assert float((np.abs(again - before) > error).mean()) == pytest.approx(0.05, abs=0.02)


def test_better_golfers_gain_more(designed: AssessmentDesign) -> None:
    shots = [ball.values for ball in designed.balls]
    gained = [outlook(shots, reference_golfer(level)).gained for level in (0.0, 12.0, 24.0)]
    assert gained[0] > gained[1] > gained[2]
    # everyone plays at the pin here, and the golfer of 12 they are scored from may aim elsewhere
    assert -0.15 < gained[1] <= 0.01


def test_what_the_test_says_of_itself(designed: AssessmentDesign) -> None:
    seen = designed.sight
    assert [row.normal_formula for row in seen.rows] == [709, 159, 63]
    for row in seen.rows:
        assert row.gained > 0
        assert row.spread > 3 * row.normal_formula
    assert seen.rows[0].days > seen.rows[1].days > seen.rows[2].days
    assert seen.least_change is None or seen.least_change > 0.3
    assert pytest.approx(2.8016, abs=1e-3) == SEEN_AT
