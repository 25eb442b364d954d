"""Options that several commands share, each with one name, one meaning and one help text."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

#: A file named on the command line; its reader reports what is wrong with it.
FILE = click.Path(path_type=Path)


class OutputFile(click.Path):
    """A file to be written at the end; its folder must be there before the work begins."""

    def __init__(self) -> None:
        super().__init__(dir_okay=False, path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, once its folder is known to exist."""
        path = Path(os.fsdecode(super().convert(value, param, ctx)))
        if not path.parent.is_dir():
            self.fail(f"folder {str(path.parent)!r} does not exist; make it first.", param, ctx)
        return path


def available_threads() -> int:
    """The processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _index(written: str) -> float:
    from rangework.records.profile import parse_handicap

    try:
        return parse_handicap(written)
    except ValueError as error:
        raise click.BadParameter(f"{error}.") from error


def _handicap(_ctx: click.Context, _parameter: click.Parameter, written: str | None) -> float | None:
    return None if written is None else _index(written)


def _reference(_ctx: click.Context, _parameter: click.Parameter, written: str | None) -> float | str | None:
    return written if written in (None, "tour") else _index(str(written))


def _hours(_ctx: click.Context, _parameter: click.Parameter, written: Sequence[str]) -> dict[str, float]:
    hours: dict[str, float] = {}
    for each in written:
        place, _, number = each.rpartition("=")
        if place in hours:
            raise click.BadParameter(f"{place or 'hours in all'} given twice.")
        try:
            hours[place] = float(number)
        except ValueError:
            expected = "neither hours such as 6 nor place=hours such as range=3"
            raise click.BadParameter(f"{each!r} is {expected}.") from None
    if "" in hours and len(hours) > 1:
        raise click.BadParameter("give hours in all or hours by place, not both.")
    return hours


#: One or more record files, read together.
records_argument = click.argument("records", nargs=-1, required=True, type=FILE)

#: How to read the files of a device; may be given more than once.
mapping_option = click.option(
    "--mapping",
    "mappings",
    multiple=True,
    type=FILE,
    metavar="FILE",
    help="TOML file that says how to read a device's export; used where its headers occur. "
    "May be given more than once.",
)

#: The course that is played.
course_option = click.option(
    "--course",
    required=True,
    type=FILE,
    metavar="FILE",
    help="The course to play: TOML, or a map as GeoJSON or OSM XML (map.osm#NAME where it holds several).",
)

#: The tees played from, by the course file's name for them.
tee_option = click.option(
    "--tee",
    metavar="NAME",
    help="Tees to play, by their name in the course file. Without it: the middle ones.",
)

#: The pin of every hole, by the course file's name for it.
pin_option = click.option(
    "--pin",
    metavar="NAME",
    help="Pin of every hole that has one of this name. Without it: the pins of each hole in turn.",
)

#: What lengths are shown in.
units_option = click.option(
    "--units",
    type=click.Choice(["yards", "metres"]),
    default="yards",
    show_default=True,
    help="Lengths are shown in these; putts in feet with yards, in metres with metres.",
)

#: The player's stated handicap index, as a number in which +2 is -2.
handicap_option = click.option(
    "--handicap",
    metavar="INDEX",
    callback=_handicap,
    help="The player's handicap index, such as 12.4; +2 for a player better than scratch. "
    "Without it the records suggest one.",
)

#: The player's profile file.
profile_option = click.option(
    "--profile",
    type=FILE,
    metavar="FILE",
    help="TOML file about the player: age, hand, reference, clubs, swings a week.",
)

#: The golfer to compare with: "tour", a handicap index, or None for the player's own.
reference_option = click.option(
    "--reference",
    metavar="LEVEL",
    callback=_reference,
    help="The golfer to compare with: a handicap index, or `tour`. Without it: the player's own handicap.",
)

#: The golfer whose break-even line is wanted: "tour", a handicap index, or None for no line.
against_option = click.option(
    "--against",
    metavar="LEVEL",
    callback=_reference,
    help="Also the line on which a finish gains nothing on a golfer of this handicap index, or on the `tour`.",
)

#: A reference golfer to play instead of a player with records.
reference_golfer_option = click.option(
    "--reference-golfer",
    metavar="LEVEL",
    callback=_reference,
    help="Instead of a player's RECORDS: a golfer of this handicap index, or `tour`.",
)

#: The week's hours: a dict of hours by place, with "" for hours that may be spent anywhere.
hours_option = click.option(
    "--hours",
    required=True,
    multiple=True,
    metavar="HOURS",
    callback=_hours,
    help="Hours of practice a week: 6, or by place, such as --hours range=3 --hours putting_green=2.",
)

#: Where the luck starts.
seed_option = click.option(
    "--seed",
    type=click.IntRange(0, 2**32 - 1),
    default=0,
    show_default=True,
    help="Start of the random numbers: the same seed gives the same answer.",
)

#: How many processors work; the answer does not depend on it.
threads_option = click.option(
    "--threads",
    type=click.IntRange(1),
    default=available_threads,
    show_default="all processors",
    help="Processors to use; the answer does not depend on it.",
)

#: Where the numbers go as JSON.
json_option = click.option(
    "--json",
    "json_file",
    type=OutputFile(),
    metavar="FILE",
    help="Also write every number to this file, in metres and degrees.",
)


def player_options(command: Command) -> Command:
    """Everything that says who the player is: records, mappings, handicap, profile."""
    for option in (profile_option, handicap_option, mapping_option, records_argument):
        command = option(command)
    return command


def playing_options(command: Command) -> Command:
    """Everything that says what is played: course, tees, pins."""
    for option in (pin_option, tee_option, course_option):
        command = option(command)
    return command


def run_options(command: Command) -> Command:
    """Everything that says how to run and show: units, seed, threads, JSON."""
    for option in (json_option, threads_option, seed_option, units_option):
        command = option(command)
    return command
