"""Greens, fairways, putts, saves, penalties and driving by level."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

import numpy as np
from comparison import COMMON_PRACTICE, MEMORY, SECONDARY, Check, Effort, Page, Table
from drawing import COLOURS, PUBLISHED, panels
from matplotlib.figure import Figure
from played import TOUR, Level, averages, ladder, length_yd, level_of_score, played
from published import levels as published
from published.tour import AVERAGES
from simulated_shots import drives, save_chances, shots_on_field

from rangework.lie import Ground, Lie
from rangework.play.logbook import play_logged
from rangework.play.strategy import Strategy
from rangework.skill.model import Golfer
from rangework.units import YARD_M

TEXT = f"""
Rounds of the tour golfer on a long course ({length_yd("long"):,} yd), of men's reference golfers on a middle one
({length_yd("middle"):,} yd) and of women's on forward tees ({length_yd("forward"):,} yd), all par 72 and made of
standard holes. Tour averages, and what is published of amateurs. The tour golfer was fitted to expected strokes, not
to any of these; drives by handicap guided the reference golfers. A putt from the fringe counts as no putt, as golfers
count.

A third of the greens that the tour golfer misses are missed by more than 30 yd (table below), which is more than it
should be: a poor strike comes up a third short, while real mishits are commoner and lose less.
"""
COLUMNS = {
    "score": 1, "sd": 1, "greens": 0, "fairways": 0, "putts": 1, "three-putts": 1, "scrambling": 0, "penalties": 1,
    "drive": 0,
}  # fmt: skip
Averages = dict[str, float]


def page(effort: Effort) -> Page:
    tour = {**averages(played(TOUR, "season", effort)), "sand saves": sand_saves(effort)}
    men = {level: averages(played(level, "middle", effort)) for level in ladder(effort)}
    women = {level: averages(played(level, "forward", effort)) for level in ladder(effort, "women")}
    checks = [*tour_checks(tour, effort), *amateur_checks(men, effort), *driving_checks(effort)]
    tables = [
        missed_table(effort),
        level_table(
            "Men: the tour golfer on the long course, the others on the middle one", {TOUR: tour, **men}
        ),
        level_table("Women, on the forward course", women),
    ]
    return Page("averages", "Averages by level", TEXT, checks, tables, figures(tour, men, women))


def sand_saves(effort: Effort) -> float:
    """Per cent of balls in bunkers 8 to 25 yd from the pin that take two strokes, on every hole of the long course."""
    rounds = played(TOUR, "season", effort)
    near_m = (8.0 * YARD_M, 25.0 * YARD_M)
    chances = [
        chance
        for strategy in rounds.strategies
        for chance in save_chances(strategy, rounds.golfer, Ground.SAND, near_m, shots=effort.of(1_000, 200))
    ]
    return 100.0 * float(np.mean(chances))


WHY_TOUR = {
    "scrambling": (
        "Six of ten are saved from within 30 yd (table below), but a third of the missed greens are missed by more: a "
        "poor strike comes up a third short, while real mishits are commoner and lose less. And nobody holes out from "
        "farther off the green than the fringe"
    )
}


def tour_checks(tour: Averages, effort: Effort) -> Iterable[Check]:
    for name, row in AVERAGES.items():
        # the par 5s of nine holes are not those of eighteen
        if not (effort.quick and name == "score of a par 5"):
            yield Check(
                what=f"tour, {name}", published=row.published, model=tour[name], goal=row.goal, unit=row.unit,
                source=row.source, status=row.status, why=WHY_TOUR.get(name, ""),
            )  # fmt: skip


def missed_table(effort: Effort) -> Table:
    """Greens that the tour golfer misses, by how far from the hole the next stroke is played."""
    rounds = played(TOUR, "season", effort)
    missed = missed_greens(rounds.strategies, rounds.golfer, effort.of(500, 200))
    rows = []
    for low, high in itertools.pairwise((0, 10, 20, 30, 50, 100, 300)):
        here = [saved for yards, saved in missed if low <= yards < high]
        rows.append((f"{low}-{high}", f"{100 * len(here) / len(missed):.0f}", f"{100 * np.mean(here):.0f}"))
    return Table("Greens that the tour golfer misses", ("yards to the hole", "% of them", "saved, %"), rows)


def missed_greens(strategies: list[Strategy], golfer: Golfer, rounds: int) -> list[tuple[float, bool]]:
    """Yards left after the strokes that regulation allows, and whether par was made, of every green missed."""
    pars = {strategy.layout.number: strategy.layout.par for strategy in strategies}
    log = play_logged(strategies, golfer, rounds, seed=3)
    missed = []
    for (_, hole), strokes in itertools.groupby(log, key=lambda stroke: (stroke.round, stroke.hole)):
        those = list(strokes)
        last = next(stroke for stroke in those if stroke.stroke + stroke.penalty >= pars[hole] - 2)
        if last.next_lie not in (Lie.GREEN, Lie.HOLED):
            missed.append((last.left_to_hole_m / YARD_M, those[-1].stroke <= pars[hole]))
    return missed


def amateur_checks(men: dict[Level, Averages], effort: Effort) -> Iterable[Check]:
    scratch = men[Level(0.0)]
    ninety = averages(played(level_of_score(90.0, effort), "middle", effort))
    yield Check(
        what="scratch, three-putts", published=published.SCRATCH_THREE_PUTTS, model=scratch["three-putts"], goal=0.2,
        unit="", source=published.SCRATCH_THREE_PUTTS_SOURCE, status=SECONDARY,
    )  # fmt: skip
    yield Check(
        what="90-golfer, putts", published=published.PUTTS_OF_NINETY, model=ninety["putts"], goal=1.0, unit="",
        source=published.GOLF_SCIENCE_JOURNAL, status=SECONDARY,
    )  # fmt: skip
    for level, found in men.items():
        if level.index in (15.0, 20.0, 25.0):
            low, high = published.AMATEUR_PENALTIES
            yield Check(
                what=f"index {level.name}, penalties", low=low, high=high, model=found["penalties"], goal=0.2, unit="",
                source="rule of thumb for middle and high handicaps", status=COMMON_PRACTICE,
            )  # fmt: skip
        if 70.0 <= found["score"] <= 92.0:
            yield Check(
                what=f"index {level.name}, greens a round that go with {found['score']:.1f}",
                published=published.riccio_greens(found["score"]), model=found["greens"] * 0.18, goal=1.5, unit="",
                source=published.RICCIO_SOURCE, status=MEMORY,
            )  # fmt: skip


WHY_CHARTS = (
    "The charts describe well-struck shots, as accuracy areas do, and are a bound; the spread of tee shots that is "
    "published for whole rounds (page on accuracy areas) holds fewer within that width, and ours follows it"
)
WHY_DRIVE = (
    "Two sources differ: the drives by handicap above were measured, on two holes a club; ours follow those"
)


def driving_checks(effort: Effort) -> Iterable[Check]:
    shots = effort.of(100_000, 20_000)
    groups = [(row, Level(row.index)) for row in published.DRIVES_MEN]
    groups += [(row, Level(row.index, "women")) for row in published.DRIVES_WOMEN]
    for group, level in groups:
        yield Check(
            what=f"drive, {group.group}", published=group.yards, goal=6.0, unit="yd", status=SECONDARY,
            model=float(drives(level.golfer, shots=shots).on_m.mean() / YARD_M), source=published.DISTANCE_INSIGHTS,
        )  # fmt: skip
    another = published.DRIVE_0_TO_9
    yield Check(
        what=f"drive, {another.group}", published=another.yards, goal=6.0, unit="yd", status=SECONDARY,
        model=float(drives(Level(another.index).golfer, shots=shots).on_m.mean() / YARD_M),
        source=published.DRIVE_0_TO_9_SOURCE, why=WHY_DRIVE,
    )  # fmt: skip
    for index, yards, width_yd in published.FAIRWAY_OF_TWO_THIRDS:
        hit = shots_on_field(Level(index).golfer, yards * YARD_M, shots=shots)
        held = 100 * float(np.mean(np.abs(hit.right_m) <= width_yd * YARD_M / 2))
        yield Check(
            what=f"index {index:g}, tee shots of {yards:.0f} yd within {width_yd:.0f} yd", published=200 / 3,
            model=held, goal=5.0, unit="%", source=published.USGA_SLOPE_CHARTS, status=SECONDARY, why=WHY_CHARTS,
        )  # fmt: skip


def level_table(title: str, levels: dict[Level, Averages]) -> Table:
    rows = [
        (level.name, *(f"{found[column]:.{decimals}f}" for column, decimals in COLUMNS.items()))
        for level, found in levels.items()
    ]
    header = (
        "index", "score", "sd", "greens %", "fairways %", "putts", "three-putts", "saved %", "penalties", "drive yd",
    )  # fmt: skip
    return Table(title, header, rows)


def figures(tour: Averages, men: dict[Level, Averages], women: dict[Level, Averages]) -> dict[str, Figure]:
    figure, axes = panels(3, 2, height=2.5)
    shown = {
        "greens": "greens hit (%)",
        "fairways": "fairways hit (%)",
        "scrambling": "missed greens saved (%)",
        "putts": "putts a round",
        "three-putts": "three-putts a round",
        "penalties": "penalty strokes a round",
    }
    for ax, (name, title) in zip(axes.flat, shown.items(), strict=True):
        for levels, colour, marker in ((women, COLOURS[2], "^"), (men, COLOURS[0], "s")):
            index = [level.index for level in levels]
            ax.plot(index, [found[name] for found in levels.values()], color=colour, marker=marker)
        ax.plot([-5.0], [tour[name]], color=COLOURS[1], marker="D", linestyle="none")
        ax.plot([-5.0], [AVERAGES[name].published], **PUBLISHED)
        ax.set_title(title)
        ax.set_ylim(bottom=24.0 if name == "putts" else 0.0)
        ax.set_xticks([-5, 0, 10, 20, 30], ["tour", "0", "10", "20", "30"])
    for ax in axes[1]:
        ax.set_xlabel("handicap index")
    score = np.array([found["score"] for found in men.values()])
    low = score <= 93.0
    at = np.array([level.index for level in men])
    axes[0, 0].plot(at[low], published.riccio_greens(score[low]) / 0.18, **PUBLISHED)
    axes[1, 1].plot([0.0], [published.SCRATCH_THREE_PUTTS], **PUBLISHED)
    words = "Squares: men's reference golfers; triangles: women's; diamonds: the tour golfer; hollow circles: published"
    return {words: figure}
