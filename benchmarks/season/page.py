"""The seasons of an academy in numbers, and the page that tells them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from string import Template

import numpy as np
from members import (
    BALLS_A_FORTNIGHT,
    PERIOD_WEEKS,
    PROFILE_SCALE,
    RESPONSE_LOG_SD,
    ROUNDS_A_FORTNIGHT,
    USELESS_SHARE,
    FloatArray,
)
from ways import SEASON_WEEKS, WEEK_HOURS

from season import Season

#: Ways in the order of the table, with what each is in words.
WORDS: Mapping[str, str] = {
    "oracle": "knows skill and response",
    "knows response": "knows the response, skill from the first records",
    "knows skill": "knows the skill, response as assumed",
    "learned plan": "the tool's plan every three weeks, from retests and the hours logged",
    "plan": "the tool's plan every three weeks, without a log of practice",
    "plan kept": "the tool's first plan, kept all season",
    "robust plan": "the tool's first cautious plan, kept all season",
    "equal split": "the same time for every drill",
    "strokes lost": "in proportion to the strokes lost to scratch",
    "worst part": "everything on the part that loses most",
    "random": "thrown by chance every three weeks",
    "no practice": "nothing",
}
#: What each mend brought; every line has the mends above it as well.
MENDS: Mapping[str, str] = {
    "before mending": "the tool before this study",
    "useless drills": "responses as unlike one another as they may be, and drills that may do nothing",
    "hours counted": "and the hours practised count",
    "told later": "and after three weeks somebody tells how this member answers to practice",
}
#: How seasons were scored: played out, or (True) by what steps are worth.
SCORED: Mapping[bool, str] = {
    False: "The score is the expected one on the demo's first nine holes, counted twice, with the best targets of the "
    "golfer at that time.",
    True: "In this run (`--quick`) what is saved are the steps gained times what one step of each part truly saves the "
    "member on the demo's first nine holes, counted twice; and every plan rests on the skill that the first records "
    "tell, so that later balls teach only how practice works. Without `--quick` scores are played out with the best "
    "targets of the golfer at that time and every plan has the skill of all records, which takes four times as long.",
}
BASE, BEST, GOAL_WAY = "equal split", "oracle", "learned plan"
#: Share of the gap that the learning plan should close, and how often forecasts should hold.
GOAL, COVER_GOAL = 0.75, (0.88, 0.92)
#: A trial with people: rounds before and after, and the spread of a golfer's scores (strokes; from memory).
TRIAL_ROUNDS, ROUND_SD = 10, 3.5
NORMAL_975, NORMAL_80 = 1.960, 0.842
MORE_EVERYWHERE = "more strokes than equal split in every level band"
LEVEL_BANDS = ((-10.0, 8.0), (8.0, 18.0), (18.0, 60.0))


def saved(seasons: Sequence[Season], way: str) -> FloatArray:
    """[members] strokes a round saved at the end by one way."""
    return np.array([season.saved[way] for season in seasons])


def share_closed(seasons: Sequence[Season], way: str) -> tuple[float, float]:
    """Share of the gap from equal split to oracle that a way closes, and its standard error (leave one out)."""
    base, best, ours = (saved(seasons, name) for name in (BASE, BEST, way))
    gained, room = ours - base, best - base
    without = (gained.sum() - gained) / (room.sum() - room)
    n = len(seasons)
    error = float(np.sqrt((n - 1) / n * ((without - without.mean()) ** 2).sum())) if n > 1 else float("nan")
    return float(gained.sum() / room.sum()), error


def covered(seasons: Sequence[Season]) -> float:
    """How often the first plan's 90 % range holds what the plan, kept up, saved."""
    return float(
        np.mean([each.promised[1] <= each.saved["plan kept"] <= each.promised[2] for each in seasons])
    )


def ways_of(seasons: Sequence[Season], words: Mapping[str, str] = WORDS) -> list[str]:
    """The ways that were followed, in the order of the table."""
    return [way for way in words if way in seasons[0].saved]


def summary(seasons: Sequence[Season], words: Mapping[str, str] = WORDS) -> str:
    """A table of ways beside equal split and the one who knows all."""
    lines = [
        "| way | strokes saved a round | share of the gap closed | worse than equal split |",
        "| --- | --- | --- | --- |",
    ]
    for way in ways_of(seasons, words):
        ours = saved(seasons, way)
        error = ours.std(ddof=1) / np.sqrt(len(ours))
        share, share_error = share_closed(seasons, way)
        worse = np.mean(ours < saved(seasons, BASE) - 1e-9)
        lines.append(
            f"| {words[way]} | {ours.mean():.2f} ± {error:.2f} | {100 * share:.0f} % ± {100 * share_error:.0f} | "
            f"{100 * worse:.0f} % |"
        )
    return "\n".join(lines)


def by_group(seasons: Sequence[Season], groups: Mapping[str, Callable[[Season], bool]]) -> str:
    """Strokes saved by way in each group of members."""
    kept = {name: [each for each in seasons if rule(each)] for name, rule in groups.items()}
    kept = {name: members for name, members in kept.items() if members}
    head = " | ".join(f"{name} ({len(members)})" for name, members in kept.items())
    lines = [f"| way | {head} |", "| --- |" + " --- |" * len(kept)]
    for way in ways_of(seasons):
        cells = " | ".join(f"{saved(members, way).mean():.2f}" for members in kept.values())
        lines.append(f"| {WORDS[way]} | {cells} |")
    return "\n".join(lines)


