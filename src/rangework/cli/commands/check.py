"""`rangework check`: every fault of the files a coach brings, and a first mapping for a foreign export."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from rangework.cli.checking import Checked, check_file, is_mapping
from rangework.cli.options import FILE, mapping_option
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_whole
from rangework.cli.tables import paragraph
from rangework.errors import InputError, Problem


@click.command("check")
@click.argument("files", nargs=-1, required=True, type=FILE, metavar="FILE...")
@mapping_option
@click.option(
    "--suggest-mapping",
    is_flag=True,
    help="Write a first mapping for each device's export, for you to finish: NAME.mapping.toml beside it.",
)
def command(files: Sequence[Path], mappings: Sequence[Path], suggest_mapping: bool) -> None:
    """Tell every fault of records, courses, drills, profiles, days and mappings.

    For each fault: file, row or key, what stands there, what was expected,
    and what to do. Records are CSV files; all others are TOML. A mapping
    among the FILES is used for the others, as with --mapping.

    \b
      rangework check shots.csv putts.csv course.toml
      rangework check device.csv --suggest-mapping
    """
    if suggest_mapping:
        _suggest(files)
        return
    known = [*mappings, *filter(is_mapping, files)]
    checked = [check_file(file, known) for file in files]
    for each in checked:
        click.echo(_told(each))
    problems = [problem for each in checked for problem in each.problems]
    if problems:
        raise InputError(problems)


def _told(checked: Checked) -> str:
    what = f"{checked.kind} ({checked.holds})" if checked.holds else checked.kind
    lines = [f"{checked.path}: {what}, {_counted(len(checked.problems))}"]
    lines += [paragraph(f"Look at {warning}", indent="  ") for warning in checked.warnings]
    lines += [paragraph(f"Assumed: {text}", indent="  ") for text in checked.assumptions]
    return "\n".join(lines)


def _counted(faults: int) -> str:
    return {0: "no faults", 1: "1 fault"}.get(faults, f"{faults} faults")


def _suggest(exports: Sequence[Path]) -> None:
    """Write a mapping for every export, or none at all."""
    with ReadTogether() as together:
        suggested = [together.read(_suggestion, export) for export in exports]
    for target, text in suggested:
        write_whole(target, text)
        click.echo(f"{target}: finish it, then give it with --mapping.")


def _suggestion(export: Path) -> tuple[Path, str]:
    from rangework.records import suggest_mapping

    target = export.with_suffix(".mapping.toml")
    if target.exists():
        remedy = "Rename or remove it first: nothing is overwritten."
        raise InputError(Problem(str(target), "", "", "no file of that name", remedy))
    return target, suggest_mapping(export)
