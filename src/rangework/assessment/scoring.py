"""Filled cards scored ball by ball, and their balls sorted into cells of distance band and pin position."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.assessment.card import Card
from rangework.assessment.cell_posterior import CardMeans, CellPosterior, cell_posterior
from rangework.assessment.imagined_cards import AskedBall, Expectation, Plausible, expectation
from rangework.assessment.pin_values import PinValues, ShotValues
from rangework.course.geometry import Course
from rangework.course.pin_places import has_pin
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.skill.model import BAND_EDGES_M, CHIP_LIMIT_M, SHORT_LIMIT_M, Golfer

FloatArray = NDArray[np.float64]

#: What pin positions are told apart by: third of the width, third of the depth, or the side with little green.
PinView = Literal["side", "depth", "short_side"]
_COLUMNS = {"side": "pin_side", "depth": "pin_depth", "short_side": "short_side"}
_ORDER = ("left", "middle", "right", "front", "back", "none", "")
#: Distances of one kind of ball agree within this.
_ALIKE_M = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Cells of distance band and pin position: name, band and pin of each (band and pin as text ids)."""

    names: tuple[str, ...]
    bands: tuple[str, ...]
    pins: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class ScoredCards:
    """Cards of one player, by day, with strokes gained ball by ball.

    ``balls`` is one frame [card, ...columns of a card, gained, expected, cell, kind, scored]; a misread ball is not
    scored, and its ``gained`` is nan.
    """

    cards: tuple[Card, ...]
    balls: pd.DataFrame
    cells: Cells
    kinds: tuple[AskedBall, ...]

    def expect(self, players: Sequence[Plausible], *, seed: int = 0) -> Expectation:
        """What plausible players gain on these cards."""
        scored = self.balls[self.balls["scored"]]
        counts = np.bincount(scored["kind"], minlength=len(self.kinds)).astype(np.float64)
        return expectation(self.cells.names, self.kinds, counts, players, seed=seed)

    def means(self, expected: Expectation) -> list[CardMeans]:
        """Each card's means by cell; where cards asked for different balls of a cell that is allowed for."""
        found = []
        offset = expected.kind_mean - expected.prior.mean[[kind.cell for kind in self.kinds]]
        for number, card in enumerate(self.cards):
            own = self.balls[(self.balls["card"] == number) & self.balls["scored"]]
            gained = own["gained"].to_numpy() - offset[own["kind"].to_numpy()]
            found.append(CardMeans.of(card.day, own["cell"].to_numpy(), gained, len(self.cells.names)))
        return found

    def posterior(self, expected: Expectation, cards: int | None = None) -> CellPosterior:
        """What the first ``cards`` (all, unless given) say of the player."""
        return cell_posterior(expected.prior, self.means(expected)[:cards])


def score_cards(
    cards: Sequence[Card], course: Course, reference: Golfer, *, pins: PinView = "side"
) -> ScoredCards:
    """Score the cards of one player against a reference golfer. Raises InputError for greens that the course lacks."""
    ordered = tuple(sorted(cards, key=lambda card: card.day))
    _check_greens(ordered, course)
    balls = pd.concat(
        [card.balls.assign(card=number) for number, card in enumerate(ordered)], ignore_index=True
    )
    band = balls_bands(balls["lie"].to_numpy(), balls["pin_distance_m"].to_numpy())
    pin = balls[_COLUMNS[pins]].astype(str).to_numpy()
    cells, cell = _cells(band, pin)
    balls = balls.assign(cell=cell, scored=~balls["misread"])
    kinds, kind = _kinds(balls, course, reference)
    balls = balls.assign(kind=kind)
    gained, expected = _gained(balls, kinds)
    return ScoredCards(ordered, balls.assign(gained=gained, expected=expected), cells, kinds)


def balls_bands(lie: NDArray[Any], distance_m: FloatArray) -> NDArray[np.object_]:
    """The band of each ball: ``chip``, ``pitch``, ``bunker``, or ``approach_100_150`` and the like."""
    names = np.array(
        ["approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up"], dtype=object
    )
    place = np.clip(np.searchsorted(BAND_EDGES_M, distance_m, side="right") - 1, 0, len(names) - 1)
    short = np.where(distance_m < CHIP_LIMIT_M, "chip", "pitch")
    short = np.where(lie == Lie.SAND, "bunker", short)
    return np.asarray(np.where(distance_m < SHORT_LIMIT_M, short, names[place]), dtype=object)


_BANDS = (
    "chip", "pitch", "bunker", "approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up",
)  # fmt: skip


