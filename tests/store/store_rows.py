"""Rows of a small file with a ball of every kind."""

from __future__ import annotations

from pathlib import Path

HEADER = (
    "date,session,place,lie,club,target_yd,long_yd,right_yd,target_ft,holed,"
    "round,hole,stroke,to_hole_yd,next_lie,left_to_hole_yd"
)
ROWS = (
    "2026-05-04,first,range,tee,driver,230,-10.3,5.5,,,,,,,,",
    "2026-05-04,first,range,tee,driver,230,-10.3,5.5,,,,,,,,",
    "2026-05-04T10:30:00,second,range,fairway,seven iron,140,-0.0,0.1,,,,,,,,",
    "2026-05-05,p,green,green,,,,,3.0,1,,,,,,",
    "2026-05-05,p,green,green,,,,,3.0,0,,,,,,",
    "2026-05-06,r,course,tee,,,,,,,1,1,1,385,rough,166.9",
    "2026-05-06,r,course,rough,,,,,,,1,1,2,167,holed,0",
)


def write_rows(path: Path, rows: tuple[str, ...] | list[str] = ROWS) -> Path:
    path.write_text("\n".join([HEADER, *rows, ""]), encoding="utf-8")
    return path
