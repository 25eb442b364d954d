"""What is said of retests of simulated players who have not changed, and of some who have.

Players come off the fit's prior around handicap 12 and hit a card of 12 cells, four distances times three pin
sides, on the demo course; every session has effects of its own. Their balls are made by ``SimulatedPlayer``, which
shares no code with what is tested.

Run ``python tests/assessment/retest_study.py`` for the figures of docs/explanation/assessments.md.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.append(str(Path(__file__).parents[1] / "skill"))

from simulated_players import Days, SimulatedPlayer

from rangework.assessment.cell_posterior import CHANGE_SCALE, CardMeans, CellPosterior, cell_posterior
from rangework.assessment.cell_prior import CellPrior
from rangework.assessment.imagined_cards import AskedBall, expectation, plausible_players
from rangework.assessment.pin_values import PinValues
from rangework.course import read_course
from rangework.lie import Lie
from rangework.skill.fit import make_prior
from rangework.skill.latents import N_LATENTS, golfer_from_latents
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

HANDICAP = 12.0
DISTANCES_YD = (75.0, 115.0, 140.0, 165.0)
PINS = ((2, "left"), (4, "middle"), (7, "right"))
FIRST, SECOND = date(2026, 5, 1), date(2026, 5, 29)
REAL = 0.9


@cache
def kinds() -> tuple[AskedBall, ...]:
    """One kind of ball for each of the 12 cells."""
    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        holes = {hole.number: hole for hole in read_course(path).holes}
    reference = reference_golfer(HANDICAP)
    pins = [PinValues.of(holes[number], "middle", pin, reference) for number, pin in PINS]
    shots = [(pin, yards * YARD_M) for yards in DISTANCES_YD for pin in pins]
    return tuple(
        AskedBall(pin.shot(Lie.FAIRWAY, far), cell, Lie.FAIRWAY, far) for cell, (pin, far) in enumerate(shots)
    )


@cache
def prior() -> CellPrior:
    """What the handicap says of the 12 cells."""
    names = tuple(f"{yards:g} yd.{pin}" for yards in DISTANCES_YD for _, pin in PINS)
    players = plausible_players(make_prior(HANDICAP), seed=1)
    return expectation(names, kinds(), np.ones(12), players, seed=1).prior


@dataclass(frozen=True)
class TestedPlayer:
    """A simulated player and the luck of the sessions."""

    golfer: Golfer
    rng: np.random.Generator

    @classmethod
    def drawn(cls, seed: int) -> TestedPlayer:
        rng = np.random.default_rng([seed, 77])
        return cls(golfer_from_latents(rng.standard_normal(N_LATENTS), make_prior(HANDICAP)), rng)

    def session(
        self, balls: NDArray[np.int64], *, days: Days | None = None
    ) -> tuple[FloatArray, NDArray[np.int64]]:
        """Strokes gained and cell of the balls of one session; ``balls`` [cell] says how many in each."""
        days = days or Days()
        player = SimulatedPlayer(self.golfer, int(self.rng.integers(2**31)))
        spread = float(np.exp(days.spread * self.rng.standard_normal()))
        turn, stretch = (
            days.direction_rad * self.rng.standard_normal(),
            days.depth * self.rng.standard_normal(),
        )
        gained = []
        for kind, count in zip(kinds(), balls, strict=True):
            target = np.full(count, kind.total_m)
            far, angle, _ = player._strike(kind.lie, target, spread=spread, turn=turn, stretch=stretch)
            gained.append(kind.gained(far * np.cos(angle) - target, far * np.sin(angle)))
        return np.concatenate(gained), np.repeat(np.arange(len(balls)), balls)

    def card(self, balls: NDArray[np.int64], day: date, *, days: Days | None = None) -> CardMeans:
        gained, cell = self.session(balls, days=days)
        return CardMeans.of(day, cell, gained, len(balls))

    def truth(self) -> FloatArray:
        """Usual strokes gained a ball by cell, over many sessions."""
        return np.mean([self.card(np.full(12, 40), FIRST).mean for _ in range(40)], axis=0)


@dataclass(frozen=True)
class Retested:
    """The weakest cell of a card, retested: what was foretold, what came, and what was said of the change."""

    first: float
    foretold: float
    inside: bool
    seen: float
    chance_real: float


def retested(
    seed: int, known: CellPrior, *, balls: int = 5, again: int = 20, days: Days | None = None, shrunk: bool = True
) -> Retested:  # fmt: skip
    """One unchanged player: the cell with the lowest mean of the first card is hit ``again`` times a month later."""
    player = TestedPlayer.drawn(seed)
    first = player.card(np.full(12, balls), FIRST, days=days)
    weakest = int(first.mean.argmin())
    cell = np.eye(12)[weakest]
    counts = np.where(cell > 0, again, 0)
    foretold = cell_posterior(known, [first]).next_card(cell, np.full(12, float(again)))
    second = player.card(counts, SECOND, days=days)
    after = cell_posterior(known, [first, second], change_scale=CHANGE_SCALE if shrunk else 10.0)
    rose = after.of(after.change(0, 1, cell)).chance_above(0.0)
    low, high = foretold.interval
    seen = float(second.mean[weakest])
    return Retested(
        float(first.mean[weakest]), foretold.centre, low <= seen <= high, seen, max(rose, 1.0 - rose)
    )


def improved(player: TestedPlayer, factor: float) -> TestedPlayer:
    """The player with all spreads of full shots times ``factor``."""
    golfer = player.golfer
    return replace(
        player,
        golfer=replace(
            golfer, approach_depth=golfer.approach_depth * factor, approach_direction=golfer.approach_direction * factor
        ),
    )  # fmt: skip


def spread_over_cells(balls: int, rng: np.random.Generator) -> NDArray[np.int64]:
    """So many balls over the 12 cells, as evenly as may be."""
    return np.bincount(np.resize(rng.permutation(12), balls), minlength=12)


def compared(seed: int, balls: int, sessions: int, factor: float) -> CellPosterior:
    """Cards of ``balls`` in all on either side of a change, over so many sessions each."""
    player = TestedPlayer.drawn(seed)
    cards = []
    for after, who in enumerate((player, improved(player, factor))):
        for session in range(sessions):
            day = FIRST + timedelta(days=28 * after + session)
            cards.append(who.card(spread_over_cells(balls // sessions, player.rng), day))
    return cell_posterior(prior(), cards)


def rose(found: CellPosterior) -> float:
    """The chance that all balls together got better."""
    return found.of(found.change(0, -1, np.full(12, 1 / 12))).chance_above(0.0)


def first_card(seed: int, balls: int) -> tuple[float, float, bool, bool, bool]:
    """Of one card: half-width of the usual mean a ball, chance given to the weakest cell, whether that is the truly
    weakest and whether among the three, and whether the lowest raw mean is the truly weakest."""
    player = TestedPlayer.drawn(seed)
    card = player.card(spread_over_cells(balls, player.rng), FIRST)
    found = cell_posterior(prior(), [card])
    low, high = found.of(found.at(-1, np.full(12, 1 / 12))).interval
    drawn = found.draws(2000, np.random.default_rng(seed)).argmin(axis=1)
    chances = np.bincount(drawn, minlength=12) / len(drawn)
    true = player.truth().argsort()
    raw = int(np.where(card.balls > 0, card.mean, np.inf).argmin())
    weakest = int(chances.argmax())
    return (high - low) / 2, float(chances.max()), weakest == true[0], weakest in true[:3], raw == true[0]


TWICE = Days(direction_rad=2 * Days().direction_rad, depth=2 * Days().depth, spread=2 * Days().spread)
CASES = {
    "days as assumed": (prior, Days()),
    "days that differ twice as much": (prior, TWICE),
    "nothing shared (negative control)": (lambda: prior().without_sharing(), Days()),
}


def summary(known: CellPrior, days: Days, balls: int, again: int, players: int) -> str:
    """What was foretold of unchanged players, what came, and what was said."""
    seen = [
        retested(seed, known, balls=balls, again=again, days=days, shrunk=known is prior())
        for seed in range(players)
    ]
    first, foretold, came, inside, real = np.array(
        [(each.first, each.foretold, each.seen, each.inside, each.chance_real >= REAL) for each in seen]
    ).T
    off = foretold - came
    return (
        f"first {first.mean():+.3f}, foretold {foretold.mean():+.4f}, seen {came.mean():+.4f} (off {off.mean():+.4f} "
        f"+- {off.std() / players**0.5:.4f}), inside 90 %: {inside.mean():.3f}, said real: {real.mean():.3f}"
    )


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for name, (known, days) in CASES.items():
        for balls, again in ((5, 20), (17, 60)):
            print(
                f"{name}, {12 * balls} balls, weakest of 12 again {again}:",
                summary(known(), days, balls, again, n),
            )
    for balls in (20, 60, 200):
        told = np.array([first_card(seed, balls) for seed in range(n // 5)], dtype=float).mean(axis=0)
        print(f"{balls} balls: half-width {told[0]:.3f} a ball; weakest cell at {told[1]:.2f}, right {told[2]:.2f}, "
              f"among the three weakest {told[3]:.2f}; lowest raw mean right {told[4]:.2f}", flush=True)  # fmt: skip
        for factor in (1.0, 0.9, 0.8, 0.7):
            for sessions in (1, 4):
                said = np.array([rose(compared(seed, balls, sessions, factor)) for seed in range(n // 5)])
                print(f"  spreads x {factor}, {sessions} session(s) a side: said better {np.mean(said >= REAL):.3f}, "
                      f"worse {np.mean(said <= 1 - REAL):.3f}", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
