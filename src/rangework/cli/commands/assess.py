"""`rangework assess`: practice tests, from their design to what they showed."""

from __future__ import annotations

import click

from rangework.cli.assess import design, fill, forecast, ladder, next_test, progress, score


@click.group("assess")
def command() -> None:
    """Practice tests that measure what scores.

    A test is a practice session whose balls are set beforehand and scored one
    by one. Twenty balls show less than one would like: every command here says
    how much.
    """


# in the order of the work
command.add_command(design.command)
command.add_command(ladder.command)
command.add_command(fill.command)
command.add_command(score.command)
command.add_command(progress.command)
command.add_command(next_test.command)
command.add_command(forecast.command)
