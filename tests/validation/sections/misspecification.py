"""What the fit makes of players of whom something does not hold that it takes for granted."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import numpy as np
from comparison import COMPUTED, Check, Effort, Page, Table
from drawing import COLOURS, INK, QUIET, panels
from kept_runs import run_or_kept
from matplotlib.figure import Figure

from rangework.skill.parts import PART_IDS

sys.path.append(str(Path(__file__).parents[2] / "skill"))
from calibration import Fitted, calibrate_all, coverage
from misspecified_players import KINDS, Kind, draw_odd_player, draw_range_player

PLAYERS, RANGE_PLAYERS = 60, 30
FACTORS, AMOUNTS = (0.85, 1.0, 1.15), (300, 1000, 3000)
LEAST, ENOUGH_WARNED, NEAR = 0.80, 0.80, 0.05
SOURCE = (
    "A goal of our own: 80 % of 90 % intervals hold the truth, or four of five players are warned by name"
)
SOURCE_RANGE = "A goal of our own: a range factor that is called measured is known within 0.05"

TEXT = """
{players} simulated players of each kind: 150 to 1,500 balls and strokes, stated indices from 0 to 30 (juniors 15 to
45). All else is as on [the page before](posterior.md). Where fewer than 80 % of 90 % intervals hold the truth, the fit
is to name what is odd. The truth of a spread is its standard deviation, heavy tails included. A single part rests on
{players} intervals: a standard deviation of {error:.0%} by chance. All were played and fitted on {made}.

