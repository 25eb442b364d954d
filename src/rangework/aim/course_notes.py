"""Hole notes from records and a course."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rangework.aim.club_names import carries_by_club
from rangework.aim.hole_notes import HoleNote, NoteTaker
from rangework.course.choices import chosen_tee
from rangework.course.geometry import Course
from rangework.course.pin_words import PIN_WORDS
from rangework.play.strategy import compile_player
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player
from rangework.skill.posterior import Posterior
from rangework.units import METRES_PER, Units, shot_unit


@dataclass(frozen=True, slots=True)
class CourseNotes:
    """The notes of a course for one player from one set of tees."""

    posterior: Posterior
    tee: str
    holes: tuple[HoleNote, ...]


def note_course(
    records: ShotRecords,
    course: Course,
    *,
    tee: str | None = None,
    own_pins: bool = False,
    profile: PlayerProfile | None = None,
    units: Units = "yards",
    seed: int = 0,
    threads: int = 2,
    posterior: Posterior | None = None,
    progress: Callable[[], None] | None = None,
) -> CourseNotes:
    """Targets for every hole, for the nine places of a green or for the hole's ``own_pins``.

    ``posterior``: the fit of these records, where it is there already; ``progress`` is called when a hole is done.
    Raises InputError and FitError.
    """
    profile = profile or PlayerProfile()
    name = chosen_tee(course, tee).name
    posterior = posterior or fit_player(records, profile=profile, seed=seed)
    clubs_m = carries_by_club(records, posterior, profile)
    player = compile_player(posterior.mean, conditions=course.conditions)
    taker = NoteTaker(player, clubs_m, METRES_PER[shot_unit(units)], course.conditions)
    pins = {hole.number: tuple(hole.pins) if own_pins else PIN_WORDS for hole in course.holes}
    notes = taker.course(course.holes, name, pins, threads=threads, progress=progress)
    return CourseNotes(posterior, name, tuple(notes))
