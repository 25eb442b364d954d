"""Rounds of a player in numbers, each with its range over plausible players and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from rangework.estimate import Estimate
from rangework.play.kernels import Player
from rangework.play.lattice import Layout
from rangework.play.rating import RatingUsed
from rangework.play.rounds import FAMILIES, GROUPS, RoundSample, play_rounds
from rangework.play.scorecard import QUANTILES, scorecard
from rangework.play.strategy import Strategy, compile_player, player_on, solve_course
from rangework.skill.model import Golfer

#: Rounds that each plausible player plays, beside the same rounds of the golfer in the middle.
DRAW_ROUNDS = 500

#: What a summary counts, and its unit.
UNITS = {
    "mean": "strokes",
    "sd": "strokes",
    "fairways": "share",
    "greens": "share",
    "putts": "a round",
    "three_putts": "a round",
    "penalties": "a round",
    "differential": "strokes",
    "index": "handicap index",
}
#: Numbers that rest on the rules of handicapping as well, and on a rating.
_BY_RULE = ("differential", "index")
GAINED_UNIT = "strokes a round"


@dataclass(frozen=True, slots=True)
class RoundsSummary:
    """Simulated rounds in numbers.

    ``numbers`` by the keys of ``UNITS`` (None without fairways or a rating), ``quantiles`` of the score,
    ``gained_by_group`` and ``gained_by_family`` strokes a round on the reference golfer, whose expected score
    is ``reference_mean``: either sums to ``gained``, and that to ``reference_mean`` less the mean score.
    ``standard_error`` is that of the mean score, ``rating`` what differentials are taken against.
    """

    rounds: int
    par: int
    numbers: Mapping[str, Estimate | None]
    standard_error: float
    quantiles: Mapping[float, float]
    gained: Estimate
    gained_by_family: Mapping[str, Estimate]
    gained_by_group: Mapping[str, Estimate]
    reference_mean: float
    rating: RatingUsed | None = None


@dataclass(frozen=True, slots=True)
class Reference:
    """The golfer to compare with: compiled, and with targets of their own on the same holes."""

    player: Player
    strategies: Sequence[Strategy]

    @classmethod
    def solved(cls, layouts: Sequence[Layout], golfer: Golfer, threads: int = 2) -> Reference:
        """The golfer with the best targets on these holes, in their conditions."""
        player = player_on(layouts, golfer)
        return cls(player, solve_course(layouts, player, threads=threads))


def summarise_rounds(
    strategies: Sequence[Strategy],
    golfer: Golfer,
    reference: Reference,
    rounds: int,
    *,
    draws: Sequence[Golfer] = (),
    rating: RatingUsed | None = None,
    basis: str,
    seed: int = 0,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> RoundsSummary:
    """Play ``rounds`` rounds of ``golfer``; each of ``draws`` plays some of them as well, for the ranges.

    ``strategies`` are the golfer's own; the draws play them too. A draw and the golfer meet the same luck, so
    that a range shows what is not known of the player and not chance.
    """

    def play(player: Player, number: int, first: int) -> RoundSample:
        return play_rounds(
            strategies, player, number, seed=seed, first_round=first, threads=1,
            against=reference.strategies, against_player=reference.player,
        )  # fmt: skip

    def apart(number: int) -> dict[str, float]:
        first = number * DRAW_ROUNDS
        drawn = play(
            compile_player(draws[number], aimed_by=golfer, conditions=conditions), DRAW_ROUNDS, first
        )
        if progress:
            progress()
        return _less(_counted(drawn, rating), _counted(play(player, DRAW_ROUNDS, first), rating))

    conditions = strategies[0].layout.conditions
    player = compile_player(golfer, conditions=conditions)
    sample = play_rounds(
        strategies, player, rounds, seed=seed, threads=threads,
        against=reference.strategies, against_player=reference.player,
    )  # fmt: skip
    with ThreadPoolExecutor(threads) as pool:
        differences = list(pool.map(apart, range(len(draws))))
    return _summary(sample, rating, differences, basis, reference)


def _summary(
    sample: RoundSample,
    rating: RatingUsed | None,
    differences: Sequence[Mapping[str, float]],
    basis: str,
    reference: Reference,
) -> RoundsSummary:
    counted = _counted(sample, rating)

    def estimate(key: str, unit: str) -> Estimate:
        rests_on = f"{basis}{_rating_basis(rating)}" if key in _BY_RULE else basis
        low, high = _range(counted[key], [difference[key] for difference in differences])
        return Estimate(counted[key], low, high, unit, rests_on)

    card = scorecard(sample, rating.rating if rating else None)
    return RoundsSummary(
        rounds=card.rounds,
        par=int(sample.par.sum()),
        numbers={key: estimate(key, unit) if key in counted else None for key, unit in UNITS.items()},
        standard_error=card.standard_error,
        quantiles=dict(zip(QUANTILES, card.quantiles, strict=True)),
        gained=estimate("gained", GAINED_UNIT),
        gained_by_family={family: estimate(f"family.{family}", GAINED_UNIT) for family in FAMILIES},
        gained_by_group={group: estimate(f"group.{group}", GAINED_UNIT) for group in GROUPS},
        reference_mean=sum(strategy.expected_strokes for strategy in reference.strategies),
        rating=rating,
    )


def _rating_basis(rating: RatingUsed | None) -> str:
    """What a differential rests on beside the scores."""
    estimated = "+published.course_rating+assumption.estimated_rating"
    return "+published.handicap_rules" + (estimated if rating and rating.estimate else "")


def _counted(sample: RoundSample, rating: RatingUsed | None) -> dict[str, float]:
    card = scorecard(sample, rating.rating if rating else None)
    by_family = sample.gained_by_family()
    numbers = {key: getattr(card, key) for key in UNITS}
    return {
        **{key: float(value) for key, value in numbers.items() if value is not None},
        **{f"family.{family}": gained for family, gained in by_family.items()},
        **{f"group.{group}": float(gained) for group, gained in zip(GROUPS, sample.gained, strict=True)},
        "gained": sum(by_family.values()),
    }


def _less(drawn: Mapping[str, float], middle: Mapping[str, float]) -> dict[str, float]:
    return {key: value - middle[key] for key, value in drawn.items()}


def _range(value: float, differences: Sequence[float]) -> tuple[float | None, float | None]:
    if not differences:
        return None, None
    low, high = np.quantile(differences, [0.05, 0.95])
    return value + float(low), value + float(high)