def _cells(band: NDArray[np.object_], pin: NDArray[Any]) -> tuple[Cells, NDArray[np.int64]]:
    pairs = sorted(
        set(zip(band, pin, strict=True)), key=lambda pair: (_BANDS.index(pair[0]), _ORDER.index(pair[1]))
    )
    number = {pair: place for place, pair in enumerate(pairs)}
    names = tuple(f"{each}.{position or 'unknown'}" for each, position in pairs)
    bands, pins = (tuple(pair[side] or "unknown" for pair in pairs) for side in (0, 1))
    return Cells(names, bands, pins), np.array([number[pair] for pair in zip(band, pin, strict=True)])


def _check_greens(cards: Sequence[Card], course: Course) -> None:
    """Raise one InputError for all balls whose green the course does not have."""
    holes = {hole.number: hole for hole in course.holes}
    tees = {tee.name for tee in course.tees}
    problems = []
    for card in cards:
        for ball in card.balls.to_dict("records"):
            at, hole = f"row {ball['row']}, column ", holes.get(ball["hole"])
            if ball["course"] and ball["course"] != course.name:
                expected = f"{course.name}, the course of --course"
                problems.append(Problem(card.source, f"{at}course", ball["course"], expected))
            elif hole is None:
                expected = f"a hole of {course.name}: {min(holes)} to {max(holes)}"
                problems.append(Problem(card.source, f"{at}hole", str(ball["hole"]), expected))
            elif not has_pin(hole, ball["pin"]):
                expected = f"a pin of hole {ball['hole']} ({', '.join(hole.pins)}) or a place on any green"
                problems.append(Problem(card.source, f"{at}pin", ball["pin"], expected))
            if ball["tee"] and ball["tee"] not in tees:
                expected = "one of " + ", ".join(sorted(tees))
                problems.append(Problem(card.source, f"{at}tee", ball["tee"], expected))
    if problems:
        raise InputError(problems)


def _kinds(
    balls: pd.DataFrame, course: Course, reference: Golfer
) -> tuple[tuple[AskedBall, ...], NDArray[np.int64]]:
    """The different kinds of ball that the cards ask for, and the kind of each ball."""
    greens: dict[tuple[int, str, str], PinValues] = {}
    shots: dict[tuple[Any, ...], ShotValues] = {}
    kinds: dict[tuple[Any, ...], AskedBall] = {}
    numbers: dict[tuple[Any, ...], int] = {}
    found = []
    holes = {hole.number: hole for hole in course.holes}
    usual_tee = course.tees[len(course.tees) // 2].name
    for ball in balls.to_dict("records"):
        green = (int(ball["hole"]), str(ball["tee"] or usual_tee), str(ball["pin"]))
        if green not in greens:
            greens[green] = PinValues.of(holes[green[0]], green[1], green[2], reference)
        place = (*green, int(ball["lie"]), round(ball["pin_distance_m"] / _ALIKE_M))
        if place not in shots:
            shots[place] = greens[green].shot(Lie(int(ball["lie"])), float(ball["pin_distance_m"]))
        total_m = float(ball["target_m"] + ball["run_m"])
        key = (*place, round(total_m), round(ball["pin_right_m"]), bool(ball["carry"]), ball["place"], ball["error_m"],
               ball["error_share"], int(ball["cell"]))  # fmt: skip
        if key not in kinds:
            kinds[key] = _asked(ball, shots[place])
            numbers[key] = len(numbers)
        found.append(numbers[key])
    return tuple(kinds.values()), np.array(found)


def _asked(ball: Mapping[Hashable, Any], shot: ShotValues) -> AskedBall:
    total_m = float(ball["target_m"] + ball["run_m"])
    return AskedBall(
        shot,
        cell=int(ball["cell"]),
        lie=Lie(int(ball["lie"])),
        total_m=total_m,
        pin_long_m=float(ball["pin_distance_m"]) - total_m,
        pin_right_m=float(ball["pin_right_m"]),
        short_m=float(ball["run_m"]),
        on_range=ball["place"] == "range",
        error_m=float(ball["error_m"]),
        error_share=float(ball["error_share"]),
    )


def _gained(balls: pd.DataFrame, kinds: Sequence[AskedBall]) -> tuple[FloatArray, FloatArray]:
    """Strokes gained by every ball (nan where misread) and the strokes that the reference golfer needs."""
    gained = np.full(len(balls), np.nan)
    kind, holed = balls["kind"].to_numpy(), balls["holed"].to_numpy()
    expected = np.array([each.shot.strokes for each in kinds])[kind]
    for number, each in enumerate(kinds):
        chosen = (kind == number) & balls["scored"].to_numpy()
        long, right = (balls[name].to_numpy()[chosen] for name in ("long_m", "right_m"))
        gained[chosen] = each.gained(np.nan_to_num(long), np.nan_to_num(right))
    return np.where(holed & ~balls["misread"].to_numpy(), expected - 1.0, gained), expected
