"""Options that several commands share, each with one name, one meaning and one help text."""

from __future__ import annotations

import functools
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Literal, TypeVar, cast

import click

from rangework.cli.kept import KeptCourse, KeptPlayer

Command = TypeVar("Command", bound=Callable[..., Any])

#: A file named on the command line; its reader reports what is wrong with it.
FILE = click.Path(path_type=Path)


class OutputFile(click.Path):
    """A file to be written at the end; its folder must be there before the work begins.

    Records, courses and profiles are never written over by a slip of the pen; ``of_ours`` is for a command whose output
    is such a file and which looks after it itself.
    """

    def __init__(self, *, of_ours: bool = False) -> None:
        super().__init__(dir_okay=False, path_type=Path)
        self._kept = () if of_ours else (".csv", ".toml", ".osm", ".geojson")

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, once its folder is known to exist."""
        path = Path(os.fsdecode(super().convert(value, param, ctx)))
        if not path.parent.is_dir():
            self.fail(f"folder {str(path.parent)!r} does not exist; make it first.", param, ctx)
        if path.suffix.lower() in self._kept and path.exists():
            self.fail(f"{str(path)!r} is there and would be lost; give another name.", param, ctx)
        return path


class PictureFile(OutputFile):
    """A picture to be written at the end; its name says in which form."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The path, once its form is known to be one of ours."""
        path = super().convert(value, param, ctx)
        if path.suffix.lower() not in (".png", ".svg"):
            self.fail(f"{path.name} must end in .png or .svg.", param, ctx)
        return path


def picture_form(picture: Path) -> Literal["png", "svg"]:
    """The form that a picture's name asks for."""
    return "svg" if picture.suffix.lower() == ".svg" else "png"


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


#: Where the roster and the player named on the command line wait for the options that need them.
_ROSTER, _PLAYER = "rangework.roster", "rangework.player"


def _remember(key: str) -> Callable[[click.Context, click.Parameter, Any], None]:
    def remember(ctx: click.Context, _parameter: click.Parameter, given: Any) -> None:
        ctx.meta[key] = given

    return remember


def _player(ctx: click.Context) -> KeptPlayer | None:
    name, roster = ctx.meta.get(_PLAYER), ctx.meta.get(_ROSTER)
    if name is None:
        return None
    if roster is None:
        raise click.UsageError("--player needs --roster FILE, or RANGEWORK_ROSTER to name the file.", ctx)
    return KeptPlayer(roster, name)


def named_player() -> KeptPlayer | None:
    """The player of --player; None without the option."""
    return _player(click.get_current_context())


def _records(ctx: click.Context, parameter: click.Parameter, files: Sequence[Path]) -> Any:
    """The files, or the player of the roster that stands in for them."""
    kept = _player(ctx)
    if files and kept:
        raise click.UsageError("Give either RECORDS or --player.", ctx)
    if not files and not kept:
        raise click.MissingParameter("Or give --player with --roster.", ctx, parameter)
    return kept or files


def _records_or_none(ctx: click.Context, parameter: click.Parameter, files: Sequence[Path]) -> Any:
    return _records(ctx, parameter, files) if files or _player(ctx) else files


def kept_course_or_file(ctx: click.Context, _parameter: click.Parameter, file: Path | None) -> Any:
    """The file, or the course of the roster that has this name; None where neither is given."""
    roster = ctx.meta.get(_ROSTER)
    if file is not None and roster is not None and not file.suffix and not file.exists():
        return KeptCourse(roster, "", str(file))
    return file


def _course(ctx: click.Context, parameter: click.Parameter, file: Path | None) -> Any:
    """The course to play: as named, or the home course of the roster's player."""
    given, kept = kept_course_or_file(ctx, parameter, file), _player(ctx)
    if given is None and kept is None:
        raise click.MissingParameter(ctx=ctx, param=parameter)
    return KeptCourse(kept.roster, kept.player, "") if given is None and kept else given


#: One or more record files, read together; a `KeptPlayer` where --player stands in for them.
records_argument = click.argument("records", nargs=-1, type=FILE, callback=_records, metavar="RECORDS...")
_optional_records_argument = click.argument("records", nargs=-1, type=FILE, callback=_records_or_none)

