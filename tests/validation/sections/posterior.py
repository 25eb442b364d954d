"""Whether the fit's intervals mean what they say: a thousand simulated players off the prior."""

from __future__ import annotations

import itertools
import sys
from functools import partial
from pathlib import Path

import numpy as np
from comparison import COMPUTED, Check, Effort, Page, Table
from drawing import COLOURS, INK, QUIET, panels
from kept_runs import run_or_kept
from matplotlib.figure import Figure

from rangework.skill.fit_warnings import MANY_SLIPS, MANY_WILD
from rangework.skill.measures import FROM_NEIGHBOURS, RANGE_ONLY, WORDS
from rangework.skill.parts import PART_IDS

sys.path.append(str(Path(__file__).parents[2] / "skill"))
from calibration import (
    Fitted,
    calibrate,
    coverage,
    measured_biases,
    rank_counts,
    rank_p_values,
    smallest_adjusted,
)
from simulated_records import draw_player

PLAYERS, FEW, CONTROL, FEW_CONTROL = 1000, 16, 120, 8
BINS = 20
#: Whom the negative control is made with.
PRACTICE, LEAST_BALLS = ("all", "range", "range and rounds", "range and short game"), 300
#: Bands of the share of intervals that hold the truth, and what the negative control must fall under.
PART_BAND, POOLED_BAND, CONTROL_BIAS, MOST_ALARMS = (0.87, 0.93), (0.88, 0.92), 0.80, 0.05
#: Standard errors beyond which a part's share is no chance (24 parts).
MOST_BY_CHANCE = 2.8
SOURCE = "Theory: intervals of 90 % hold the truth of a player off the prior in 90 % of cases"
SOURCE_RANKS = "Talts et al. (2018), arXiv:1804.06788 (from memory): ranks of the truth among draws are even"
SOURCE_CONTROL = "Negative control: the fit without session effects must fail"
SOURCE_ALARMS = "A goal of our own: a player off the prior is warned of one matter in at most 5 % of cases"

TEXT = """
{players} simulated players: men and women of any stated index from -5 to 36, whose true level, parts and days are
draws of the prior (so the stated index is off by 6, one standard deviation), with 50 to 5,000 balls and strokes in
seven mixes, from putts only to everything. Sessions differ. Half of the course logs are rounded to feet and yards,
and golfers allow for an unknown share of their bias on the course: the fit knows of neither. The simulator plays
from the shot model's tables and shares no code with the likelihood.

Of all intervals that are to hold 90 %, **{pooled:.1%}** do; single parts {lowest:.1%} to {highest:.1%}, where chance
alone makes a standard deviation of {error:.1%}. The rank of the truth among 100 draws is to be even: a chi-square test
over {bins} bins for each of the 24 parts, the smallest p-value corrected for 24 tests (Holm 1979), gives
{adjusted:.2f}; below 0.05 would be a failure. The negative control leaves session effects out of the fit: of
{controls} players with {least} balls and more, range practice among them, {control:.0%} of the intervals of biases that
are called measured hold the truth; with session effects {with_effects:.0%} do. All players were played and fitted on
{made}.
"""


def page(effort: Effort) -> Page:
    found, control = (run := run_or_kept("posterior", effort, partial(fits, effort))).found
    figures = {
        "How many of the players have the truth of a part within its 90 % interval": coverage_figure(found),
        "Ranks of the truth among draws, by part; shaded: where chance leaves 95 % of bars": rank_figure(
            found
        ),
    }
    return Page(
        "posterior",
        "Intervals mean what they say",
        text(found, control, run.made),
        checks(found, control, effort),
        [parts_table(found), mixes_table(found), sizes_table(found), words_table(found)],
        figures,
    )


def fits(effort: Effort) -> tuple[list[Fitted], list[Fitted]]:
    """Fits of all players, and those of the negative control."""
    processes = effort.of(effort.threads, 1)
    found = calibrate(range(effort.of(PLAYERS, FEW)), processes=processes)
    seeds = list(itertools.islice(filter(_practises, itertools.count()), effort.of(CONTROL, FEW_CONTROL)))
    return found, calibrate(seeds, processes=processes, session_effects=False)


