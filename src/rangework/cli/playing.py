"""What the commands that play are given: a player's records, who they are, and the course."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.day_words import day_words
from rangework.cli.kept import KeptCourse, KeptPlayer
from rangework.cli.reading import ReadTogether, chosen_course, player_profile, player_shots
from rangework.cli.tables import number, paragraph

if TYPE_CHECKING:
    from rangework.course import Course
    from rangework.plan.drill_file import DrillFile
    from rangework.records.profile import PlayerProfile
    from rangework.records.shots import ShotRecords
    from rangework.skill.posterior import Posterior
    from rangework.units import Units


#: Said after how much the records decide, where a coach reads it at a keyboard.
WHERE_TO_SEE = " `rangework skill` shows which."


def draws_option(default: int) -> Callable[[Any], Any]:
    """How many plausible players the ranges rest on."""
    return click.option(
        "--draws",
        type=click.IntRange(2, 400),
        default=default,
        show_default=True,
        metavar="N",
        help="Plausible players that the ranges rest on: fewer are quicker, and rougher.",
    )


@dataclass(frozen=True, slots=True)
class Given:
    """What was read, and the files and options it came from, as they go into the results."""

    records: ShotRecords
    profile: PlayerProfile
    course: Course
    drills: DrillFile | None
    inputs: Mapping[str, Any]

    @property
    def player(self) -> str:
        """The player's name, or what stands for it at the start of a sentence."""
        return self.profile.name or "The player"

    @property
    def name(self) -> str:
        """The player's name, or what stands for it within a sentence."""
        return self.profile.name or "the player"

    def clubs(self, posterior: Posterior) -> dict[str, float]:
        """Carries in metres by club, as records and profile have them."""
        from rangework.aim.club_names import carries_by_club

        return carries_by_club(self.records, posterior, self.profile)

    def doubts(self, posterior: Posterior) -> list[str]:
        """What is odd about the records and the fit, and used all the same."""
        from rangework.skill.club_carries import club_carries, doubted_carries

        doubted = doubted_carries(club_carries(self.records, posterior.mean), self.profile.clubs)
        return [str(problem) for problem in (*self.records.warnings, *posterior.warnings, *doubted)]


def read_given(
    records: Sequence[Path] | KeptPlayer,
    mappings: Sequence[Path],
    profile: Path | None,
    handicap: float | None,
    course: Path | KeptCourse,
    *,
    day: Mapping[str, Any] | None = None,
    drills: Path | None = None,
    **options: Any,
) -> Given:
    """Read all files of a command that plays; the faults of all are raised together.

    A player and a course of the roster may stand in for files. ``day``: what ``conditions_options`` gathered.
    ``options`` only go into ``inputs``.
    """
    with ReadTogether() as together:
        shots = together.read(player_shots, records, mappings)
        player = together.read(player_profile, profile, handicap, records)
        played = together.read(read_on_a_day, course, day or {})
        own_drills = together.read(_read_drills, drills)
    inputs = {
        "records": records,
        "mapping": mappings,
        "profile": profile,
        "handicap": handicap,
        "course": course,
        "conditions": played.conditions.stated,
        **({"drills": drills} if drills else {}),
        **options,
    }
    return Given(shots, player, played, own_drills, inputs)


def read_on_a_day(file: Path | KeptCourse, day: Mapping[str, Any]) -> Course:
    """The course of a file in the day's conditions; the faults of both are raised together."""
    from rangework.conditions import conditions_from
    from rangework.course import on_a_day

    with ReadTogether() as together:
        conditions = together.read(conditions_from, **day)
        course = together.read(chosen_course, file)
    return on_a_day(course, conditions)


def day_text(course: Course, units: Units) -> str:
    """``day_words`` in a line and an empty one; empty where all is neutral."""
    words = day_words(course, units)
    return paragraph(f"Played in: {words}.") + "\n\n" if words else ""


def decided_by_records(posterior: Posterior) -> str:
    """How many of the parts the records decide, and who stands in for the others, in a sentence."""
    from rangework.skill.measures import RANGE_ONLY, WORDS, part_estimates

    words = [part.words for part in part_estimates(posterior)]
    measured = sum(word in (WORDS[2], RANGE_ONLY) for word in words)
    shared = words.count(WORDS[1])
    return (
        f"Of the {len(words)} parts of the game the records decide {measured} and share {shared} with the usual "
        f"golfer ({golfer_words(posterior.reference_level)}); for the other {len(words) - measured - shared} "
        f"that golfer and the player's other shots stand in.{WHERE_TO_SEE}"
    )


def _read_drills(file: Path | None) -> DrillFile | None:
    from rangework.plan.drill_file import read_drills

    return read_drills(file) if file else None


def tell_doubts(doubts: Sequence[str]) -> None:
    """Print what is odd, a paragraph each."""
    for doubt in doubts:
        click.echo("\n" + paragraph(f"Look at {doubt}"))


def tell_course(course: Course, pin: str | None) -> dict[str, Any]:
    """Print where the usual pins stand in for ``pin`` and whose data the map is; the same for the results."""
    from rangework.course.choices import usual_pin_holes

    usual = usual_pin_holes(course, pin)
    if usual:
        holes = f"hole {usual[0]}" if len(usual) == 1 else f"holes {', '.join(map(str, usual))}"
        click.echo("\n" + paragraph(f"No pin {pin!r} on {holes}: the usual pins are played there."))
    if course.attribution:
        click.echo("\n" + paragraph(f"Map data: {course.attribution}"))
    return {"usual_pins_on": usual, "attribution": course.attribution or None}


def golfer_words(level: float | str, group: str = "men") -> str:
    """A reference golfer in words."""
    if level == "tour":
        return "a golfer of the women's tour" if group == "women" else "a tour golfer"
    index = float(level)
    shown = number(abs(index))
    sign = "+" if index < 0 and shown != "0.0" else ""
    return f"a {'woman' if group == 'women' else 'golfer'} of handicap {sign}{shown}"
