"""`rangework aim --all`: the hole notes of a course."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.playing import day_text, read_given, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results, write_whole

if TYPE_CHECKING:
    from rangework.aim.course_notes import CourseNotes
    from rangework.aim.hole_notes import HoleNote, NotedShot
    from rangework.cli.playing import Given
    from rangework.report.note_cards import NoteSheet
    from rangework.units import Units

#: Forms of notes by the suffix of their file.
SUFFIXES = (".html", ".md", ".txt")
#: What belongs to a single shot and not to notes.
SINGLE = ("hole", "pin", "from_distance", "from_point", "stroke", "targets", "against", "picture")


def take_notes(
    notes: Path | None,
    pins: str,
    *,
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
    **single: Any,
) -> None:
    """Note the targets of every hole, as a file or on the screen."""
    _check_options(notes, single)
    from rangework.report.note_forms import FORMS

    given = read_given(records, mappings, profile, handicap, course, day=day)
    holes = given.course.holes
    noted, sheet = noted_sheet(given, units, tee=tee, own_pins=pins == "own", seed=seed, threads=threads)
    click.echo(day_text(given.course, units), nl=False)
    if notes:
        write_whole(notes, FORMS[notes.suffix.lower()](sheet))
        click.echo(f"{notes}: notes of {len(holes)} holes of {given.course.name}. Check the local rule.")
    else:
        click.echo(FORMS[".txt"](sheet).rstrip())
    tell_doubts(doubts := given.doubts(noted.posterior))
    if json_file:
        results = {
            "notes": [note_results(note) for note in noted.holes], "cautions": sheet.cautions,
            "attribution": given.course.attribution or None, "warnings": doubts,
        }  # fmt: skip
        inputs = {**given.inputs, "tee": noted.tee, "pins": pins, "units": units}
        write_results(json_file, "aim", results, seed=seed, inputs=inputs)


def noted_sheet(given: Given, units: Units, **options: Any) -> tuple[CourseNotes, NoteSheet]:
    """The notes of a player's course, and the same in words; ``options`` as of ``note_course``."""
    from rangework.aim.course_notes import note_course
    from rangework.conditions.words import told
    from rangework.report.note_cards import note_sheet

    course, done = given.course, count(1)
    with progress("Noting holes") as shown:
        noted = note_course(
            given.records, course, profile=given.profile, units=units,
            progress=lambda: shown.report(next(done), len(course.holes)), **options,
        )  # fmt: skip
    sheet = note_sheet(
        noted.holes,
        course=course.name,
        tee=noted.tee,
        player=given.name,
        attribution=course.attribution,
        units=units,
        day=told(course.conditions, units),
    )
    return noted, sheet


def _check_options(notes: Path | None, single: dict[str, Any]) -> None:
    if notes and notes.suffix.lower() not in SUFFIXES:
        raise click.UsageError(f"--notes {notes.name} must end in {' or '.join(SUFFIXES)}.")
    given = [name for name in SINGLE if single[name] not in (None, ())]
    if given or single["objective"] != "mean":
        raise click.UsageError(
            "--all notes every hole and pin for the mean: --hole, --pin, --from, --from-point, --stroke, --target, "
            "--objective, --against and --picture are for a single shot."
        )


def note_results(note: HoleNote) -> dict[str, Any]:
    """One hole by the keys of the JSON file."""
    return {
        "hole": note.hole.number,
        "par": note.hole.par,
        "length_m": note.length_m,
        "way": [{"from_m": each.from_m, **_shot_results(each.shot)} for each in note.way],
        "approaches": [
            {
                "from_m": each.from_m,
                "pins": {pin: _shot_results(noted) for pin, noted in each.by_pin.items()},
            }
            for each in note.approaches
        ],
    }


def _shot_results(noted: NotedShot) -> dict[str, Any]:
    from rangework.advice import PLAYER_BASIS
    from rangework.aim import target_text
    from rangework.aim.hole_notes import NOTES_BASIS

    off = noted.off_pin_m
    return {
        "target": target_text(noted.target, "metres"),
        "off_pin_m": None if off is None else {"right": off[0], "beyond": off[1]},
        "distance_m": noted.distance_m,
        "carry_m": noted.carry_m,
        "club": noted.club and noted.club.name,
        "partial": noted.club and noted.club.partial,
        "expected_strokes": noted.strokes,
        "saved": noted.saved,
        "at_pin": noted.at_pin,
        "green": noted.finish.green,
        "short_sided": noted.finish.short_sided,
        "bunker": noted.finish.bunker,
        "penalty": noted.finish.penalty,
        "basis": f"{PLAYER_BASIS}+{NOTES_BASIS}",
    }
