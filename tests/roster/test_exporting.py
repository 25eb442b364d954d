"""What goes out comes back in: the same balls to the last bit, the same bytes, and no text that runs."""

from __future__ import annotations

import csv
from pathlib import Path

import pandas as pd
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangework.records.profile import PlayerProfile, read_profile
from rangework.records.safe_text import read_safe_text, safe_text, shown_text
from rangework.records.shots import KINDS
from rangework.roster.exporting import export_player, profile_toml
from rangework.roster.importing import keep_files, read_file
from rangework.store import Practice, add_player, log_practice, open_roster, player_records
from rangework.store.trials import Assignment, keep_assignments

ODD = '=cmd()|"x",+1\u202e'
HEADER = "date,session,place,lie,club,target_yd,long_yd,right_yd,holed"
ROWS = (
    f'2026-05-04,"{ODD.replace(chr(34), chr(34) * 2)}",range,tee,@driver,230.1,-10.3,5.5,',
    "2026-05-04,-2+3,range,tee,'=x,230,0.30000000000000004,-0.0,",
    "2026-05-04,p,green,green,,3.3,,,1",
)


def test_export_import_export(tmp_path: Path) -> None:
    source = tmp_path / "odd.csv"
    source.write_text("\n".join([HEADER, *ROWS, ""]), encoding="utf-8")
    with (
        open_roster(tmp_path / "one.roster", make=True) as one,
        open_roster(tmp_path / "two.roster", make=True) as two,
    ):
        first = add_player(
            one, PlayerProfile(name=ODD, handicap=-1.5, age=30, clubs={'7 "iron"\x7f': 130.25})
        )
        keep_files(one, ODD, [read_file(source, (), skip_bad_rows=False)])
        log_practice(one, first.id, Practice("2026-06-01", "d", 0.1, "=1+1"))
        keep_assignments(one, [Assignment(first.id, "2026-06-01", 8.0, "d", "e", "e", 1.0, 7)])
        written = export_player(one, ODD, tmp_path / "out")
        assert [path.name for path in written] == [
            "balls.csv", "files.csv", "player.toml", "practice.csv", "trials.csv",
        ]  # fmt: skip
        assert "2026-06-01,8.0,d,e,e,1.0,7" in (tmp_path / "out" / "trials.csv").read_text()
        profile = read_profile(tmp_path / "out" / "player.toml")
        assert profile == first.profile
        second = add_player(two, profile)
        keep_files(two, ODD, [read_file(tmp_path / "out" / "balls.csv", (), skip_bad_rows=False)])
        for kind in KINDS:
            frames = [player_records(r, p.id).frame(kind) for r, p in ((one, first), (two, second))]
            plain = [frame.drop(columns=["source", "row"]) for frame in frames]
            pd.testing.assert_frame_equal(*plain, check_exact=True)
        export_player(two, ODD, tmp_path / "again")
    for name in ("balls.csv", "player.toml"):
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "again" / name).read_bytes()
    for path in written:
        for row in csv.reader(path.read_text("utf-8").splitlines()) if path.suffix == ".csv" else ():
            assert not [cell for cell in row if cell[:1] in "=@" and cell]
            assert not [cell for cell in row if cell[:1] in "+-" and cell and not is_number(cell)]


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


@given(text=st.text(st.characters(codec="utf-8"), max_size=12) | st.text("'=+-@<>U\u202e0a", max_size=9))
@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
def test_safe_texts_read_back(text: str) -> None:
    written = safe_text(text)
    assert read_safe_text(written) == text
    assert written[:1] not in ("=", "+", "-", "@")
    assert not set(written) & set("\u202e\u2066\u200f\x1b")


def test_names_are_shown_and_plain_texts_are_left_as_they_are() -> None:
    assert shown_text("Wren\u202e<b>") == "Wren<U+202E><b>"
    assert safe_text("Zoë O'Hara <7 iron>") == "Zoë O'Hara <7 iron>"


def test_a_profile_with_odd_letters_reads_back(tmp_path: Path) -> None:
    profile = PlayerProfile(name='a"\\\u202e\x1b', clubs={"5.wood": 170.1}, swings_a_week=20, hand="left")
    (tmp_path / "player.toml").write_text(profile_toml(profile), encoding="utf-8")
    assert read_profile(tmp_path / "player.toml") == profile
