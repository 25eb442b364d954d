"""What `rangework roster plan --pages` writes: a folder with each player's page, plan and numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rangework.cli.results import write_results, write_whole
from rangework.cli.roster.summary import (
    DRILL_HEADINGS,
    GAIN_HEADINGS,
    PLACE_HEADINGS,
    SHARE_NOTE,
    again_text,
    changed_results,
    drill_rows,
    fault_lines,
    gain_rows,
    place_rows,
    scarce_words,
    share_headings,
    share_rows,
    trial_words,
)
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.report.document import Grid
    from rangework.roster.monday import Monday
    from rangework.roster.planning import Planned, Settings
    from rangework.units import Units

FOOT = "Ranges hold the truth nine times in ten, as far as records and assumptions go."


def check_new_folder(folder: Path | None) -> None:
    """Raises InputError where pages cannot go there."""
    if folder is None:
        return
    if folder.exists():
        raise InputError(Problem(str(folder), "", "", "no folder of that name", "Nothing is overwritten."))
    if not folder.parent.is_dir():
        raise InputError(Problem(str(folder.parent), "", "", "a folder that is there", "Make it first."))


def write_pages(folder: Path, week: Monday, settings: Settings, roster: Path, units: Units) -> None:
    """Each player's page, the whole plan as text, and its numbers; the folder is new, and whole or not there."""
    from rangework.store.whole_folder import whole_folder

    drills = {drill.id: drill.name for drill in settings.drills}
    day = ""
    with whole_folder(folder) as part:
        for planned in _with_plan(week.planned):
            day = _write_player(part / _page_name(planned), week, planned, settings, roster, units)
        write_whole(part / "everybody.html", everybody_page(week, drills, day))


def _write_player(
    start: Path, week: Monday, planned: Planned, settings: Settings, roster: Path, units: Units
) -> str:
    """The files of one player, their names beginning with ``start``; the day on which the plan was made."""
    from rangework.cli.roster.practice_page import practice_page
    from rangework.store import open_roster, practised
    from rangework.store.plans import plans_of

    with open_roster(roster) as kept:
        plan = plans_of(kept, planned.player, latest=1)[0]
        practice = practised(kept, planned.player)
    drills = settings.drills
    write_whole(Path(f"{start}.html"), practice_page(planned.name, plan, practice, drills, units))
    write_whole(Path(f"{start}.txt"), planned.page + again_text(week, planned, drills))
    changed = changed_results(week, planned, drills)
    results = {"player": planned.name, **(planned.results or {}), **changed}
    write_results(Path(f"{start}.json"), "roster plan", results, seed=week.seed, inputs={})
    return plan.made_at[:10]


def everybody_page(week: Monday, drills: Mapping[str, str], day: str) -> str:
    """The coach's own page: who gains most from what, and who should have which hours."""
    from rangework.report.document import Document, Part, html_of

    parts = [
        Part(
            "Who gains most from what",
            grids=[_grid(_narrow(GAIN_HEADINGS), [_narrow(row) for row in gain_rows(week, drills)])],
            notes=["Strokes a round that the player's own week saves, before hours are shared."],
        )
    ]
    if rows := drill_rows(week, drills):
        parts.append(Part("What pays most for most players", grids=[_grid(DRILL_HEADINGS, rows)]))
    if week.assigned:
        parts.append(Part("Drawn by lot", text=[trial_words(week, drills)]))
    if week.shared:
        grids = [_grid(PLACE_HEADINGS, place_rows(week)), _grid(share_headings(week), share_rows(week))]
        parts.append(
            Part("How the hours should be shared", text=[scarce_words(week)], grids=grids, notes=[SHARE_NOTE])
        )
    if faults := fault_lines(week):
        parts.append(Part("No plan", items=faults, kind="care"))
    subtitle = (
        f"The week's practice for everybody, planned on {day}." if day else "Nobody could be planned for."
    )
    counted = ("players", f"{len(_with_plan(week.planned))} of {len(week.planned)} have a plan")
    return html_of(Document("Everybody", subtitle, [counted], parts, [FOOT]))


def _narrow(row: Sequence[str]) -> list[str]:
    """The drill beside the player: on a phone these two columns break into lines, and numbers do not."""
    player, *numbers, drill = row
    return [player, drill, *numbers]


def _grid(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> Grid:
    from rangework.report.document import Grid

    return Grid([" ".join(heading.split()) for heading in headings], rows)


def _with_plan(planned: Iterable[Planned]) -> list[Planned]:
    return [each for each in planned if not each.fault]


def _page_name(planned: Planned) -> str:
    """A file name that no name can break out of: the player's number in the roster, and plain letters."""
    letters = re.sub(r"[^0-9a-z]+", "-", planned.name.casefold()).strip("-")[:40]
    return f"{planned.player:05d}-{letters}".rstrip("-")
