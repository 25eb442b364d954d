"""What a plan may learn from: hours really practised, of a file or of the roster, and the roster's other players."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.kept import KeptPlayer
from rangework.cli.options import FILE

if TYPE_CHECKING:
    from rangework.assessment.practice_log import PracticeLog
    from rangework.plan.drill_file import DrillFile
    from rangework.plan.response import GroupResponse
    from rangework.roster.pooled_responses import PooledPart

#: Hours really practised, in a file.
practised_option = click.option(
    "--practised",
    type=FILE,
    metavar="FILE",
    help="CSV file of the hours really practised. With tests among RECORDS the plan learns from it how this player "
    "answers to practice. Without it, and with --player: the hours logged in the roster.",
)


@dataclass(frozen=True, slots=True)
class Practised:
    """The player's logged hours, and how the roster's players answer to practice; None where nothing is known.

    ``group`` is what the other players tell, ``parts`` what all of them show.
    """

    log: PracticeLog | None = None
    group: GroupResponse | None = None
    parts: Sequence[PooledPart] = ()


def practised_by(
    records: Sequence[Path] | KeptPlayer,
    file: Path | None,
    own: DrillFile | None,
) -> Practised:
    """What is known of practice: the file's hours, or those of the roster where a player of it stands in for files.

    ``own``: a coach's own drills. Raises InputError.
    """
    from rangework.assessment.practice_log import read_practice_log
    from rangework.plan.drills import drill_catalogue

    drills = own.drills if own else drill_catalogue()
    read = read_practice_log(file, drills) if file else None
    if not isinstance(records, KeptPlayer):
        return Practised(read)
    from rangework.roster.logged_hours import practice_log
    from rangework.roster.pooled_responses import pooled_responses
    from rangework.store import find_player, open_roster, practised

    with open_roster(records.roster) as kept:
        player = find_player(kept, records.player).id
        pooled = pooled_responses(kept, drills, own.responses if own else None)
        log = read or practice_log(practised(kept, player), drills)
    return Practised(log, pooled.learned.of(player), pooled.parts) if pooled else Practised(log)


def told_inputs(file: Path | None) -> dict[str, Any]:
    """The file as the results name it, where there is one."""
    return {"practised": file} if file else {}
