"""How much of the differences in score between tour players comes from shots beyond 100 yards."""

from __future__ import annotations

import math

import numpy as np
from comparison import VERIFIED, Check, Effort, Page, Table
from drawing import COLOURS, panels
from matplotlib.figure import Figure
from published import levels as published
from tour_field import WHY_WIDTHS, Widths, covariance, shares_of_differences, worth_of_latents

TEXT = """
Players around the tour golfer are drawn from the prior that a fit starts from, at the tour's level: independent
effects on driver length (6 %), on the spread of all full shots (8 %), on depth and on direction (18 %, and 13 % in
every band), on tee shots (22 %), on poor strikes, on chips, pitches and bunker shots, on line (12 %) and pace (15
%) of putts. Biases are left out: a player who knows one aims it off. For each effect, a player half a standard
deviation better and one as much worse choose their targets anew and play the long course with the same luck; from
there on, strokes are taken for a straight line. A family's share is its covariance with the total over the variance
of the total.

So this checks the prior's widths against each other as much as the model. The prior is for golfers of one stated
level, not for a tour's field, which is narrower: only the shares can be compared.
"""


def page(effort: Effort) -> Page:
    share = shares_of_differences(effort)
    checks = [
        Check(
            what="shots beyond 100 yd", published=published.LONG_GAME_SHARE, model=float(share[:2].sum()), goal=5.0,
            unit="%", source=published.LONG_GAME_SOURCE, status=VERIFIED, why=WHY_WIDTHS,
        ),
        Check(
            what="putting", published=published.PUTTING_VARIATION, model=float(share[3]), goal=3.0, unit="%",
            source=published.PUTTING_VARIATION_SOURCE, status=VERIFIED, why=WHY_WIDTHS,
        ),
    ]  # fmt: skip
    tables = [widths(effort), other_widths(effort)]
    return Page("score-differences", "Differences in score", TEXT, checks, tables, {WORDS: drawn(effort)})


def widths(effort: Effort) -> Table:
    """Standard deviations between players by family."""
    between = covariance(effort)
    sds = [*np.sqrt(np.diag(between)), math.sqrt(between.sum())]
    rows = [("model, strokes a round", *(f"{sd:.2f}" for sd in sds))]
    title = "Standard deviation between players of one level"
    return Table(title, ("", *published.FAMILIES, "all"), rows)


LENGTH: Widths = (("driver_length", 0.5),)
LONG_GAME: Widths = (
    *LENGTH, ("tee_direction", 0.75), ("full_shots", 0.75), ("depth", 0.75), ("direction", 0.75), ("full_poor", 0.75),
)  # fmt: skip


def other_widths(effort: Effort) -> Table:
    """What the shares would be if players differed otherwise."""
    cases: dict[str, Widths] = {
        "as the prior has it": (),
        "driver length half as wide (3 %)": LENGTH,
        "that, and tee direction and what all full shots share three quarters": LONG_GAME,
    }
    rows = [("published, best of the tour", *(f"{share:.0f}" for share in published.BEST_SHARES), "67")]
    for name, factors in cases.items():
        share = shares_of_differences(effort, factors)
        rows.append((name, *(f"{each:.0f}" for each in share), f"{share[:2].sum():.0f}"))
    return Table("Shares with other widths, %", ("", *published.FAMILIES, "beyond 100 yd"), rows)


WORDS = "Strokes a round for one standard deviation of each effect, by the family that gains them"


def spoken(name: str) -> str:
    """Name of a latent in words."""
    return name.replace("_", " ").replace(".", ", ")


def drawn(effort: Effort) -> Figure:
    worth = worth_of_latents(effort)
    names = sorted(worth, key=lambda name: abs(worth[name].sum()))
    figure, ax = panels(height=5.6)
    for family, words in enumerate(published.FAMILIES):
        value = np.array([abs(worth[name][family]) for name in names])
        before = np.array([np.abs(worth[name][:family]).sum() for name in names])
        ax.barh([spoken(name) for name in names], value, left=before, color=COLOURS[family])
        ax.text(0.98, 0.32 - 0.07 * family, words, color=COLOURS[family], ha="right", transform=ax.transAxes)
    return figure
