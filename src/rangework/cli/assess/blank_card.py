"""A card may be designed anew over a blank one, never over one that holds balls, or over any other file."""

from __future__ import annotations

import csv
from pathlib import Path

from rangework.errors import InputError, Problem

#: Columns that are filled in; those of lengths have a unit behind.
_RESULTS = ("long_", "right_", "misread", "holed", "gained")


def keep_filled(file: Path) -> None:
    """Raise InputError where ``file`` is there and is not a card without a ball."""
    if file.exists() and not _is_blank_card(file):
        expected = "a new file, or a card without a ball: what this one holds would be lost"
        raise InputError(
            Problem("--csv", "", str(file), expected, "Give another name, or move the file away.")
        )


def _is_blank_card(file: Path) -> bool:
    try:
        rows = list(csv.DictReader(file.read_text("utf-8-sig").splitlines()))
    except (OSError, UnicodeDecodeError, csv.Error):
        return False
    filled = [value for row in rows for name, value in row.items() if name and name.startswith(_RESULTS)]
    return bool(rows) and "assessment" in rows[0] and not any(filled)
