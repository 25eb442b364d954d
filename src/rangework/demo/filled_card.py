"""The demo's invented player fills in a card: what a tutorial, a study or a demonstration tests."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import numpy as np

from rangework.assessment.card import PACED_M, PACED_SHARE
from rangework.demo.hidden_player import Day, hidden_player, hit_balls
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.records.card_columns import is_card
from rangework.records.table import read_bytes
from rangework.skill.model import Golfer
from rangework.skill.parts import improve
from rangework.units import METRES_PER

_LIES = {"bunker": Lie.SAND, "trees": Lie.RECOVERY, "green": Lie.FAIRWAY, "fringe": Lie.FAIRWAY}


def filled_card(card: Path, day: date, *, steps: Mapping[str, float], seed: int) -> str:
    """The card's text with every empty ball hit on ``day`` by the invented player after ``steps`` of each part.

    The day has effects of its own. Balls that are filled already stay. Raises InputError where it is no card.
    """
    text = read_bytes(card).decode("utf-8-sig")
    rows = csv.DictReader(io.StringIO(text))
    header = tuple(rows.fieldnames or ())
    if not is_card(header):
        raise InputError(Problem(str(card), "header", "", "the column assessment of a practice test's card"))
    golfer, rng = hidden_player(), np.random.default_rng([seed, 6])
    for part, count in steps.items():
        golfer = improve(golfer, part, count)
    today = Day.drawn(rng)
    out = io.StringIO()
    writer = csv.DictWriter(out, header, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow(
            row if _is_hit(row) else row | _hit(row, golfer, today, rng) | {"date": day.isoformat()}
        )
    return out.getvalue()


def _is_hit(row: Mapping[str, str]) -> bool:
    return any(
        row.get(name) for name in row if name.startswith(("long_", "right_")) or name in ("misread", "holed")
    )


def _hit(row: Mapping[str, str], golfer: Golfer, day: Day, rng: np.random.Generator) -> dict[str, str]:
    """Where the ball of a row went, in the unit of each column, measured as the card says."""
    word = row.get("lie", "fairway") or "fairway"
    lie = _LIES.get(word) or Lie[word.upper()]
    lie = Lie.FAIRWAY if lie is Lie.TEE else lie
    total_m = np.array([_metres(row, "target") + _metres(row, "run")])
    long_m, right_m, _ = hit_balls(golfer, lie, total_m, day, rng, on_range=row.get("place") == "range")
    paced = row.get("measured_by") == "paced"
    off_m = float(np.hypot(long_m[0], right_m[0]))
    error_m = np.hypot(PACED_M, PACED_SHARE * off_m) * rng.standard_normal(2) if paced else np.zeros(2)
    told = {"long": float(long_m[0] + error_m[0]), "right": float(right_m[0] + error_m[1])}
    return {
        name: _written(told[side] / METRES_PER[unit], paced=paced)
        for name in row
        if (side := name.rpartition("_")[0]) in told and (unit := name.rpartition("_")[2]) in METRES_PER
    }


def _metres(row: Mapping[str, str], name: str) -> float:
    found = [
        float(row[f"{name}_{unit}"]) * size for unit, size in METRES_PER.items() if row.get(f"{name}_{unit}")
    ]
    return found[0] if found else 0.0


def _written(length: float, *, paced: bool) -> str:
    return f"{round(length) + 0.0:.0f}" if paced else f"{round(length, 1) + 0.0:.1f}"
