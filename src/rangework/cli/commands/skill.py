"""`rangework skill`: how far and how wide a player hits it, how sure that is, and what more balls would tell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from rangework.cli.options import (
    FILE,
    kept_course_or_file,
    pin_option,
    player_options,
    reference_option,
    run_options,
    tee_option,
)
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether, chosen_course, player_profile, player_shots
from rangework.cli.results import plain, write_results
from rangework.cli.skill_page import skill_page

if TYPE_CHECKING:
    from rangework.advice import Prepared
    from rangework.skill.skill_report import Level, SkillReport
    from rangework.units import Units

#: Posterior draws that parts are valued over when a course is given: weights need no more.
WEIGHT_DRAWS = 10


@click.command("skill")
@player_options
@click.option(
    "--course",
    type=FILE,
    callback=kept_course_or_file,
    metavar="FILE",
    help="TOML file of the course the player plays: it then weighs what stands out and where more balls "
    "would help. Without it standard holes do.",
)
@tee_option
@pin_option
@reference_option
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path | None,
    tee: str | None,
    pin: str | None,
    reference: float | str | None,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    """Tell how far and how wide a player hits it, and how sure that is.

    By part of the game beside a usual golfer of that handicap, by distance
    and lie, for putts, and by club; and which balls would tell most next.

    \b
      rangework skill range.csv putts.csv --handicap 12.4
    """
    from rangework.skill.fit import fit_player
    from rangework.skill.skill_report import skill_report

    with ReadTogether() as together:
        shots = together.read(player_shots, records, mappings)
        player = together.read(player_profile, profile, handicap, records)
        played = together.read(chosen_course, course) if course else None
    strokes_saved = None
    if played:
        from rangework.advice import prepare

        prepared = prepare(shots, played, profile=player, tee=tee, pin=pin, seed=seed, threads=threads)
        posterior, strokes_saved = prepared.posterior, _course_worths(prepared)
    else:
        posterior = fit_player(shots, profile=player, seed=seed)
    level = cast("Level | None", reference)
    report = skill_report(shots, posterior, player, reference=level, strokes_saved=strokes_saved, seed=seed)
    click.echo(skill_page(report, units))
    if json_file:
        inputs = {
            "records": records,
            "mapping": mappings,
            "profile": profile,
            "handicap": handicap,
            "course": course,
            "tee": tee,
            "pin": pin,
            "reference": reference,
        }
        write_results(json_file, "skill", skill_results(report), seed=seed, inputs=inputs)


def _course_worths(prepared: Prepared) -> dict[str, float]:
    """What one step of each part saves on the course."""
    from rangework.advice import value_parts
    from rangework.skill.parts import PART_IDS

    with progress("Valuing the parts") as shown:
        worths = value_parts(prepared, draws=WEIGHT_DRAWS, progress=shown.report)
    return dict(zip(PART_IDS, worths.strokes_saved.tolist(), strict=True))


def skill_results(report: SkillReport) -> dict[str, Any]:
    """Everything that the command tells, by its key in the JSON file."""
    factor = report.range_factor
    clubs = [{**plain(club), "stated_m": report.stated_m.get(club.club)} for club in report.clubs]
    more = [
        {**plain(need), "narrower": need.narrower, "basis": report.weights_basis}
        for need in report.more_balls
    ]
    return {
        "player": report.name,
        "stated_handicap": report.stated_handicap,
        "held": report.held,
        "reference": report.reference,
        "level": report.level,
        "level_by_piece": report.level_by_piece.pieces,
        "stands_apart": report.level_by_piece.apart,
        "parts": report.parts,
        "stands_out": report.stands_out,
        "dispersion": report.dispersion,
        "longest_m": report.longest_m,
        "putts": report.putts,
        "clubs": clubs,
        "range_factor": {**factor.estimate.to_json(), "identified": factor.identified},
        "more_balls": more,
        "warnings": [str(warning) for warning in report.warnings],
    }
