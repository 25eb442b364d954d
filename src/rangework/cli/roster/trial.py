"""`roster trial`: what two drills were really worth, where a lot decided who did which."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import OutputFile, roster_option, seed_option
from rangework.cli.progress import progress
from rangework.cli.results import write_results
from rangework.cli.tables import Block, interval, number, paragraph, table

if TYPE_CHECKING:
    from rangework.roster.trial_result import TrialResult
    from rangework.store import Roster
    from rangework.store.trials import Assignment


@click.command("trial")
@roster_option(required=True)
@seed_option
@click.option(
    "--json", "json_file", type=OutputFile(), metavar="FILE", help="Also write every number to this file."
)
def trial(roster: Path, seed: int, json_file: Path | None) -> None:
    """Tell what the drills of a trial were worth, with the interval.

    `roster plan --trial` draws the lots. A player's gain is measured from the
    balls before the trial to those of its last quarter and later, without
    knowing which drill they did.
    """
    from rangework.roster.trial_result import with_pair
    from rangework.store import open_roster
    from rangework.store.trials import assignments

    with open_roster(roster) as kept:
        trials = with_pair(assignments(kept))
        with progress("Scoring") as shown:
            results = []
            for number_done, each in enumerate(trials, start=1):
                results.append(_result(kept, each, seed))
                shown.report(number_done, len(trials))
    if not results:
        click.echo("No trial yet: `rangework roster plan --all --trial` draws the lots.")
    for result in results:
        click.echo(trial_text(result))
    if json_file:
        write_results(json_file, "roster trial", {"trials": results}, seed=seed, inputs={"roster": roster})


def _result(kept: Roster, trial: list[Assignment], seed: int) -> TrialResult:
    """Score every player first; only then look at the lots."""
    from datetime import date, timedelta

    from rangework.roster.trial_result import compare, gain
    from rangework.store import kept_players, player_records, practised

    one = trial[0]
    last = (date.fromisoformat(one.started) + timedelta(days=round(7 * one.weeks))).isoformat()
    profiles = {player.id: player.profile for player in kept_players(kept)}
    drills = {one.first_drill, one.second_drill}
    gains: dict[int, float | None] = {}
    hours: dict[int, float] = {}
    for player in sorted(each.player for each in trial):
        worths = _worths(kept, player, drills)
        gains[player] = gain(
            player_records(kept, player), profiles[player], one.started, one.weeks, worths, seed
        )
        done = [each for each in practised(kept, player) if one.started <= each.day <= last]
        hours[player] = sum(each.hours for each in done if each.drill in drills)
    return compare(trial, gains, hours)


def _worths(kept: Roster, player: int, drills: set[str]) -> dict[str, float]:
    """What a step saves this player, of every part that either drill trains."""
    from rangework.plan.drills import drill_catalogue
    from rangework.store.plans import plans_of

    trained = {part for drill in drill_catalogue() if drill.id in drills for part in drill.trains}
    plans = plans_of(kept, player, latest=1)
    parts: list[dict[str, Any]] = plans[0].results.get("parts", []) if plans else []
    return {part["part"]: float(part["strokes_saved"]) for part in parts if part["part"] in trained}


def trial_text(result: TrialResult) -> str:
    """The groups, and the difference or what is still missing."""
    from rangework.plan.drills import drill_catalogue

    names = {drill.id: drill.name for drill in drill_catalogue()}
    rows = [
        [
            names.get(each.drill, each.drill),
            f"{each.tested} of {each.drawn}",
            number(each.hours, 1),
            number(each.gained, 2, signed=True),
        ]
        for each in (result.first, result.second)
    ]
    shown = table(["drill", "tested\nagain", "hours\nlogged", "gained,\nstrokes"], [Block("", rows)])
    found = result.difference
    if found is None:
        told = "Too few players of a group have been tested again for an answer: three of each at least."
    else:
        range_ = interval(found.low, found.high, 2, signed=True)
        told = f"The first saves {number(found.value, 2, signed=True)} strokes a round more than the second ({range_})."
        if found.low is not None and found.high is not None and found.low <= 0.0 <= found.high:
            told += " These players cannot tell the two apart."
    return f"TRIAL of {result.started}\n{shown}\n{paragraph(told)}"
