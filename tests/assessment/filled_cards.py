"""Cards of practice tests for tests: 24 balls on four greens of the demo course."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rangework.demo.filled_card import filled_card

HEADER = (
    "assessment,ball,date,session,place,lie,target_yd,measured,long_yd,right_yd,misread,holed,purpose,measured_by,"
    "tee,hole,pin,pin_distance_yd,run_yd,pin_side,pin_depth,short_side,reference,reference_group"
)
GREENS = ((2, "left", "left"), (4, "middle", "middle"), (7, "right", "right"), (11, "back-left", "left"))
DISTANCES = (60, 85, 105, 120, 140, 160)


def blank_card(folder: Path, *, measured_by: str = "device", reference: str = "14") -> Path:
    """A card that nobody has hit yet."""
    asked = [(yards, *green) for yards in DISTANCES for green in GREENS]
    balls = [
        f"June test,{number},,June test,range,fairway,{yards},finish,,,,,test,{measured_by},middle,"
        f"{hole},{pin},{yards},0,{side},middle,{'none' if side == 'middle' else side},{reference},men"
        for number, (yards, hole, pin, side) in enumerate(asked, 1)
    ]
    file = folder / "blank.csv"
    file.write_text("\n".join([HEADER, *balls, ""]), encoding="utf-8")
    return file


def hit_card(folder: Path, name: str, day: date, seed: int) -> Path:
    """The card as the demo's invented player hit it."""
    file = folder / name
    file.write_text(filled_card(blank_card(folder), day, steps={}, seed=seed), encoding="utf-8", newline="")
    return file
