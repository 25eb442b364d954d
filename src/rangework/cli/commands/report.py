"""`rangework report`: one page for the player, to take home."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.days import Day, day_option
from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import (
    FILE,
    OutputFile,
    conditions_options,
    player_options,
    playing_options,
    reference_option,
    run_options,
)
from rangework.cli.playing import day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.practised import practised_by
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results, write_whole
from rangework.cli.tables import paragraph
from rangework.errors import InputError

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.cli.playing import Given
    from rangework.cli.report_more import Tests
    from rangework.cli.report_page import Told
    from rangework.plan.drills import Drill
    from rangework.plan.response import ResponseOverride
    from rangework.report.document import Document, Part
    from rangework.skill.skill_report import Level
    from rangework.units import Units
    from rangework.week_advice import WeekQuestion

#: Rounds that the page's numbers of a round rest on.
ROUNDS = 10_000


@click.command("report")
@player_options
@playing_options
@conditions_options
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
@click.option(
    "--availability",
    type=FILE,
    metavar="FILE",
    help="TOML file of the days: the page then has a plan by day. With --first-round or --from.",
)
@day_option("--first-round", "Day of the event's first round, for the plan by day.")
@click.option("--from", "first_day", type=Day(), metavar="DATE", help="First day of the plan by day.")
@click.option(
    "--card",
    "cards",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="A filled card of a practice test; two or more show what changed. May be given more than once.",
)
@click.option("--hole-notes", is_flag=True, help="Also the targets of every hole, a sheet for each nine.")
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
    click.echo(day_text(given.course, options["units"]), nl=False)
    click.echo(paragraph(_done(to, written, pictures)))
    of_course = tell_course(given.course, pin)
    tell_doubts(told.doubts)
    if json_file:
        prepared = told.advice.prepared
        inputs = {
            **given.inputs, "tee": prepared.tee.name, "pins": prepared.pins, "weeks": options["weeks"],
            "availability": options["availability"], "cards": options["cards"], "hole_notes": options["hole_notes"],
        }  # fmt: skip
        results = {"page": to, **_results(told), **of_course}
        write_results(json_file, "report", results, seed=seed, inputs=inputs)


def _everything(
    *,
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    pin: str | None,
    drills: Path | None,
    weeks: float,
    reference: Level | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    availability: Path | None,
    first_round: date | None,
    first_day: date | None,
    cards: Sequence[Path],
    hole_notes: bool,
    **limits: Any,
) -> tuple[Given, Told]:
    """What was read, and all that the page tells of."""
    from rangework.advice import advise, player_rounds
    from rangework.cli.report_more import progress_part
    from rangework.cli.report_page import Told
    from rangework.plan.drills import drill_catalogue
    from rangework.skill.skill_report import skill_report

    given = read_given(
        records, mappings, profile, handicap, course, day=day, drills=drills, reference=reference
    )
    chosen = given.drills.drills if given.drills else drill_catalogue()
    responses = given.drills.responses if given.drills else None
    week = week_limits(given.profile.age, chosen, **limits)
    asked = _question(availability, first_round, first_day, given)
    tests, done = _tests(cards, given, seed), practised_by(records, None, given.drills)
    with progress("Valuing the parts") as shown:
        advice = advise(
            given.records, given.course, week, profile=given.profile, tee=tee, pin=pin, drills=chosen,
            responses=responses, practised=done.log, group=done.group, horizon_weeks=weeks, draws=draws, seed=seed,
            threads=threads, progress=shown.report,
        )  # fmt: skip
    with progress("Playing rounds") as shown:
        rounds = player_rounds(advice.prepared, ROUNDS, against=reference, progress=shown.report)
    further = [
        *(_days(advice, asked, chosen, responses, units) if asked else ()),
        *([progress_part(tests, units)] if tests else ()),
        *(_notes(given, advice, units) if hole_notes else ()),
    ]
    posterior = advice.prepared.posterior
    skill = skill_report(given.records, posterior, given.profile, reference=reference, seed=seed)
    return given, Told(
        advice, rounds, skill, chosen, week, given.doubts(posterior), units, further, done.parts
    )


def _question(
    availability: Path | None, first_round: date | None, first_day: date | None, given: Given
) -> WeekQuestion | None:
    """What is asked of the days, known to be possible. Raises InputError."""
    if availability is None:
        if first_round or first_day:
            raise click.UsageError(
                "--first-round and --from belong to --availability, which says what days there are."
            )
        return None
    from rangework.plan.week.availability_file import read_availability
    from rangework.week_advice import WeekQuestion, check_green_speed, days_of, open_and_limited

    first, last = days_of(first_day, first_round, None)
    question = WeekQuestion(read_availability(availability), first, last, first_round)
    check_green_speed(question.availability, given.course)
    open_and_limited(question, given.profile)
    return question


def _tests(cards: Sequence[Path], given: Given, seed: int) -> Tests | None:
    """The tests of the cards, scored beside the player's records. Raises InputError."""
    if not cards:
        return None
    from rangework.assessment.card import is_card_file, read_card
    from rangework.assessment.tested_player import read_together
    from rangework.cli.assess.given_cards import check_days, missing_cards
    from rangework.cli.report_more import Tests

    on_cards = [card for card in cards if is_card_file(card)]
    if len(on_cards) < 2:
        raise InputError(missing_cards(on_cards, [card for card in cards if card not in on_cards], 2))
    with ReadTogether() as together:
        read = [together.read(read_card, card) for card in cards]
    check_days(read)
    tested = read_together(tuple(read), given.course, given.records, profile=given.profile, seed=seed)
    return Tests(tested, tested.changes())


def _days(
    advice: Advice,
    question: WeekQuestion,
    drills: Sequence[Drill],
    responses: Mapping[str, ResponseOverride] | None,
    units: Units,
) -> list[Part]:
    from rangework.cli.report_more import week_part
    from rangework.week_advice import week_for

    week = week_for(
        advice.prepared, advice.worths, question, drills=drills, responses=responses, learned=advice.learned,
        group=advice.group, units=units,
    )  # fmt: skip
    more = [caution for caution in week.cautions if caution not in advice.cautions]
    return [week_part(week.plan, question.availability.event, more)]


def _notes(given: Given, advice: Advice, units: Units) -> list[Part]:
    from rangework.cli.aim_notes import noted_sheet
    from rangework.cli.report_more import notes_parts

    prepared = advice.prepared
    options = {"tee": prepared.tee.name, "seed": prepared.seed, "threads": prepared.threads}
    return notes_parts(noted_sheet(given, units, posterior=prepared.posterior, **options)[1])


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
