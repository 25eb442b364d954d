"""`rangework report`: one page for the player, to take home."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import OutputFile, player_options, playing_options, reference_option, run_options
from rangework.cli.playing import draws_option, read_given, tell_course, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results, write_whole
from rangework.cli.tables import paragraph

if TYPE_CHECKING:
    from rangework.cli.playing import Given
    from rangework.cli.report_page import Told
    from rangework.report.document import Document
    from rangework.skill.skill_report import Level
    from rangework.units import Units

#: Rounds that the page's numbers of a round rest on.
ROUNDS = 10_000


@click.command("report")
@player_options
@playing_options
@limit_options
@drills_option
@weeks_option
@reference_option
@click.option(
    "--to",
    type=OutputFile(),
    default="report.html",
    show_default=True,
    metavar="FILE",
    help="The page: one HTML file that needs nothing else.",
)
@click.option(
    "--pictures",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="Also write each picture as a PNG and an SVG into this folder.",
)
@draws_option(100)
@run_options
def command(
    to: Path, pictures: Path | None, seed: int, json_file: Path | None, pin: str | None, **options: Any
) -> None:
    """Write one page for the player: strokes, hours, week, dispersion, putting.

    It opens on a phone and on a screen, prints on paper, and asks for nothing
    from any network.

    \b
      rangework report range.csv putts.csv --course course.toml --hours 6
    """
    from rangework.cli.report_page import report_document
    from rangework.report.document import html_of

    given, told = _everything(seed=seed, pin=pin, **options)
    document = report_document(told)
    write_whole(to, html_of(document))
    written = _write_pictures(document, pictures) if pictures else 0
    click.echo(paragraph(_done(to, written, pictures)))
    of_course = tell_course(given.course, pin)
    tell_doubts(told.doubts)
    if json_file:
        prepared = told.advice.prepared
        inputs = {**given.inputs, "tee": prepared.tee.name, "pins": prepared.pins, "weeks": options["weeks"]}
        results = {"page": to, **_results(told), **of_course}
        write_results(json_file, "report", results, seed=seed, inputs=inputs)


def _everything(
    *,
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    tee: str | None,
    pin: str | None,
    drills: Path | None,
    weeks: float,
    reference: Level | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    **limits: Any,
) -> tuple[Given, Told]:
    """What was read, and all that the page tells of."""
    from rangework.advice import advise, player_rounds
    from rangework.cli.report_page import Told
    from rangework.plan.drills import drill_catalogue
    from rangework.skill.skill_report import skill_report

    given = read_given(records, mappings, profile, handicap, course, drills=drills, reference=reference)
    chosen = given.drills.drills if given.drills else drill_catalogue()
    week = week_limits(given.profile.age, chosen, **limits)
    with progress("Valuing the parts") as shown:
        advice = advise(
            given.records, given.course, week, profile=given.profile, tee=tee, pin=pin, drills=chosen,
            responses=given.drills.responses if given.drills else None, horizon_weeks=weeks,
            draws=draws, seed=seed, threads=threads, progress=shown.report,
        )  # fmt: skip
    with progress("Playing rounds") as shown:
        rounds = player_rounds(advice.prepared, ROUNDS, against=reference, progress=shown.report)
    posterior = advice.prepared.posterior
    skill = skill_report(given.records, posterior, given.profile, reference=reference, seed=seed)
    return given, Told(advice, rounds, skill, chosen, week, given.doubts(posterior), units)


def _results(told: Told) -> dict[str, Any]:
    from rangework.cli.plan_results import plan_results
    from rangework.cli.rounds_page import rounds_results

    rounds = rounds_results(told.rounds, told.skill.reference)
    return {**plan_results(told.advice), "rounds": rounds, "warnings": told.doubts}


def _write_pictures(document: Document, folder: Path) -> int:
    """Every picture as PNG and SVG under its name; how many there are."""
    from rangework.report.style import picture

    folder.mkdir(parents=True, exist_ok=True)
    drawn = [each for part in document.parts for each in part.pictures]
    for each in drawn:
        write_whole(folder / f"{each.name}.png", picture(each.figure, "png"))
        write_whole(folder / f"{each.name}.svg", picture(each.figure, "svg"))
    return len(drawn)


def _done(page: Path, pictures: int, folder: Path | None) -> str:
    also = f" {pictures} pictures, each as PNG and SVG, are in {folder}." if folder else ""
    return f"{page} is written: open it in any browser, or print it.{also}"
