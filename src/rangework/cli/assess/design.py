"""`rangework assess design`: a practice test for this player and course."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rangework.cli.assess.blank_card import keep_filled
from rangework.cli.assess.design_page import design_results, design_text
from rangework.cli.options import OutputFile, player_options, reference_option, run_options, tee_option
from rangework.cli.options import course_option as course_to_play
from rangework.cli.playing import read_given, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results, write_whole

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("design")
@player_options
@course_to_play
@tee_option
@click.option("--balls", metavar="N", help="Balls of the test; 20 unless given.")
@click.option("--minutes", metavar="M", help="Instead: as many balls as fit into so long; 12 are common.")
@click.option("--seconds-per-ball", "seconds", metavar="S", help="Time for a ball; 36 seconds unless given.")
@click.option(
    "--from", "low", metavar="DISTANCE", help="Distances evenly over a range, from here. Without it and "
    "without --available: in proportion to the shots that the course asks of this player.",
)  # fmt: skip
@click.option("--to", "high", metavar="DISTANCE", help="The far end of that range.")
@click.option(
    "--available",
    metavar="LIST",
    help="Instead: the targets that your range has, such as 60,85,110; each stands for the shots near it.",
)
@click.option(
    "--lies", metavar="LIST", help="Lies that can be played from: fairway, rough, sand; all unless given."
)
@click.option(
    "--place", type=click.Choice(["range", "short_game_area"]), help="Only balls hit there: from 50 yd, or from nearer."
)  # fmt: skip
@click.option(
    "--pins", metavar="LIST", help="Pins, such as back-left,middle; nine places in turn unless given."
)
@reference_option
@click.option(
    "--margin", metavar="STROKES", help="Strokes a ball may lose on that golfer and still succeed; 0 unless given."
)  # fmt: skip
@click.option(
    "--measured",
    type=click.Choice(["finish", "carry"]),
    default="finish",
    show_default=True,
    help="Whether you will measure where balls stop or where they land.",
)
@click.option(
    "--measured-by",
    type=click.Choice(["paced", "device"]),
    default="device",
    show_default=True,
    help="How: paced results carry an error of their own.",
)
@click.option("--name", metavar="NAME", help="Name of the test. Without it: date and seed.")
@click.option("--date", "day", metavar="DATE", help="Day of the test, YYYY-MM-DD; today unless given.")
@click.option(
    "--csv",
    "csv_file",
    type=OutputFile(of_ours=True),
    metavar="FILE",
    help="Write the card as CSV, to fill in.",
)
@click.option(
    "--print", "print_file", type=OutputFile(), metavar="FILE", help="Write a page to print (HTML)."
)
@click.option(
    "--card", "card_file", type=OutputFile(), metavar="FILE", help="Write a card for a phone (HTML)."
)
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    tee: str | None,
    balls: str | None,
    minutes: str | None,
    seconds: str | None,
    low: str | None,
    high: str | None,
    available: str | None,
    lies: str | None,
    place: str | None,
    pins: str | None,
    reference: float | str | None,
    margin: str | None,
    measured: str,
    measured_by: str,
    name: str | None,
    day: str | None,
    csv_file: Path | None,
    print_file: Path | None,
    card_file: Path | None,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    """Design a practice test: balls, pins, order, and what it can show.

    The card goes to the screen; --csv, --print and --card also write it to be
    filled in on a computer, on paper, or on a phone without network.

    \b
      rangework assess design shots.csv --course course.toml --balls 20 \\
        --csv card.csv --card card.html
      rangework assess design shots.csv --course course.toml --minutes 12 \\
        --available 60,85,110
    """
    from rangework.advice import design_assessment
    from rangework.assessment.card_writing import card_csv
    from rangework.assessment.design_words import read_design_wish

    with ReadTogether() as together:
        given = together.read(read_given, records, mappings, profile, handicap, course)
        wish = together.read(
            read_design_wish, units, balls=balls, minutes=minutes, seconds_a_ball=seconds, low=low, high=high,
            available=available, lies=lies, place=place, pins=pins, margin=margin, name=name, day=day,
            reference=reference, measured=measured, measured_by=measured_by, seed=seed,
        )  # fmt: skip
    if csv_file:
        keep_filled(csv_file)
    with progress("Designing the test"):
        posterior, design = design_assessment(
            given.records, given.course, wish, profile=given.profile, tee=tee, seed=seed, threads=threads
        )  # fmt: skip
    files = {csv_file: card_csv}
    if print_file or card_file:
        from rangework.report.phone_card import phone_card
        from rangework.report.printed_card import printed_card

        files |= {print_file: printed_card, card_file: phone_card}
    texts = {file: write(design) for file, write in files.items() if file}
    click.echo(design_text(design))
    tell_doubts(doubts := given.doubts(posterior))
    for file, text in texts.items():
        write_whole(file, text)
        click.echo(f"{file} written.")
    if json_file:
        inputs = {**given.inputs, "tee": design.words.tee, "balls": wish.balls, "available": available, "from": low,
                  "to": high, "lies": lies, "place": place, "pins": pins, "reference": reference, "margin": wish.margin,
                  "measured": measured, "measured_by": measured_by, "name": wish.name, "date": wish.date,
                  "units": units}  # fmt: skip
        results = {**design_results(design), "warnings": doubts}
        write_results(json_file, "assess design", results, seed=seed, inputs=inputs)
