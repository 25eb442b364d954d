"""Everything the roster holds of a player, as files that anybody can read, and that can be imported again."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from rangework.assessment.forecasts import forecasts_text
from rangework.errors import InputError, Problem
from rangework.records import write_canonical
from rangework.records.profile import PlayerProfile
from rangework.records.safe_text import read_safe_text, safe_text
from rangework.records.table import Layout, read_table
from rangework.store.balls import player_records
from rangework.store.cards import KeptCard, cards_of
from rangework.store.courses import course_by_number
from rangework.store.forecasts import forecasts_of
from rangework.store.plans import KeptPlan, plans_of
from rangework.store.players import find_player
from rangework.store.practice import practised
from rangework.store.record_files import imported_files
from rangework.store.roster_file import Roster
from rangework.store.trials import Assignment, assignments
from rangework.store.whole_folder import whole_folder


def export_player(roster: Roster, name: str, folder: Path) -> list[Path]:
    """Write all that is kept of a player to a new folder, whole or not at all; the files written.

    ``balls.csv`` has every ball in metres: imported again it gives the same balls to the last bit, and exported
    again the same bytes. ``player.toml`` is the profile; cards are the cells of their files. Raises InputError where
    the folder is there already.
    """
    if folder.exists():
        remedy = "Name another one: nothing is overwritten."
        raise InputError(Problem(str(folder), "", "", "no folder of that name", remedy))
    with whole_folder(folder) as part, roster.reading():
        _write_all(roster, name, part)
    return sorted(folder.iterdir())


def _write_all(roster: Roster, name: str, folder: Path) -> None:
    player = find_player(roster, name)
    (folder / "player.toml").write_text(profile_toml(player.profile), encoding="utf-8")
    records = player_records(roster, player.id)
    if records.n_balls:
        write_canonical(records, folder / "balls.csv")
    files = imported_files(roster, player.id)
    _table(
        folder / "files.csv",
        ("file", "imported_at", "balls_read", "balls_new", "rows_skipped"),
        ((f.name, f.imported_at, f.balls_read, f.balls_new, f.rows_skipped) for f in files),
    )
    practice = practised(roster, player.id)
    _table(
        folder / "practice.csv",
        ("day", "drill", "hours", "note"),
        ((p.day, p.drill, repr(p.hours), p.note) for p in practice),
    )
    _write_trials(folder, [each for each in assignments(roster) if each.player == player.id])
    if forecasts := forecasts_of(roster, player.id):
        (folder / "forecasts.json").write_text(forecasts_text(forecasts), encoding="utf-8")
    _write_cards(folder, cards_of(roster, player.id))
    _write_plans(folder, plans_of(roster, player.id))
    if player.home_course is not None:
        course = course_by_number(roster, player.home_course)
        suffix = Path(course.file_name.partition("#")[0]).suffix
        (folder / f"course{suffix}").write_bytes(course.content)


def _write_trials(folder: Path, lots: Sequence[Assignment]) -> None:
    columns = ("started", "weeks", "first_drill", "second_drill", "assigned", "hours_a_week", "seed")
    _table(folder / "trials.csv", columns, ([getattr(lot, column) for column in columns] for lot in lots))


def _write_plans(folder: Path, plans: Sequence[KeptPlan]) -> None:
    """The hours of every plan in one table, and the numbers of each, the latest first."""
    _table(
        folder / "plans.csv",
        ("made_at", "course", "drill", "place", "minutes", "balls", "full_swings"),
        (
            (plan.made_at, plan.course, h.drill, h.place, h.minutes, h.balls, h.full_swings)
            for plan in reversed(plans)
            for h in plan.hours
        ),
    )
    made: Counter[str] = Counter()
    for plan in plans:
        made[plan.made_at] += 1  # a week and the one within its share may be of one second
        number = f"-{made[plan.made_at]}" if made[plan.made_at] > 1 else ""
        stamp = plan.made_at.replace(":", "") + number
        text = json.dumps(plan.results, ensure_ascii=False, indent=2)
        (folder / f"plan-{stamp}.json").write_text(text + "\n", encoding="utf-8")


def _write_cards(folder: Path, cards: Sequence[KeptCard]) -> None:
    """Every filled card with the cells of its file, no text of which runs in a spreadsheet; read again it is the same.

    Day and number make the name, which no name of a test can break.
    """
    for number, card in enumerate(cards, start=1):
        table = read_table(card.content, card.file_name, Layout())
        columns = [[cells.texts[code] for code in cells.codes.tolist()] for cells in table.cells]
        written = io.StringIO()
        writer = csv.writer(written, lineterminator="\r\n")
        writer.writerows(map(_safe_row, [table.header, *zip(*columns, strict=True)]))
        (folder / f"card-{card.day}-{number}.csv").write_text(
            written.getvalue(), encoding="utf-8", newline=""
        )


def _safe_row(cells: Iterable[str]) -> list[str]:
    return [cell if _is_number(cell) else safe_text(read_safe_text(cell)) for cell in cells]


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _table(path: Path, header: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(header)
    count = 0
    for row in rows:
        writer.writerow([safe_text(cell) if isinstance(cell, str) else cell for cell in row])
        count += 1
    if count:
        path.write_text(written.getvalue(), encoding="utf-8", newline="")


def profile_toml(profile: PlayerProfile) -> str:
    """A profile as the file that ``read_profile`` reads."""
    entries = [f"name = {_quoted(profile.name)}"]
    entries += [
        f"{key} = {value}"
        for key, value in (
            ("handicap", profile.handicap),
            ("age", profile.age),
            ("swings_a_week", profile.swings_a_week),
        )
        if value is not None
    ]
    entries += [f'hand = "{profile.hand}"', f'reference = "{profile.reference}"']
    if profile.clubs:
        entries += ["", "[carry_m]"]
        entries += [f"{_quoted(club)} = {carry_m!r}" for club, carry_m in profile.clubs.items()]
    return "\n".join(entries) + "\n"


def _quoted(text: str) -> str:
    # a TOML basic string escapes as JSON does, and 0x7F besides
    return json.dumps(text).replace("\x7f", "\\u007f")
