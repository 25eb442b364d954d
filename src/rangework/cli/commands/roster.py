"""`rangework roster`: a coach's players in one file, kept safe, planned at once."""

from __future__ import annotations

import click

from rangework.cli.roster.importing import import_files
from rangework.cli.roster.keeping import add, history, list_players, log, show
from rangework.cli.roster.learned import learned
from rangework.cli.roster.planning import plan
from rangework.cli.roster.reporting import report
from rangework.cli.roster.safety import backup, export, forget
from rangework.cli.roster.trial import trial


@click.group("roster")
def command() -> None:
    """Keep players, records, plans and practice in one file.

    The file is named by --roster or RANGEWORK_ROSTER. Other commands take
    --player NAME from it in place of RECORDS.

    \b
      export RANGEWORK_ROSTER=club.roster
      rangework roster add "Wren Aldersey" --handicap 14.2
      rangework roster import "Wren Aldersey" range.csv putts.csv course.toml
      rangework skill --player "Wren Aldersey"
    """


for verb in (
    add,
    import_files,
    list_players,
    show,
    history,
    log,
    plan,
    learned,
    trial,
    report,
    export,
    backup,
    forget,
):
    command.add_command(verb)
