"""Handicap arithmetic beside the worked examples of its rules."""

from __future__ import annotations

import numpy as np
from comparison import COMPUTED, VERIFIED, Check, Effort, Page, Status
from published import handicap as rules

from rangework.play.handicap import (
    block_averages,
    capped,
    handicap_index,
    nine_hole_course_handicap,
    round_half_up,
    score_differential,
    simulated_index,
    slope_rating,
)

TEXT = """
The arithmetic of differentials, indices and slopes, against the worked examples that the rules themselves give: these
must agree to the last digit. Below them, what the rules make of scores that are normally distributed, where the answer
is known from the theory of order statistics: the index of 20 scores lies 0.93 standard deviations under their mean, and
a golfer plays to it in 18 % of rounds, within the 15 to 20 % that the USGA's guidance gives.
"""
EXACT = 1e-6
GUIDANCE = "USGA guidance on scores and index: a golfer plays to the index in 15-20 % of rounds"


def page(effort: Effort) -> Page:
    checks = [*worked_examples(), *normal_scores(effort), *fewer_scores(effort)]
    return Page("handicap", "Handicap arithmetic", TEXT, checks)


def worked(
    what: str,
    published: float,
    model: float,
    status: Status = VERIFIED,
    decimals: int = 1,
    goal: float = EXACT,
) -> Check:
    return Check(
        what=what, published=published, model=model, goal=goal, unit="", source=rules.RULES, status=status,
        decimals=decimals,
    )  # fmt: skip


def worked_examples() -> list[Check]:
    checks = []
    for row in rules.DIFFERENTIALS:
        score, rating, slope, conditions, published, status = row
        what = f"differential of {score} on {rating:.1f}/{slope:g}, playing conditions {conditions:g}"
        found = float(score_differential(score, rating, slope, conditions))
        checks.append(worked(what, published, found, status))
    checks += [
        worked(f"{exact:.2f} rounded to a tenth", rounded, float(round_half_up(exact, 1)))
        for exact, rounded in rules.ROUNDED
    ]
    for average, low, index, status in rules.CAPS:
        what = f"best-8 average {average} after a low index of {low}"
        checks.append(worked(what, index, float(round_half_up(capped(average, low), 1)), status))
    nine = rules.NINE_HOLES
    found = nine_hole_course_handicap(nine.index, nine.slope, nine.course_rating, nine.par)
    checks.append(worked("course handicap over nine holes", nine.exact, found, decimals=3, goal=0.001))
    scores, index = rules.THREE_SCORES
    checks.append(worked("index of three scores", index, handicap_index(list(scores)), COMPUTED))
    for golfers, per_stroke in rules.SLOPE_PER_STROKE.items():
        bogey = 72.0 + rules.STANDARD_SLOPE / per_stroke
        slope = slope_rating(72.0, bogey, "women" if golfers == "women" else "men")
        checks.append(worked(f"standard slope, {golfers}", rules.STANDARD_SLOPE, slope, decimals=0))
    return checks


def normal_scores(effort: Effort) -> list[Check]:
    """The index of normal scores, in standard deviations from their mean."""
    blocks = effort.of(50_000, 10_000)
    rounds = np.random.default_rng(8).normal(size=20 * blocks)
    averages = block_averages(rounds)
    gap, spread, share = rules.BEST_8_OF_20
    error = spread / np.sqrt(blocks)
    played_to = 100.0 * float(np.mean(rounds <= averages.mean()))

    def theory(what: str, published: float, model: float, goal: float, unit: str = "sd") -> Check:
        return Check(
            what=what, published=published, model=model, goal=goal, unit=unit, source=rules.ORDER_STATISTICS,
            status=COMPUTED,
        )  # fmt: skip

    return [
        theory("index under the mean of normal scores", gap, simulated_index(rounds), 4 * error),
        theory("sd of the index", spread, float(averages.std()), 0.01),
        theory("rounds played to the index", 100 * share, played_to, 0.5, "%"),
        Check(
            what="rounds played to the index, guidance", low=15.0, high=20.0, model=played_to, goal=0.1, unit="%",
            source=GUIDANCE, status=VERIFIED,
        ),
    ]  # fmt: skip


def fewer_scores(effort: Effort) -> list[Check]:
    """The index of 3 to 20 normal scores of mean 20 and sd 3."""
    records = effort.of(5_000, 1_000)
    checks = []
    for n, _lowest, adjustment, expectation in rules.FEWER_THAN_TWENTY:
        differentials = np.random.default_rng(n).normal(20.0, 3.0, (records, n))
        indices = np.array([handicap_index(row) for row in differentials])
        checks.append(
            Check(
                what=f"mean index of {n} scores, mean 20 and sd 3", published=20.0 + 3.0 * expectation + adjustment,
                model=float(indices.mean()), goal=4.0 * float(indices.std()) / records**0.5, unit="",
                source=f"{rules.RULES}, rule 5.2a, and {rules.ORDER_STATISTICS}", status=COMPUTED,
            )
        )  # fmt: skip
    return checks
