"""`rangework aim`: targets compared for one shot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.aim_notes import take_notes
from rangework.cli.aim_page import aim_results, aim_text
from rangework.cli.options import (
    OutputFile,
    PictureFile,
    against_option,
    conditions_options,
    course_option,
    picture_form,
    player_options,
    run_options,
    tee_option,
)
from rangework.cli.playing import day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results, write_whole

if TYPE_CHECKING:
    from rangework.aim import AimAdvice, FromDistance, FromPoint
    from rangework.course import Course
    from rangework.units import Units


@click.command("aim")
@player_options
@course_option
@conditions_options
@click.option("--hole", type=int, metavar="N", help="Number of the hole.")
@click.option(
    "--all", "all_holes", is_flag=True, help="Instead of one shot: notes of every hole, for the bag."
)
@click.option(
    "--notes",
    type=OutputFile(),
    metavar="FILE",
    help="Where --all writes the notes: .html to print, .md, or .txt with nothing about the greens. Without it they "
    "are printed as text.",
)
@click.option(
    "--pins",
    type=click.Choice(["nine", "own"]),
    default="nine",
    show_default=True,
    help="Pins of the notes: the nine places of a green, or the hole's own.",
)
@click.option(
    "--pin",
    metavar="PIN",
    help="Pin: a name of the course file, a place on the green such as back-left, paces such as `12 on, 4 right`, or "
    "coordinates (of a map latitude, longitude; else right of the longest tee and ahead of it). Without it: the one "
    "that `rounds` plays there.",
)
@tee_option
@click.option(
    "--from",
    "from_distance",
    metavar="LIE,DISTANCE",
    help="What the ball lies on (fairway, rough, sand, recovery) and its distance to the pin, such as "
    "fairway,150. Without it: the tee shot.",
)
@click.option(
    "--from-point",
    metavar="X,Y",
    help="Instead: where the ball lies, right of the hole's longest tee and ahead of it along the first leg.",
)
@click.option(
    "--stroke",
    type=click.IntRange(1, 20),
    metavar="N",
    help="Number of the stroke, penalties counted. Without it: as when the hole is played in regulation.",
)
@click.option(
    "--target",
    "targets",
    multiple=True,
    metavar="TARGET",
    help="A target to compare, such as `pin`, `middle`, `8 right`, `5 short of the middle`, `lay up to 90`, "
    "`carry 180`, `longest`. May be given more than once. Without it: what most would think of.",
)
@click.option(
    "--objective",
    default="mean",
    show_default=True,
    metavar="WHAT",
    help="What the best is best at: the mean, or a score such as `5 or better` or `par or better`.",
)
@against_option
@click.option(
    "--picture",
    type=PictureFile(),
    metavar="FILE",
    help="Also a picture of every choice, a file ending in .png or .svg: where its shots finish, and what aiming "
    "elsewhere would cost.",
)
@draws_option(100)
@run_options
def command(all_holes: bool, notes: Path | None, pins: str, hole: int | None, **options: Any) -> None:
    """Compare targets for one shot: what each costs and what it risks.

    And the best of all, in strokes, with the chances of each score and of
    where the shot finishes.

    \b
      rangework aim range.csv --course course.toml --hole 4 --pin tucked
      rangework aim range.csv --course course.toml --hole 1 --from rough,140 \\
        --target pin --target "6 left of the pin" --target "lay up to 40"
      rangework aim range.csv --course course.toml --all --notes notes.html
    """
    if all_holes:
        return take_notes(notes, pins, hole=hole, **options)
    if hole is None:
        raise click.UsageError("Give --hole N for one shot, or --all for notes of every hole.")
    if notes:
        raise click.UsageError("--notes goes with --all.")
    return _compare(hole, **options)


def _compare(
    hole: int,
    *,
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    pin: str | None,
    tee: str | None,
    from_distance: str | None,
    from_point: str | None,
    stroke: int | None,
    targets: Sequence[str],
    objective: str,
    against: float | str | None,
    picture: Path | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    if from_distance and from_point:
        raise click.UsageError("Give --from or --from-point, not both.")
    from rangework.advice import advise_aim
    from rangework.aim import parse_targets

    with ReadTogether() as together:
        given = together.read(read_given, records, mappings, profile, handicap, course, day=day, draws=draws)
        named = together.read(parse_targets, targets, units)
        place = together.read(_place, from_distance, from_point, units)
    with progress("Weighing targets") as shown:
        advice = advise_aim(
            given.records, given.course, hole, pin=pin, tee=tee, place=place, stroke=stroke, targets=named,
            objective=objective, against=against, with_field=picture is not None, profile=given.profile, units=units,
            draws=draws, seed=seed, threads=threads, progress=shown.report,
        )  # fmt: skip
    click.echo(day_text(given.course, units) + aim_text(advice, given.course.name, units))
    told = tell_course(given.course, None)
    tell_doubts(doubts := given.doubts(advice.posterior))
    if picture:
        write_whole(picture, _drawn(advice, given.course, hole, picture, units))
        click.echo(f"{picture} written.")
    if json_file:
        results = {**aim_results(advice, units), "attribution": told["attribution"], "warnings": doubts}
        inputs = {
            **given.inputs, "hole": hole, "tee": advice.tee, "pin": advice.pin, "from": from_distance,
            "from_point": from_point, "stroke": stroke, "targets": targets, "objective": objective, "against": against,
            "units": units,
        }  # fmt: skip
        write_results(json_file, "aim", results, seed=seed, inputs=inputs)


def _place(
    from_distance: str | None, from_point: str | None, units: Units
) -> FromDistance | FromPoint | None:
    from rangework.aim import parse_distance, parse_point

    if from_distance:
        return parse_distance(from_distance, units)
    return parse_point(from_point, units) if from_point else None


def _drawn(advice: AimAdvice, course: Course, hole: int, picture: Path, units: Units) -> bytes:
    from rangework.course.choices import holes_of
    from rangework.report.aim_picture import aim_picture
    from rangework.report.style import picture as content

    figure = aim_picture(advice, course, holes_of(course, hole)[0], units)
    return content(figure, picture_form(picture))
