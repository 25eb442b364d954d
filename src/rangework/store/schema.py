"""The tables of a roster, as numbered migrations: number n brings a roster of schema n - 1 to n.

A migration that has shipped is never edited; a change is a new one at the end. Lengths are metres, days are ISO 8601
texts or, where there are millions of them, whole seconds since 1970. docs/reference/roster.md tells the tables.
"""

from __future__ import annotations

#: Marks a SQLite file as a roster ("rgwk" in the file's header).
APPLICATION_ID = 0x7267776B

_BALL_ORIGIN = """\
    file_id INTEGER NOT NULL,
    session INTEGER NOT NULL,
    position INTEGER NOT NULL,
    line INTEGER NOT NULL,
    moment INTEGER NOT NULL,"""
# a session's balls lie side by side on disk, and its key is their index
_BALL_KEYS = """\
    PRIMARY KEY (file_id, session, position),
    FOREIGN KEY (file_id, session) REFERENCES session (file_id, number) ON DELETE CASCADE
) WITHOUT ROWID"""

_PLAYERS_AND_BALLS = (
    """CREATE TABLE course (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    file_name TEXT NOT NULL,
    content BLOB NOT NULL,
    digest TEXT NOT NULL UNIQUE,
    kept_at TEXT NOT NULL
)""",
    """CREATE TABLE player (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL UNIQUE,
    handicap REAL,
    age INTEGER,
    age_on TEXT,
    hand TEXT NOT NULL CHECK (hand IN ('right', 'left')),
    reference TEXT NOT NULL CHECK (reference IN ('men', 'women')),
    swings_a_week INTEGER,
    home_course INTEGER REFERENCES course (id) ON DELETE SET NULL,
    added_at TEXT NOT NULL
)""",
    """CREATE TABLE player_club (
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    club TEXT NOT NULL,
    carry_m REAL NOT NULL,
    PRIMARY KEY (player_id, club)
) WITHOUT ROWID""",
    """CREATE TABLE record_file (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    name TEXT NOT NULL,
    digest TEXT NOT NULL,
    imported_at TEXT NOT NULL,
    balls_read INTEGER NOT NULL,
    balls_new INTEGER NOT NULL,
    rows_skipped INTEGER NOT NULL,
    UNIQUE (player_id, digest)
)""",
    """CREATE TABLE session (
    file_id INTEGER NOT NULL REFERENCES record_file (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    day INTEGER NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (file_id, number)
) WITHOUT ROWID""",
    f"""CREATE TABLE aimed (
{_BALL_ORIGIN}
    place TEXT NOT NULL,
    lie INTEGER NOT NULL,
    club TEXT NOT NULL,
    target_m REAL NOT NULL,
    long_m REAL,
    right_m REAL,
    measured TEXT NOT NULL,
    misread INTEGER NOT NULL,
    surface TEXT NOT NULL,
    purpose TEXT NOT NULL,
    wind TEXT NOT NULL,
    pin TEXT NOT NULL,
    ball TEXT NOT NULL,
{_BALL_KEYS}""",
    f"""CREATE TABLE putts (
{_BALL_ORIGIN}
    place TEXT NOT NULL,
    target_m REAL NOT NULL,
    holed INTEGER NOT NULL,
    long_m REAL,
    right_m REAL,
    purpose TEXT NOT NULL,
    ball TEXT NOT NULL,
{_BALL_KEYS}""",
    f"""CREATE TABLE log (
{_BALL_ORIGIN}
    round TEXT NOT NULL,
    hole INTEGER NOT NULL,
    stroke INTEGER NOT NULL,
    lie INTEGER NOT NULL,
    to_hole_m REAL NOT NULL,
    next_lie INTEGER NOT NULL,
    left_to_hole_m REAL,
    penalty INTEGER NOT NULL,
    picked_up INTEGER NOT NULL,
    conceded INTEGER NOT NULL,
    club TEXT NOT NULL,
{_BALL_KEYS}""",
)

_PLANS_AND_PRACTICE = (
    """CREATE TABLE plan (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    made_at TEXT NOT NULL,
    course TEXT NOT NULL,
    seed INTEGER NOT NULL,
    strokes_saved REAL NOT NULL,
    settings TEXT NOT NULL,
    results TEXT NOT NULL,
    page TEXT NOT NULL
)""",
    "CREATE INDEX plan_of_player ON plan (player_id, made_at)",
    """CREATE TABLE plan_hours (
    plan_id INTEGER NOT NULL REFERENCES plan (id) ON DELETE CASCADE,
    drill TEXT NOT NULL,
    name TEXT NOT NULL,
    place TEXT NOT NULL,
    minutes INTEGER NOT NULL,
    balls INTEGER NOT NULL,
    full_swings INTEGER NOT NULL,
    PRIMARY KEY (plan_id, drill)
) WITHOUT ROWID""",
    """CREATE TABLE practice (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    drill TEXT NOT NULL,
    hours REAL NOT NULL CHECK (hours > 0.0 AND hours <= 24.0),
    note TEXT NOT NULL,
    logged_at TEXT NOT NULL
)""",
    "CREATE INDEX practice_of_player ON practice (player_id, day)",
    """CREATE TABLE assessment (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    name TEXT NOT NULL,
    digest TEXT NOT NULL,
    results TEXT NOT NULL,
    UNIQUE (player_id, digest)
)""",
)

_TRIALS = (
    """CREATE TABLE trial (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    started TEXT NOT NULL,
    weeks REAL NOT NULL,
    first_drill TEXT NOT NULL,
    second_drill TEXT NOT NULL,
    assigned TEXT NOT NULL CHECK (assigned IN (first_drill, second_drill)),
    hours_a_week REAL NOT NULL,
    seed INTEGER NOT NULL,
    UNIQUE (player_id, started)
)""",
)

_FORECASTS = (
    """CREATE TABLE forecast (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    made TEXT NOT NULL,
    day TEXT NOT NULL,
    about TEXT NOT NULL CHECK (about IN ('round', 'test')),
    quantity TEXT NOT NULL,
    value REAL NOT NULL,
    low REAL NOT NULL,
    high REAL NOT NULL CHECK (low <= high),
    last REAL,
    against TEXT NOT NULL,
    UNIQUE (player_id, made, day, about, quantity, against)
)""",
)

_AIMS = ("ALTER TABLE log ADD COLUMN aim TEXT NOT NULL DEFAULT ''",)

# no version wrote to the table of assessments before this one
_CARDS = (
    "DROP TABLE assessment",
    """CREATE TABLE assessment (
    id INTEGER PRIMARY KEY,
    player_id INTEGER NOT NULL REFERENCES player (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    name TEXT NOT NULL,
    balls INTEGER NOT NULL,
    file_name TEXT NOT NULL,
    content BLOB NOT NULL,
    digest TEXT NOT NULL,
    kept_at TEXT NOT NULL,
    UNIQUE (player_id, digest)
)""",
)

MIGRATIONS: tuple[tuple[str, ...], ...] = (
    _PLAYERS_AND_BALLS,
    _PLANS_AND_PRACTICE,
    _TRIALS,
    _FORECASTS,
    _AIMS,
    _CARDS,
)
#: The schema that this version writes.
NEWEST = len(MIGRATIONS)
