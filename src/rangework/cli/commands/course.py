"""`rangework course`: what a course file holds, its holes drawn, and the same course in another form."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rangework.cli.course_page import course_results, course_text
from rangework.cli.options import FILE, json_option, tee_option, units_option
from rangework.cli.progress import progress
from rangework.cli.results import write_results, write_whole
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.report.style import PictureForm
    from rangework.units import Units

#: What a course may be written as, by the suffix of the new file.
FORMS = {".toml": "toml", ".geojson": "geojson", ".json": "geojson"}
PICTURES = (".png", ".svg")


@click.group("course")
def command() -> None:
    """Check a course, draw it, or write it in another form.

    A course is a TOML file that you write, or an open map: GeoJSON or OSM
    XML with the public golf tags. Of a map with several courses take one by
    its name: "map.osm#Name".
    """


@command.command("check")
@click.argument("file", type=FILE)
@units_option
@json_option
def check(file: Path, units: Units, json_file: Path | None) -> None:
    """Show the holes of FILE, what is odd, and what is assumed.

    \b
      rangework course check map.geojson
      rangework course check "map.osm#North Course"
    """
    from rangework.course import read_course

    course = read_course(file)
    click.echo(course_text(course, units))
    if json_file:
        write_results(json_file, "course check", course_results(course), seed=None, inputs={"course": file})


@command.command("convert")
@click.argument("file", type=FILE)
@click.argument("out", type=FILE)
@click.option(
    "--to",
    "form",
    type=click.Choice(["toml", "geojson"]),
    help="The form to write. Without it: as the suffix of OUT says.",
)
def convert(file: Path, out: Path, form: str | None) -> None:
    """Write the course of FILE as TOML or GeoJSON to the new file OUT.

    The TOML holds outlines, to which you can add what a map leaves out:
    ratings, pins, fairways.

    \b
      rangework course convert "map.osm#North Course" north.toml
    """
    from rangework.course import geojson_text, read_course, toml_text

    chosen = form or FORMS.get(out.suffix.lower())
    if chosen is None:
        raise click.UsageError(f"What shall {out.name} be? Give --to toml or --to geojson.")
    course = read_course(file)
    if out.exists():
        raise InputError(Problem(str(out), "", "", "no file of that name", "Rename or remove it first."))
    write_whole(out, toml_text(course) if chosen == "toml" else geojson_text(course))
    click.echo(f"{out}: {course.name}, {len(course.holes)} holes.")
    if chosen == "geojson" and not all(hole.placement for hole in course.holes):
        click.echo("Its file does not say where on Earth it lies: the holes are laid out in an open ocean.")


@command.command("draw")
@click.argument("file", type=FILE)
@click.option("--hole", type=int, metavar="N", help="Only the hole of this number.")
@tee_option
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    metavar="DIR|FILE",
    help="Folder for the pictures, or with --hole a file ending in .png or .svg. Without it: the folder NAME-holes, "
    "NAME being that of FILE.",
)
@click.option("--format", "form", type=click.Choice(["png", "svg"]), help="Kind of picture. Without it: png.")
@units_option
def draw(
    file: Path, hole: int | None, tee: str | None, to: Path | None, form: str | None, units: Units
) -> None:
    """Draw every hole of FILE: map, green with its pins, lengths, trouble.

    \b
      rangework course draw course.toml
      rangework course draw "map.osm#North Course" --hole 7 --to seventh.svg
    """
    from rangework.course import read_course
    from rangework.course.choices import chosen_tee, holes_of
    from rangework.course.files import split_name
    from rangework.report.hole_page import hole_page
    from rangework.report.style import picture

    target = to or Path(f"{split_name(file)[0].stem}-holes")
    single = target if target.suffix.lower() in PICTURES else None
    kind = _kind_of(single, form)
    if single and hole is None:
        raise click.UsageError(f"{single.name} is one picture: give --hole N, or --to a folder.")
    course = read_course(file)
    tees, holes = chosen_tee(course, tee).name, holes_of(course, hole)
    if not single:
        _make_folder(target)
    with progress("Drawing holes") as shown:
        for done, each in enumerate(holes):
            shown.report(done, len(holes))
            drawn = picture(hole_page(course, each, tees, units), kind)
            write_whole(single or target / f"hole-{each.number:02d}.{kind}", drawn)
    click.echo(f"{target}: {len(holes)} {'picture' if len(holes) == 1 else 'pictures'} of {course.name}.")


def _kind_of(single: Path | None, form: str | None) -> PictureForm:
    """The kind of picture that the options ask for."""
    suffix = single.suffix.lower().removeprefix(".") if single else None
    if suffix and form and suffix != form:
        raise click.UsageError(f"--format {form} does not fit a file ending in .{suffix}.")
    return "svg" if "svg" in (suffix, form) else "png"


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        expected = f"a folder that is there or can be made ({error.strerror or error})"
        raise InputError(Problem("--to", "", str(folder), expected)) from error