def _practises(seed: int) -> bool:
    drawn = draw_player(seed)
    return drawn.mix in PRACTICE and drawn.records.n_balls >= LEAST_BALLS


def text(found: list[Fitted], control: list[Fitted], made: str) -> str:
    by_part = coverage(found)
    return TEXT.format(
        players=f"{len(found):,}",
        pooled=by_part.mean(),
        lowest=by_part.min(),
        highest=by_part.max(),
        error=float(np.sqrt(0.09 / len(found))),
        bins=BINS,
        adjusted=smallest_adjusted(rank_p_values(found, BINS)),
        controls=len(control),
        least=LEAST_BALLS,
        control=measured_biases(control),
        with_effects=measured_biases(found),
        made=made,
    )


def _share(
    what: str,
    share: float,
    low: float | None,
    high: float | None,
    source: str,
    goal: float = 0.0,
    why: str = "",
) -> Check:
    bounds = {"low": None if low is None else 100.0 * low, "high": None if high is None else 100.0 * high}
    return Check(
        what=what, model=100.0 * share, goal=100.0 * goal, unit="%", source=source, status=COMPUTED,
        decimals=1, why=why, **bounds,
    )  # fmt: skip


def checks(found: list[Fitted], control: list[Fitted], effort: Effort) -> list[Check]:
    """Coverage pooled and by part, ranks, the negative control, alarms; with few players chance is allowed for."""
    few, bins = effort.of(0.0, 1.0), effort.of(BINS, 5)
    by_part = coverage(found)
    pooled = _share("90 % intervals, all parts", by_part.mean(), *POOLED_BAND, SOURCE, 0.04 * few)
    parts = [
        _share(
            f"90 % intervals, {part}",
            share,
            *PART_BAND,
            SOURCE,
            0.25 * few,
            why=by_chance(float(share), len(found)),
        )
        for part, share in zip(PART_IDS, by_part, strict=True)
    ]
    ranks = Check(
        what=f"evenness of ranks: smallest of 24 p-values, corrected ({bins} bins)",
        low=0.05, model=smallest_adjusted(rank_p_values(found, bins)), goal=0.0, unit="",
        source=SOURCE_RANKS, status=COMPUTED, decimals=2,
    )  # fmt: skip
    wrong = _share(
        "without session effects: 90 % intervals of biases called measured",
        measured_biases(control),
        None,
        CONTROL_BIAS,
        SOURCE_CONTROL,
    )
    return [pooled, *parts, ranks, wrong, *alarms(found, 0.15 * few)]


def by_chance(share: float, players: int) -> str:
    """The reason of a part outside its band, where it is no more than chance among so few players."""
    error = float(np.sqrt(0.09 / players))
    outside = not PART_BAND[0] <= share <= PART_BAND[1]
    if not outside or players >= PLAYERS or abs(share - 0.90) > MOST_BY_CHANCE * error:
        return ""
    return (
        f"{players} players only, among whom chance alone makes a standard deviation of {error:.1%}: "
        f"{PLAYERS:,} would tell"
    )


def alarms(found: list[Fitted], goal: float) -> list[Check]:
    """How often a warning is given for nothing, of players for whom the matter is in order."""
    in_order = {
        "stray rows": [one for one in found if one.slips < MANY_SLIPS],
        "balls far out": [one for one in found if one.wild < MANY_WILD],
        "driver length": found,
        "handicap": found,
        "sampling": found,
    }
    return [
        _share(
            f"warned of “{warning}” for nothing",
            float(np.mean([warning in one.warnings for one in those])),
            None,
            MOST_ALARMS,
            SOURCE_ALARMS,
            goal,
        )
        for warning, those in in_order.items()
    ]