#: The player of the roster to take instead of record files.
kept_player_option = click.option(
    "--player",
    metavar="NAME",
    is_eager=True,
    expose_value=False,
    callback=_remember(_PLAYER),
    help="Instead of RECORDS: a player of the roster, with profile and home course.",
)


def roster_option(*, required: bool) -> Callable[[Command], Command]:
    """The roster's file. A command that may do without one is not handed it."""
    return click.option(
        "--roster",
        required=required,
        envvar="RANGEWORK_ROSTER",
        show_envvar=True,
        metavar="FILE",
        type=FILE,
        is_eager=not required,
        expose_value=required,
        callback=None if required else _remember(_ROSTER),
        help="The roster's file.",
    )


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
    type=FILE,
    callback=_course,
    metavar="FILE",
    help="The course to play: TOML, or a map as GeoJSON or OSM XML (map.osm#NAME where it holds several); or "
    "the name of a course of the roster. With --player it may be left out: the home course.",
)

#: The tees played from, by the course file's name for them.
tee_option = click.option(
    "--tee",
    metavar="NAME",
    help="Tees to play, by their name in the course file. Without it: the middle ones.",
)

#: The pin of every hole that has it.
pin_option = click.option(
    "--pin",
    metavar="PIN",
    help="Pin of every hole that has it: a name of the course file, a place on any green such as back-left, or paces "
    "on and from a side such as `12 on, 4 right`. Without it: the pins of each hole in turn.",
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

#: How the player aims now: a word, or a file of habits.
aims_option = click.option(
    "--aims",
    metavar="WHAT",
    help="How the player aims now: at the `pin` or the `middle` of every green in reach (else as far as can be), or a "
    "TOML file of habits. Without it: what the rounds in the records show.",
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


def player_options(command: Command, *, required: bool = True) -> Command:
    """Everything that says who the player is: records, mappings, handicap, profile, or a name in the roster."""
    kept = (roster_option(required=False), kept_player_option)
    records = records_argument if required else _optional_records_argument
    for option in (*kept, profile_option, handicap_option, mapping_option, records):
        command = option(command)
    return command


def playing_options(command: Command) -> Command:
    """Everything that says what is played: course, tees, pins."""
    for option in (pin_option, tee_option, course_option):
        command = option(command)
    return command


#: What the day does to the play, by the words that ``rangework.conditions`` reads.
_DAY_OPTIONS: Mapping[str, tuple[str, str]] = {
    "wind": (
        "WIND",
        "Wind, such as `10 mph from SW` (by the compass: the course must know its bearings), or "
        "`10 mph from 2 o'clock` (seen along every hole: 12 is a head wind, 3 from the right). mph, km/h, m/s or kn.",
    ),
    "temperature": ("DEGREES", "Such as 50F or 10C. Without it: 20 C (68 F)."),
    "altitude": ("HEIGHT", "Above the place that the records are from, such as 4000ft or 1200m."),
    "ground": ("WORD", "How the ball runs: soft, normal or firm."),
    "green_speed": ("FEET", "Stimpmeter reading, such as 9.5. Without it: 11."),
}


def conditions_options(command: Command) -> Command:
    """The day's conditions: a file and options, handed to the command together as ``day``."""

    @functools.wraps(command)
    def with_day(*args: Any, conditions: Path | None, **given: Any) -> Any:
        options = {word: given.pop(word) for word in _DAY_OPTIONS}
        return command(*args, day={"file": conditions, **options}, **given)

    gathered: Any = with_day
    for word, (metavar, text) in reversed(list(_DAY_OPTIONS.items())):
        gathered = click.option(f"--{word.replace('_', '-')}", word, metavar=metavar, help=text)(gathered)
    help_text = "TOML file of the day's wind, temperature, altitude, ground and green speed; options below replace it."
    gathered = click.option("--conditions", type=FILE, metavar="FILE", help=help_text)(gathered)
    return cast(Command, gathered)


def run_options(command: Command) -> Command:
    """Everything that says how to run and show: units, seed, threads, JSON."""
    for option in (json_option, threads_option, seed_option, units_option):
        command = option(command)
    return command
