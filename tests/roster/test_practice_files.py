"""Hours practised come in from a file as they went out, each line once, and a slip is told."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.errors import InputError
from rangework.plan.drills import drill_catalogue
from rangework.records.profile import PlayerProfile
from rangework.roster.exporting import export_player
from rangework.roster.practice_files import is_practice_file, keep_practice, read_practice_file
from rangework.store import Practice, add_player, log_practice, open_roster, practised

sys.path.append(str(Path(__file__).parents[2] / "benchmarks"))
import malformed_files

DRILLS = {drill.id: drill.name for drill in drill_catalogue()}


def written(folder: Path, *rows: str, header: str = "day,drill,hours,note") -> Path:
    path = folder / "hours.csv"
    path.write_text("\n".join([header, *rows, ""]), encoding="utf-8")
    return path


def test_what_goes_out_comes_in_again_once(tmp_path: Path) -> None:
    lines = [
        Practice("2026-06-01", "long_putts_holed_out", 0.1 + 0.2, "=1+1"),
        Practice("2026-06-02", "my_own_drill", 1.0, "a, b\u202e"),
    ]
    with (
        open_roster(tmp_path / "one.roster", make=True) as one,
        open_roster(tmp_path / "two.roster", make=True) as two,
    ):
        first, second = (add_player(roster, PlayerProfile(name="Wren")).id for roster in (one, two))
        for line in lines:
            log_practice(one, first, line)
        export_player(one, "Wren", tmp_path / "out")
        read = read_practice_file(tmp_path / "out" / "practice.csv", DRILLS, skip_bad_rows=False)
        assert [keep_practice(two, "Wren", read) for _ in range(2)] == [2, 0]
        assert practised(two, second) == lines
        export_player(two, "Wren", tmp_path / "again")
    assert len({(tmp_path / out / "practice.csv").read_bytes() for out in ("out", "again")}) == 1


def test_every_fault_is_told(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "2026-06-01,Long puts,0.5,",
        "1.6.2026,Long putts; holed out?,17,",
        "2026-06-03,long_putts_holed_out,x,y",
    )
    with pytest.raises(InputError) as told:
        read_practice_file(path, DRILLS, skip_bad_rows=False)
    places = [problem.place for problem in told.value.problems]
    assert places == [
        "row 2, column drill", "row 3, column day", "row 3, column drill", "row 3, column hours", "row 4, column hours",
    ]  # fmt: skip
    with pytest.raises(InputError):
        read_practice_file(path, DRILLS, skip_bad_rows=True)


def test_the_header_tells_what_it_is(tmp_path: Path) -> None:
    assert is_practice_file(written(tmp_path, header="Date,drill,Hours"))
    assert not is_practice_file(written(tmp_path, header="date,drill,hours,target_yd"))
    assert not is_practice_file(written(tmp_path, header="date,place,lie,target_yd,long_yd,right_yd"))


def run(club: Path, *arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["roster", *map(str, arguments), "--roster", str(club)])


def test_import_as_a_coach_does_it(tmp_path: Path) -> None:
    club = tmp_path / "club.roster"
    run(club, "add", "Wren")
    path = written(tmp_path, "2026-06-01,long putts, 0.5", header="date,drill,hours")
    assert run(club, "import", "Wren", path).exit_code == 2
    path = written(
        tmp_path,
        '2026-06-01,"LONG PUTTS, HOLED OUT",0.5',
        "2026-06-02,chips_to_a_landing_spot,9e9",
        header="date,drill,hours",
    )
    told = run(club, "import", "Wren", path, "--skip-bad-rows").output
    assert "hours.csv: 1 line of practice" in told
    assert "row 3, column hours is '9e9'" in told
    assert (
        "nothing changed: 1 line of practice" in run(club, "import", "Wren", path, "--skip-bad-rows").output
    )
    assert "practised 30 min of Long putts, holed out" in run(club, "history", "Wren").output


def test_good_lines_of_the_malformed_run_are_good(tmp_path: Path) -> None:
    path = tmp_path / "practice.csv"
    path.write_bytes(malformed_files.PRACTICE.encode())
    assert len(read_practice_file(path, DRILLS, skip_bad_rows=False).lines) == 3
