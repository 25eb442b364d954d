"""The roster file: players, balls, courses, plans, practised hours and forecasts in SQLite."""

from rangework.store.balls import player_records
from rangework.store.copying import back_up
from rangework.store.courses import Course, keep_course, kept_courses
from rangework.store.forecasts import forecasts_of, keep_forecasts
from rangework.store.forgetting import forget_player
from rangework.store.players import Player, add_player, find_player, keep_profile, kept_players
from rangework.store.practice import Practice, log_practice, practised
from rangework.store.record_files import Imported, import_records, imported_files
from rangework.store.roster_file import Roster, open_roster

__all__ = [
    "Course",
    "Imported",
    "Player",
    "Practice",
    "Roster",
    "add_player",
    "back_up",
    "find_player",
    "forecasts_of",
    "forget_player",
    "import_records",
    "imported_files",
    "keep_course",
    "keep_forecasts",
    "keep_profile",
    "kept_courses",
    "kept_players",
    "log_practice",
    "open_roster",
    "player_records",
    "practised",
]