def parts_table(found: list[Fitted]) -> Table:
    below = np.array([one.below for one in found])
    p_values = rank_p_values(found, BINS)
    rows = [
        (
            part,
            f"{np.mean((column >= 0.05) & (column <= 0.95)):.1%}",
            f"{np.mean(column < 0.05):.1%}",
            f"{np.mean(column > 0.95):.1%}",
            f"{p:.2f}",
        )
        for part, column, p in zip(PART_IDS, below.T, p_values, strict=True)
    ]
    return Table(
        "By part: truth within, under and over the 90 % interval, and how even its ranks are",
        ("part", "within", "under", "over", "p-value of ranks"),
        rows,
    )


def _pooled(some: list[Fitted]) -> str:
    return f"{coverage(some).mean():.1%}" if some else "—"


def mixes_table(found: list[Fitted]) -> Table:
    rows = []
    for mix in sorted({one.mix for one in found}):
        those = [one for one in found if one.mix == mix]
        rows.append((mix, str(len(those)), _pooled(those)))
    return Table("By what was recorded", ("records", "players", "within, all parts"), rows)


def sizes_table(found: list[Fitted]) -> Table:
    rows = []
    for low, high in itertools.pairwise((0, 150, 500, 1500, 10_000)):
        those = [one for one in found if low <= one.balls < high]
        told = f"{low:,} to {high:,}" if high < 10_000 else f"{low:,} and more"
        rows.append((told, str(len(those)), _pooled(those)))
    return Table("By how much was recorded", ("balls", "players", "within, all parts"), rows)


def words_table(found: list[Fitted]) -> Table:
    """What the words of sureness turned out to be worth: error over what the prior alone leaves open."""
    words = np.array([one.words for one in found])
    error = np.array([one.error / one.prior_sd for one in found])
    told = np.array([one.posterior_sd / one.prior_sd for one in found])
    covered = np.array([one.covered for one in found])
    rows = []
    for word in (WORDS[0], FROM_NEIGHBOURS, WORDS[1], RANGE_ONLY, WORDS[2]):
        at = words == word
        if at.any():
            made, said = (f"{np.sqrt(np.mean(x[at] ** 2)):.2f}" for x in (error, told))
            rows.append((word, f"{at.sum():,}", made, said, f"{covered[at].mean():.1%}"))
    return Table(
        "What the words mean: errors made and errors told, as shares of the prior's standard deviation",
        ("words", "estimates", "error made", "error told", "within the 90 % interval"),
        rows,
    )


def coverage_figure(found: list[Fitted]) -> Figure:
    figure, axes = panels(width=8.0, height=5.6)
    share = 100.0 * coverage(found)
    place = np.arange(len(PART_IDS))[::-1]
    axes.axvspan(100.0 * PART_BAND[0], 100.0 * PART_BAND[1], color=QUIET, alpha=0.25, linewidth=0.0)
    axes.axvline(90.0, color=INK, linewidth=0.8)
    error = 100.0 * np.sqrt(0.09 / len(found))
    axes.errorbar(share, place, xerr=error, fmt="o", color=COLOURS[0], elinewidth=1.0)
    axes.set_yticks(place, PART_IDS)
    axes.set_xlabel("% of players; band: 87 to 93 %; bars: one standard error")
    axes.grid(axis="y", visible=False)
    return figure


def rank_figure(found: list[Fitted]) -> Figure:
    figure, axes = panels(6, 4, width=9.0, height=1.5)
    expected = len(found) / BINS
    reach = 1.96 * np.sqrt(expected * (1.0 - 1.0 / BINS))
    counts = rank_counts(found, BINS)
    for axis, part, row in zip(axes.flat, PART_IDS, counts, strict=True):
        axis.axhspan(expected - reach, expected + reach, color=QUIET, alpha=0.3, linewidth=0.0)
        axis.bar(np.arange(BINS), row, width=0.9, color=COLOURS[0])
        axis.set_title(part.removeprefix("approach_"), fontsize=8, pad=2)
        axis.set_xticks([])
        axis.set_ylim(0.0, 1.05 * max(counts.max(), 1.7 * expected))
        axis.tick_params(labelsize=7)
    return figure
