"""`rangework assess next`: the test that would most change the plan, against practising instead."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import player_options, playing_options, run_options
from rangework.cli.playing import draws_option, read_given, tell_doubts
from rangework.cli.practised import practised_by
from rangework.cli.progress import progress
from rangework.cli.results import write_results
from rangework.cli.tables import Block, clock, number, paragraph, percent, table

if TYPE_CHECKING:
    from rangework.advice import Prepared
    from rangework.assessment.next_test import NextTest
    from rangework.cli.kept import KeptPlayer
    from rangework.cli.playing import Given
    from rangework.plan.response import ResponseDraws

_NAMES = {
    "driver": "driver, range",
    "approach_50_100": "50-100 yd, range",
    "approach_100_150": "100-150 yd, range",
    "approach_150_200": "150-200 yd, range",
    "approach_200_up": "200 yd and more, range",
    "chip": "chips",
    "pitch": "pitches",
    "bunker": "greenside bunker",
    "putts_short": "putts of 4 to 10 ft",
    "putts_long": "putts of 20 to 40 ft",
}


@click.command("next")
@player_options
@playing_options
@limit_options
@drills_option
@weeks_option
@click.option(
    "--test-balls",
    type=click.IntRange(5, 500),
    default=30,
    show_default=True,
    metavar="N",
    help="Balls of the test that is asked about.",
)
@draws_option(100)
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    tee: str | None,
    pin: str | None,
    drills: Path | None,
    weeks: float,
    test_balls: int,
    draws: int,
    units: str,  # noqa: ARG001 (the kinds of ball are told in yards and feet)
    seed: int,
    threads: int,
    json_file: Path | None,
    **limits: Any,
) -> None:
    """Tell which test would most change the plan, against practising.

    A test is worth what the week gains by knowing its result. Its minutes are
    lost to practice: where practising saves more, practise.

    \b
      rangework assess next shots.csv putts.csv --course course.toml --hours 4
    """
    from rangework.advice import prepare, value_parts
    from rangework.plan.drills import drill_catalogue

    given = read_given(records, mappings, profile, handicap, course, drills=drills, test_balls=test_balls)
    chosen = given.drills.drills if given.drills else drill_catalogue()
    week = week_limits(given.profile.age, chosen, **limits)
    with progress("Valuing the parts") as shown:
        ready = prepare(
            given.records, given.course, profile=given.profile, tee=tee, pin=pin, seed=seed, threads=threads
        )
        worths = value_parts(ready, draws=draws, progress=shown.report)
    drawn = _responses(records, given, ready, len(worths.draws))
    tests = _tests(ready.posterior, worths.draws, chosen, week, drawn, test_balls, weeks, seed)
    click.echo(_text(tests, given.name))
    tell_doubts(doubts := given.doubts(ready.posterior))
    if json_file:
        results = {"tests": tests, "warnings": doubts}
        write_results(json_file, "assess next", results, seed=seed, inputs={**given.inputs, "weeks": weeks})


def _responses(records: Sequence[Path] | KeptPlayer, given: Given, ready: Prepared, n: int) -> ResponseDraws:
    """How the player answers to practice: as assumed, or as the roster's tests and logged hours tell."""
    from rangework.assessment.learned_responses import learned_responses, plausible_responses

    own = given.drills.responses if given.drills else None
    done = practised_by(records, None, given.drills)
    learned = learned_responses(
        given.records, ready.posterior, done.log, own, group=done.group, seed=ready.seed
    )
    return plausible_responses(ready.posterior, n, own, learned, group=done.group, seed=ready.seed)


def _tests(
    posterior: Any, saved: Any, drills: Any, limits: Any, drawn: Any, balls: int, weeks: float, seed: int
) -> list[NextTest]:
    from rangework.assessment.next_test import candidate_weeks, next_tests

    candidates = candidate_weeks(saved, drawn, drills, limits, weeks, seed=seed)
    return next_tests(posterior, saved, candidates, balls=balls, weeks=weeks, seed=seed)


def _text(tests: Sequence[NextTest], who: str) -> str:
    best = tests[0]
    rows = [
        [
            _NAMES[test.kind],
            clock(test.minutes),
            number(test.worth.value, 4),
            number(test.practising, 4),
            percent(test.changes_plan),
        ]
        for test in tests
    ]
    if best.pays:
        told = (
            f"{best.balls} balls of {_NAMES[best.kind]}: knowing their result is worth {number(best.worth.value, 4)} "
            f"strokes a round to the plan, and practising for those {clock(best.minutes)} only "
            f"{number(best.practising, 4)}."
        )
    else:
        told = (
            f"Practise instead. The most valuable test ({best.balls} balls of {_NAMES[best.kind]}) is worth "
            f"{number(best.worth.value, 4)} strokes a round to the plan; the same {clock(best.minutes)} of practice "
            f"save {number(best.practising, 4)}. A test also shows whether practice works, which this does not count."
        )
    shown = table(
        ["", "time", "worth to\nthe plan", "practising\ninstead", "another\nweek"], [Block("", rows)]
    )
    return f"WHAT TO TEST NEXT with {who}, strokes a round\n{paragraph(told)}\n\n{shown}"
