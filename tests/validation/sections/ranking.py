"""How much to measure before believing: drills, parts and weeks of hours by how many balls were recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from comparison import COMPUTED, Check, Effort, Page, Table
from drawing import COLOURS, MARKERS, panels
from drill_ranking import (
    AMOUNTS,
    Ranked,
    Studied,
    lost_by_week,
    ranked,
    saved_by_best_week,
    steps_of_an_hour,
    study,
    told_payoffs,
    true_payoffs,
)
from matplotlib.figure import Figure
from numpy.typing import NDArray

from rangework.plan.drills import drill_catalogue

FloatArray = NDArray[np.float64]

TEXT = """
{players} simulated golfers off the fit's prior around stated handicaps of 0 to 30: true levels differ from the stated
by 6 (one standard deviation), parts from their level, days from one another. Each records so many balls: irons, drives,
short game and putts, and from 150 balls on a quarter of them strokes of rounds (eight rounds at most). The fit gets
the records and the stated handicap, as in `rangework plan`.

The truth of a drill is what one hour of it a week for eight weeks saves this golfer: their true worths, with the best
targets of their own, times what practice is expected to do. `plan` ranks drills by the same saving over plausible
golfers. How a golfer answers to practice is not in question: both sides assume the same. *Strokes lost* is how much
less a round the choice made from the records saves than the choice made from the truth. The best drill saves
{best:.2f} strokes on average, the second best {second:.2f} less, the mean of all drills {mean:.2f} less; the best week
of six hours saves {week:.2f} against no practice.

{told}

A percentage carries a standard error of about {error:.0f} points, strokes lost the one given. Worths are computed on
nine holes of the demo course, counted twice, over {draws} plausible golfers where `plan` takes 100.
"""
TOLD = """- **{records}**: the best drill is ranked first for {first} of golfers, among the first three for {three}.
  The drill ranked first loses {lost:.3f} strokes a round, a week of six hours {week:.3f}, {share} of what the best week
  saves."""
#: Our own goals: strokes a round lost with so many balls, as a share of what the best drill saves.
GOALS = {500: 0.10, 5000: 0.03}
SOURCE_GOAL = "A goal of our own"
SOURCE_CONTROL = "Negative control: a ranking that knows nothing of the player must lose more"
RANGE = np.array([drill.place == "range" for drill in drill_catalogue()])
NO_RECORDS, STATED_ALONE = "none: best for the stated handicap", "none: the fit's prior"


@dataclass(frozen=True)
class Found:
    """By what they rest on (rows of a table): rankings of drills and parts, and strokes lost by weeks of hours."""

    drills: dict[str, Ranked]
    range_drills: dict[str, Ranked]
    parts: dict[str, Ranked]
    weeks: dict[str, FloatArray]


def page(effort: Effort) -> Page:
    amounts, draws = effort.of(AMOUNTS, (0, 150, 5000)), effort.of(20, 6)
    players = study(range(effort.of(60, 4)), amounts, draws, effort.of(effort.threads, 1))
    found = all_rankings(players, amounts)
    return Page(
        "ranking",
        "How much to measure before believing",
        text(players, found, draws),
        checks(players, found),
        tables(players, found),
        {"Strokes a round lost and the best choice first, by balls recorded": figure(found)},
    )


def percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def amount_name(amount: int) -> str:
    return f"{amount:,}" if amount else STATED_ALONE


def all_rankings(players: list[Studied], amounts: Sequence[int]) -> Found:
    """Everything by amount of records, and with the worths of the stated handicap's reference golfer."""
    true = [true_payoffs(player) for player in players]
    told = {NO_RECORDS: [steps_of_an_hour(player.stated) @ player.reference for player in players]}
    worths = {NO_RECORDS: [player.reference for player in players]}
    for amount in amounts:
        told[amount_name(amount)] = [told_payoffs(player, amount) for player in players]
        worths[amount_name(amount)] = [player.found[amount] for player in players]
    return Found(
        {name: ranked(true, ranking) for name, ranking in told.items()},
        {name: ranked(_on_range(true), _on_range(ranking)) for name, ranking in told.items()},
        {
            name: ranked([player.true for player in players], [np.atleast_2d(w).mean(axis=0) for w in each])
            for name, each in worths.items()
        },
        {
            name: np.array([lost_by_week(player, w) for player, w in zip(players, each, strict=True)])
            for name, each in worths.items()
        },
    )


def _on_range(payoffs: list[FloatArray]) -> list[FloatArray]:
    return [each[RANGE] for each in payoffs]


