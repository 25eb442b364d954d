"""`rangework rounds`: scores on a course, and strokes beside a reference golfer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import (
    conditions_options,
    player_options,
    playing_options,
    reference_golfer_option,
    reference_option,
    run_options,
)
from rangework.cli.playing import (
    day_text,
    draws_option,
    golfer_words,
    read_given,
    read_on_a_day,
    tell_course,
    tell_doubts,
)
from rangework.cli.progress import progress
from rangework.cli.results import write_results
from rangework.cli.rounds_page import logged_text, parts_text, rounds_results, rounds_text

if TYPE_CHECKING:
    from rangework.skill.reference import Group
    from rangework.units import Units


@click.command("rounds")
@partial(player_options, required=False)
@reference_golfer_option
@click.option(
    "--women",
    is_flag=True,
    help="The golfer of --reference-golfer is a woman, rated and compared with by women's tables.",
)
@playing_options
@conditions_options
@reference_option
@click.option(
    "--rounds",
    "n_rounds",
    type=click.IntRange(20, 1_000_000),
    default=20_000,
    show_default=True,
    metavar="N",
    help="Rounds to play.",
)
@click.option(
    "--by-part",
    is_flag=True,
    help="Also share the strokes gained and lost out among the 24 parts of the game; takes longer.",
)
@draws_option(60)
@run_options
def command(
    records: Sequence[Path], reference_golfer: float | str | None, women: bool, **options: Any
) -> None:
    """Play a course many times: scores, fairways, greens, putts, index.

    And where the strokes are gained and lost beside a reference golfer. Where
    the records hold whole rounds, they stand beside the simulated ones.

    \b
      rangework rounds range.csv log.csv --course course.toml --handicap 12.4
      rangework rounds --reference-golfer 18 --course course.toml
      rangework rounds --reference-golfer tour --women --course course.toml

    Tees without an official rating for the golfer get one estimated here.
    """
    if bool(records) == (reference_golfer is not None):
        raise click.UsageError("Give either RECORDS of a player (or --player) or --reference-golfer.")
    if women and records:
        raise click.UsageError(
            "--women is for --reference-golfer. For a player with RECORDS write\n"
            'reference = "women" into the profile and give it with --profile.'
        )
    if reference_golfer is None:
        _play_player(records, **options)
    else:
        _play_reference(reference_golfer, "women" if women else "men", **options)


def _play_player(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    pin: str | None,
    reference: float | str | None,
    n_rounds: int,
    by_part: bool,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    from rangework.advice import gained_by_part, logged_rounds, player_rounds, prepare, reference_level

    given = read_given(
        records, mappings, profile, handicap, course, day=day, reference=reference, draws=draws
    )
    with progress("Playing rounds") as shown:
        prepared = prepare(
            given.records, given.course, profile=given.profile, tee=tee, pin=pin, seed=seed, threads=threads
        )
        level = reference_level(prepared, reference)
        summary = player_rounds(prepared, n_rounds, against=level, draws=draws, progress=shown.report)
        logged = logged_rounds(prepared, given.records)
        parts = gained_by_part(prepared, summary.gained.value, against=level) if by_part else None
    where = f"{given.course.name}, {prepared.tee.name} tees"
    click.echo(day_text(given.course, units) + rounds_text(summary, given.player, where, level, units))
    if parts:
        click.echo("\n" + parts_text(parts, units))
    if logged:
        click.echo("\n" + logged_text(logged))
    told = tell_course(given.course, pin)
    tell_doubts(doubts := given.doubts(prepared.posterior))
    if json_file:
        results = {**rounds_results(summary, level, logged, parts), **told, "warnings": doubts}
        inputs = {**given.inputs, "tee": prepared.tee.name, "pins": prepared.pins}
        write_results(json_file, "rounds", results, seed=seed, inputs=inputs)


def _play_reference(
    golfer: float | str,
    group: Group,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    pin: str | None,
    reference: float | str | None,
    n_rounds: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
    **of_a_player: Any,
) -> None:
    from rangework.advice import reference_rounds
    from rangework.course.choices import chosen_tee

    if (
        any(of_a_player[name] for name in ("mappings", "profile", "by_part"))
        or of_a_player["handicap"] is not None
    ):
        raise click.UsageError(
            "--mapping, --profile, --handicap and --by-part are for a player: they need RECORDS. "
            "A reference golfer is told by --reference-golfer and --women alone."
        )
    level: float | str = "tour" if reference is None else reference
    played = read_on_a_day(course, day)
    summary = reference_rounds(
        played, golfer, n_rounds, group=group, against=level, tee=tee, pin=pin, seed=seed, threads=threads
    )
    where = f"{played.name}, {chosen_tee(played, tee).name} tees"
    who = golfer_words(golfer, group)
    click.echo(day_text(played, units) + rounds_text(summary, who[0].upper() + who[1:], where, level, units))
    told = tell_course(played, pin)
    if json_file:
        inputs = {
            "reference_golfer": golfer,
            "women": group == "women",
            "course": course,
            "conditions": played.conditions.stated,
            "tee": tee,
            "pin": pin,
            "reference": reference,
        }
        results = {**rounds_results(summary, level), **told, "warnings": []}
        write_results(json_file, "rounds", results, seed=seed, inputs=inputs)