The range factor and the aims of logged strokes are told apart only in part. Golfers with a range factor of 0.85, 1.00
and 1.15 and aims 3 degrees off the hole, {range_players} each: either the factor is called *measured*, and its 90 %
interval reaches no further than 0.05, or it is called *not identified*. The last lies two
standard deviations of the prior from its 0.85, so that fewer than 90 % of the intervals hold it: they are right over
all factors that the prior thinks likely, not at each of them.
"""


def page(effort: Effort) -> Page:
    kinds, cells = kinds_of(effort), cells_of(effort)
    found, ranges = (run := run_or_kept("misspecification", effort, partial(fits, effort))).found
    players, few = len(found[0]), effort.of(0.0, 0.5)
    return Page(
        "misspecification",
        "When something does not hold",
        TEXT.format(
            players=players, error=float(np.sqrt(0.09 / players)), range_players=len(ranges[0]), made=run.made
        ),
        [*kind_checks(kinds, found, few), *range_checks(ranges, few)],
        [kinds_table(kinds, found), range_table(cells, ranges)],
        {"How many 90 % intervals hold the truth, by what does not hold": kinds_figure(kinds, found)},
    )


def kinds_of(effort: Effort) -> Sequence[Kind]:
    return effort.of(KINDS, KINDS[:4])


def cells_of(effort: Effort) -> list[tuple[float, int]]:
    """Range factors and amounts of balls."""
    return [(factor, balls) for factor in FACTORS for balls in effort.of(AMOUNTS, AMOUNTS[:1])]


def fits(effort: Effort) -> tuple[list[list[Fitted]], list[list[Fitted]]]:
    """Fits of every kind of player, and of every cell of the range factor."""
    processes = effort.of(effort.threads, 1)
    kinds = [partial(draw_odd_player, kind=kind) for kind in kinds_of(effort)]
    cells = [partial(draw_range_player, factor=factor, balls=balls) for factor, balls in cells_of(effort)]
    found = calibrate_all(kinds, range(effort.of(PLAYERS, 2)), processes)
    return found, calibrate_all(cells, range(effort.of(RANGE_PLAYERS, 2)), processes)


def warned(kind: Kind, found: Sequence[Fitted]) -> float:
    """Share of players whose fit names what is odd about them."""
    return float(np.mean([bool(kind.warning) and kind.warning in one.warnings for one in found]))


def kind_checks(kinds: Sequence[Kind], found: Sequence[list[Fitted]], few: float) -> list[Check]:
    """Pooled coverage, or the share warned where coverage falls short and a warning exists."""
    checks = []
    for kind, those in zip(kinds, found, strict=True):
        what, share, least = f"{kind.name}: 90 % intervals", float(coverage(those).mean()), LEAST
        if share < LEAST and kind.warning:
            what, share, least = (
                f"{kind.name}: warned of “{kind.warning}”",
                warned(kind, those),
                ENOUGH_WARNED,
            )
        checks.append(
            Check(
                what=what, model=100.0 * share, low=100.0 * least, goal=100.0 * few, unit="%", source=SOURCE,
                status=COMPUTED, decimals=1,
            )
        )  # fmt: skip
    return checks


def kinds_table(kinds: Sequence[Kind], found: Sequence[list[Fitted]]) -> Table:
    rows = []
    for kind, those in zip(kinds, found, strict=True):
        share = coverage(those)
        worst = [f"{PART_IDS[i]} {share[i]:.0%}" for i in np.argsort(share, kind="stable")[:3]]
        told = f"“{kind.warning}” {warned(kind, those):.0%}" if kind.warning else "—"
        rows.append((kind.name, f"{share.mean():.1%}", ", ".join(worst), told))
    return Table(
        "By what does not hold",
        ("", "within the 90 % interval", "the three worst parts", "players warned of it"),
        rows,
    )


def _near(those: Sequence[Fitted]) -> float:
    return float(np.mean([abs(one.range_factor[1] - one.range_factor[2]) <= NEAR for one in those]))


def range_checks(ranges: Sequence[list[Fitted]], few: float) -> list[Check]:
    """Of the range factors called measured, how many are near the truth; none where none is called so."""
    called = [one for those in ranges for one in those if one.range_factor[3]]
    if not called:
        return []
    return [
        Check(
            what=f"range factors called measured ({len(called)}) that lie within {NEAR}", model=100.0 * _near(called),
            low=85.0, goal=100.0 * few, unit="%", source=SOURCE_RANGE, status=COMPUTED, decimals=1,
        )
    ]  # fmt: skip


def range_table(cells: Sequence[tuple[float, int]], ranges: Sequence[list[Fitted]]) -> Table:
    rows = []
    for (factor, balls), those in zip(cells, ranges, strict=True):
        estimates = np.array([one.range_factor[1] for one in those])
        called = [one for one in those if one.range_factor[3]]
        rows.append(
            (
                f"{factor:.2f}",
                f"{balls:,}",
                f"{estimates.mean():.2f} ± {estimates.std():.2f}",
                f"{np.mean([one.range_covered for one in those]):.0%}",
                f"{len(called)} of {len(those)}",
                f"{_near(called):.0%}" if called else "—",
            )
        )
    header = (
        "range factor", "balls", "estimates", "within the 90 % interval", "called measured",
        f"of these within {NEAR}",
    )  # fmt: skip
    return Table("The range factor, with logged strokes aimed 3 degrees off the hole", header, rows)


def kinds_figure(kinds: Sequence[Kind], found: Sequence[list[Fitted]]) -> Figure:
    """Pooled coverage of each kind, and each part's as a small mark."""
    figure, axes = panels(width=8.5, height=0.8 + 0.33 * len(kinds))
    place = np.arange(len(kinds))[::-1]
    for at, those in zip(place, found, strict=True):
        share = 100.0 * coverage(those)
        axes.plot(share, np.full(share.size, at), "|", color=QUIET, markersize=7)
        axes.plot(share.mean(), at, "o", color=COLOURS[0])
    axes.axvline(100.0 * LEAST, color=INK, linewidth=0.8, linestyle=":")
    axes.axvline(90.0, color=INK, linewidth=0.8)
    axes.set_yticks(place, [kind.name for kind in kinds])
    axes.set_xlabel("% of 90 % intervals that hold the truth; dot: all parts, lines: single parts")
    axes.grid(axis="y", visible=False)
    return figure