def text(players: list[Studied], found: Found, draws: int) -> str:
    true = np.sort([true_payoffs(player) for player in players], axis=1)
    best_week = float(np.mean([saved_by_best_week(player) for player in players]))
    told = [
        TOLD.format(
            records=f"{name} balls" if name[0].isdigit() else name.capitalize(),
            first=percent(each.within(1)),
            three=percent(each.within(3)),
            lost=each.lost.mean(),
            week=found.weeks[name].mean(),
            share=percent(found.weeks[name].mean() / best_week),
        )
        for name, each in found.drills.items()
        if name != STATED_ALONE
    ]
    return TEXT.format(
        players=len(players),
        best=true[:, -1].mean(),
        second=(true[:, -1] - true[:, -2]).mean(),
        mean=(true[:, -1] - true.mean(axis=1)).mean(),
        week=best_week,
        told="\n".join(told),
        error=100.0 * 0.45 / np.sqrt(len(players)),
        draws=draws,
    )


def lost_by_lot(players: list[Studied]) -> FloatArray:
    """Strokes that a drill chosen by lot loses, [player]."""
    true = np.array([true_payoffs(player) for player in players])
    return np.asarray(true.max(axis=1) - true.mean(axis=1))


def checks(players: list[Studied], found: Found) -> list[Check]:
    """Our goals, as shares of what the best drill saves, and the negative control."""
    lot = lost_by_lot(players)
    made = [
        Check(
            what=f"strokes lost by the drill ranked first, {balls:,} balls, share of the best drill's saving",
            high=share, model=float(each.lost.mean() / each.best.mean()), goal=0.001, unit="", decimals=3,
            source=SOURCE_GOAL, status=COMPUTED,
        )
        for balls, share in GOALS.items()
        if (each := found.drills.get(amount_name(balls)))
    ]  # fmt: skip
    last = found.drills[amount_name(max(AMOUNTS))]
    control = Check(
        what="strokes lost by a drill chosen by lot, times those by the drill ranked first of 5,000 balls",
        low=10.0, model=float(lot.mean() / max(last.lost.mean(), 1e-3)), goal=0.1, unit="", decimals=1,
        source=SOURCE_CONTROL, status=COMPUTED,
    )  # fmt: skip
    return [*made, control]


def tables(players: list[Studied], found: Found) -> list[Table]:
    count, lot = len(true_payoffs(players[0])), lost_by_lot(players)
    by_lot = ("none: by lot", percent(1 / count), percent(3 / count), *lost_cells(lot))
    return [
        Table("Drills at all places", header("drill"), [by_lot, *rows(found.drills)]),
        Table("Drills on the range", header("drill"), rows(found.range_drills)),
        Table("Parts, by what one step saves", header("part"), rows(found.parts)),
        Table(
            "A week of six hours, as the linear program allots it",
            ("balls recorded", *LOST_HEADER),
            [(name, *lost_cells(lost)) for name, lost in found.weeks.items()],
        ),
    ]


LOST_HEADER = ("strokes lost a round", "one golfer in ten loses more than")


def header(what: str) -> tuple[str, ...]:
    return ("balls recorded", f"best {what} first", "among the first three", *LOST_HEADER)


def rows(found: dict[str, Ranked]) -> list[tuple[str, ...]]:
    return [
        (name, percent(each.within(1)), percent(each.within(3)), *lost_cells(each.lost))
        for name, each in found.items()
    ]


def lost_cells(lost: FloatArray) -> tuple[str, str]:
    """Mean with its standard error, and what one in ten loses at least."""
    error = lost.std(ddof=1) / np.sqrt(lost.size)
    return f"{lost.mean():.3f} ± {error:.3f}", f"{np.quantile(lost, 0.9):.2f}"


def figure(found: Found) -> Figure:
    """Strokes lost by each kind of choice, and how often the best drill is first or among the first three."""
    drawn, (left, right) = panels(2, width=9.0, height=3.6)
    names = [name for name in found.drills if name != STATED_ALONE]
    places = np.arange(len(names))
    losses = {
        "week of six hours": [found.weeks[name].mean() for name in names],
        "drill, of all places": [found.drills[name].lost.mean() for name in names],
        "drill, on the range": [found.range_drills[name].lost.mean() for name in names],
        "part, a step of it": [found.parts[name].lost.mean() for name in names],
    }
    shares = {
        "best drill among the first three": [100.0 * found.drills[name].within(3) for name in names],
        "best drill first": [100.0 * found.drills[name].within(1) for name in names],
        "best drill on the range first": [100.0 * found.range_drills[name].within(1) for name in names],
    }
    # the same choice has the same colour in both
    for axes, series, looks in ((left, losses, (0, 1, 2, 3)), (right, shares, (4, 1, 2))):
        for (name, values), look in zip(series.items(), looks, strict=True):
            axes.plot(places, values, color=COLOURS[look], marker=MARKERS[look], label=name)
        axes.set_xticks(places, ["stated\nhandicap", *names[1:]])
        axes.set_xlabel("balls recorded")
        axes.legend(fontsize=8.5)
        axes.set_ylim(bottom=0.0)
    left.set_title("Strokes a round lost by the choice")
    right.set_title("Golfers for whom the choice is right, %")
    right.set_ylim(0.0, 105.0)
    return drawn
