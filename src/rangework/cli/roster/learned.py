"""`rangework roster learned`: what practice really did, by part, from everybody's tests and logged hours."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.group_page import pooled_text
from rangework.cli.limiting import drills_option
from rangework.cli.options import json_option, roster_option, units_option
from rangework.cli.results import write_results
from rangework.cli.tables import paragraph

if TYPE_CHECKING:
    from rangework.roster.pooled_responses import PooledResponses
    from rangework.units import Units

NOTHING = (
    "Nothing yet. It takes two players at least who each hit eight balls or more of a part for a test (purpose test, "
    "or a filled card) on two days, and logged hours of that part in between. Until then plans rest on what is assumed."
)


@click.command("learned")
@roster_option(required=True)
@drills_option
@units_option
@json_option
def learned(roster: Path, drills: Path | None, units: Units, json_file: Path | None) -> None:
    """Tell what practice really does here, by part, beside what is assumed.

    From the tests and logged hours of all players together; `roster plan`
    takes it in. With how many players speak, and how sure it is.
    """
    from rangework.plan.drill_file import read_drills
    from rangework.plan.drills import drill_catalogue
    from rangework.roster.pooled_responses import pooled_responses
    from rangework.store import open_roster

    own = read_drills(drills) if drills else None
    with open_roster(roster) as kept:
        pooled = pooled_responses(
            kept, own.drills if own else drill_catalogue(), own.responses if own else None
        )
    click.echo(pooled_text(pooled.parts, pooled.players, units) if pooled else paragraph(NOTHING))
    if json_file:
        results = pooled_results(pooled) or {"players": 0, "parts": []}
        write_results(
            json_file, "roster learned", results, seed=None, inputs={"roster": roster, "drills": drills}
        )


def pooled_results(pooled: PooledResponses | None) -> dict[str, Any] | None:
    """What is known of the group by its keys in the JSON file; None where nothing is."""
    return None if pooled is None else {"players": pooled.players, "parts": pooled.parts}