def levels() -> dict[str, Callable[[Season], bool]]:
    """Members by true handicap level."""
    names = ("better than 8", "8 to 18", "18 and more")
    return {
        name: lambda season, low=low, high=high: low <= season.level < high
        for name, (low, high) in zip(names, LEVEL_BANDS, strict=True)
    }


def balls() -> dict[str, Callable[[Season], bool]]:
    """Members by how much they record."""

    def of(count: int) -> Callable[[Season], bool]:
        return lambda season: season.balls_a_fortnight == count

    return {f"{count} balls": of(count) for count in BALLS_A_FORTNIGHT}


def _in_bands(seasons: Sequence[Season]) -> dict[str, list[Season]]:
    """Members by level band, without the bands that nobody is in."""
    bands = {name: [each for each in seasons if rule(each)] for name, rule in levels().items()}
    return {name: members for name, members in bands.items() if members}


def verdict(seasons: Sequence[Season]) -> str:
    """Whether the goals were met, and by how much not."""
    share, error = share_closed(seasons, GOAL_WAY)
    worse = [
        name
        for name, members in _in_bands(seasons).items()
        if saved(members, GOAL_WAY).mean() < saved(members, BASE).mean()
    ]
    low, high = (100 * bound for bound in COVER_GOAL)
    held = covered(seasons)
    return (
        f"The plan that learns closed {100 * share:.0f} % ± {100 * error:.0f} of the gap; "
        f"the goal of {100 * GOAL:.0f} % was "
        f"{'met' if share >= GOAL else f'missed by {100 * (GOAL - share):.0f} points'}. On average it saved "
        f"{'fewer strokes than equal split in: ' + ', '.join(worse) if worse else MORE_EVERYWHERE}. "
        f"The 90 % range of the first plan held what it saved, kept up, for {100 * held:.0f} % of the members "
        f"(goal {low:.0f} to {high:.0f} %; with {len(seasons)} members the standard error of that is "
        f"{_chance_error(held, len(seasons)):.0f} points)."
    )


def _chance_error(chance: float, n: int) -> float:
    """Percentage points, of a chance that is not taken to be surer than 90 %."""
    return float(100.0 * np.sqrt(max(chance * (1.0 - chance), 0.09) / n))


def group_size(seasons: Sequence[Season]) -> int:
    """Players in each of two groups that show the difference between the learning plan and equal split.

    Four times in five, at 5 % on two sides, from rounds before and after; the spread of savings is the simulation's.
    """
    ours, base = saved(seasons, GOAL_WAY), saved(seasons, BASE)
    spread = 0.5 * (ours.var(ddof=1) + base.var(ddof=1)) + 2.0 * ROUND_SD**2 / TRIAL_ROUNDS
    needed = 2.0 * (NORMAL_975 + NORMAL_80) ** 2 * spread / max(float((ours - base).mean()), 0.05) ** 2
    return int(np.ceil(needed))


def page(seasons: Sequence[Season], command: str) -> str:
    """The whole page, all figures from ``seasons``."""
    template = Template(Path(__file__).with_name("page.md").read_text("utf-8"))
    aiming = np.array([each.aiming for each in seasons])
    return template.substitute(
        command=command,
        members=len(seasons),
        profile_scale=f"{PROFILE_SCALE:g}",
        fewest_balls=min(BALLS_A_FORTNIGHT),
        most_balls=max(BALLS_A_FORTNIGHT),
        rounds=ROUNDS_A_FORTNIGHT,
        hours=f"{WEEK_HOURS:g}",
        weeks=f"{SEASON_WEEKS:g}",
        period=f"{PERIOD_WEEKS:g}",
        log_sd=f"{RESPONSE_LOG_SD:g}",
        scored=SCORED[bool(np.isnan(seasons[0].score_today))],
        useless=f"{100 * USELESS_SHARE:.0f}",
        verdict=verdict(seasons),
        summary=summary(seasons),
        mends=summary(seasons, MENDS),
        by_level=by_group(seasons, levels()),
        by_balls=by_group(seasons, balls()),
        gap=_less(seasons, BEST, BASE),
        lost_response=_less(seasons, BEST, "knows skill"),
        lost_skill=_less(seasons, BEST, "knows response"),
        learned_more=_less(seasons, GOAL_WAY, "plan"),
        told_share=f"{100 * share_closed(seasons, 'told later')[0]:.0f}",
        response_share=f"{100 * share_closed(seasons, 'knows response')[0]:.0f}",
        skill_share=f"{100 * share_closed(seasons, 'knows skill')[0]:.0f}",
        promised=f"{np.mean([each.promised[0] for each in seasons]):.2f}",
        kept=f"{saved(seasons, 'plan kept').mean():.2f}",
        aiming=f"{aiming.mean():.1f}",
        aiming_low=f"{aiming.min():.1f}",
        aiming_high=f"{aiming.max():.1f}",
        group_size=group_size(seasons),
        trial_rounds=TRIAL_ROUNDS,
        round_sd=f"{ROUND_SD:g}",
        saved_sd=f"{saved(seasons, GOAL_WAY).std(ddof=1):.2f}",
        difference=_less(seasons, GOAL_WAY, BASE),
        cost=f"{np.mean([each.cost_s for each in seasons]):.0f}",
    )


def _less(seasons: Sequence[Season], one: str, other: str) -> str:
    """How many more strokes a round the first way saves than the second."""
    return f"{(saved(seasons, one) - saved(seasons, other)).mean():.2f}"
