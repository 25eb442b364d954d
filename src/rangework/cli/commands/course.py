"""`rangework course`: what a course file holds, and the same course in another form."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rangework.cli.course_page import course_results, course_text
from rangework.cli.options import FILE, json_option, units_option
from rangework.cli.results import write_results, write_whole
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.units import Units

#: What a course may be written as, by the suffix of the new file.
FORMS = {".toml": "toml", ".geojson": "geojson", ".json": "geojson"}


@click.group("course")
def command() -> None:
    """Check a course, or write it in another form.

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
