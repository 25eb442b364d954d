"""Options that say what a week of practice must keep to, and the limits they come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import FILE, hours_option
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.plan.drills import Drill
    from rangework.plan.limits import Limits

#: Drills and responses of the coach's own.
drills_option = click.option(
    "--drills",
    type=FILE,
    metavar="FILE",
    help="TOML file of your own drills and of how parts answer to practice.",
)

#: The horizon of a plan.
weeks_option = click.option(
    "--weeks",
    type=click.FloatRange(1, 52),
    default=8.0,
    show_default=True,
    metavar="N",
    help="Weeks of practice until the saving is counted.",
)


def _named_hours(
    _ctx: click.Context, _parameter: click.Parameter, written: Sequence[str]
) -> dict[str, float]:
    hours: dict[str, float] = {}
    for each in written:
        name, _, figure = each.rpartition("=")
        try:
            hours[name] = float(figure)
        except ValueError:
            name = ""
        if not name or not 0.0 <= hours[name] <= 168.0:
            raise click.BadParameter(f"{each!r} is not NAME=HOURS, such as putt.pace=0.5.")
    return hours


#: Hours that a drill or a part must get: a dict by its name.
at_least_option = click.option(
    "--at-least",
    multiple=True,
    metavar="NAME=HOURS",
    callback=_named_hours,
    help="Hours a week that a drill or a part must get, such as putt.pace=0.5. May be given more than once.",
)


def limit_options(command: Any) -> Any:
    """What the week must keep to."""
    for option in (
        click.option(
            "--exceed-safety-limits",
            is_flag=True,
            help="Allow more swings or days than the safety limits. The plan says so.",
        ),
        click.option(
            "--swings-a-week", type=click.IntRange(0), metavar="N", help="Most full swings in a week."
        ),
        click.option(
            "--swings-a-day", type=click.IntRange(0), metavar="N", help="Most full swings in a day."
        ),
        click.option(
            "--days",
            type=click.IntRange(1, 7),
            default=3,
            show_default=True,
            metavar="N",
            help="Days of practice in a week.",
        ),
        at_least_option,
        hours_option,
    ):
        command = option(command)
    return command


def week_limits(
    age: int | None,
    drills: Sequence[Drill],
    *,
    hours: Mapping[str, float],
    at_least: Mapping[str, float],
    days: int,
    swings_a_day: int | None,
    swings_a_week: int | None,
    exceed_safety_limits: bool,
) -> Limits:
    """The week's limits. Raises InputError for what no week can have."""
    from rangework.plan.limits import safe_limits

    by_drill, by_part = by_drill_and_part(at_least, drills)
    return safe_limits(
        hours=hours.get(""),
        hours_by_place={place: given for place, given in hours.items() if place},
        age=age,
        practice_days=days,
        full_swings_per_day=swings_a_day,
        full_swings_per_week=swings_a_week,
        exceed_safety=exceed_safety_limits,
        least_hours_by_drill=by_drill,
        least_hours_by_part=by_part,
    )


def by_drill_and_part(
    at_least: Mapping[str, float], drills: Sequence[Drill]
) -> tuple[dict[str, float], dict[str, float]]:
    """The hours asked for by drill, and by part. Raises InputError for a name that is neither."""
    from rangework.records.header import nearest
    from rangework.skill.parts import PART_BY_ID

    ids = {drill.id for drill in drills}
    by_part = {name: given for name, given in at_least.items() if name not in ids}
    unknown = []
    for name in by_part.keys() - PART_BY_ID.keys():
        near = nearest(name, [*ids, *PART_BY_ID])
        remedy = f"Did you mean {near!r}?" if near else ""
        unknown.append(Problem("--at-least", "", name, "a drill or a part of the game", remedy))
    if unknown:
        raise InputError(unknown)
    return {name: given for name, given in at_least.items() if name in ids}, by_part
