"""A filled card is never written over by the design of another test."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import pytest

from rangework.cli.assess.blank_card import keep_filled
from rangework.errors import InputError

sys.path.append(str(Path(__file__).parents[1] / "assessment"))

from filled_cards import blank_card, hit_card


def test_only_a_blank_card_may_be_replaced(tmp_path: Path) -> None:
    keep_filled(tmp_path / "new.csv")
    keep_filled(blank_card(tmp_path))


def test_balls_and_other_files_are_kept(tmp_path: Path) -> None:
    hit_card(tmp_path, "june.csv", date(2026, 6, 1), 3)
    (tmp_path / "shots.csv").write_text("date,session\n2026-06-01,one\n", encoding="utf-8")
    (tmp_path / "empty.csv").write_bytes(b"")
    (tmp_path / "picture.png").write_bytes(b"\x89PNG\xff\x00")
    for name in ("june.csv", "shots.csv", "empty.csv", "picture.png"):
        with pytest.raises(InputError, match="would be lost"):
            keep_filled(tmp_path / name)
