"""Whatever happens to the disk, the process or the files: a message, exit code 2, and no harm."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[2] / "benchmarks"))
import malformed_files
import roster_kills
from rangework.records.profile import PlayerProfile
from rangework.store import add_player, kept_players, open_roster
from rangework.store.copying import damage


@pytest.fixture
def club(tmp_path: Path) -> Path:
    path = tmp_path / "club.roster"
    with open_roster(path, make=True) as roster:
        add_player(roster, PlayerProfile(name="Wren"))
    return path


def test_malformed_files() -> None:
    found = malformed_files.run(150, seed=1)
    assert not [what for what in found if what.startswith("FAULT")], found
    assert found["exit 2"] > 80


def test_good_files_are_read(tmp_path: Path) -> None:
    """The negative control of the run above: without damage every file is taken."""
    club = tmp_path / "club.roster"
    for name, content in malformed_files.good_files().items():
        if name in ("semicolon-export.csv", "practice.csv") or "device" in name:
            continue
        path = tmp_path / name
        path.write_bytes(content)
        command = malformed_files.command_for(path, club, 1)
        assert malformed_files.read_one(command) == "exit 0", name
    assert not club.exists()


@pytest.mark.slow
def test_kills() -> None:
    found = roster_kills.run(kills=8, plans=3, seed=3, longest_s=3.0)
    assert found["faults"] == 0, found
    assert found["imports there"] > 0
    assert found["plans"] > 0


FILLING = """
    import resource, signal, sys
    from pathlib import Path
    from rangework.cli.main import main
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv.pop(1)),) * 2)
    main()
"""


def test_a_disk_that_fills_up(club: Path, tmp_path: Path) -> None:
    """No file may grow beyond what it is and a little: as on a full disk, writing fails half-way."""
    balls, _ = roster_kills.write_files(tmp_path)
    before = club.read_bytes()
    script = tmp_path / "filling.py"
    script.write_text(textwrap.dedent(FILLING))
    arguments = ["roster", "import", "Wren", str(balls), "--roster", str(club)]
    done = subprocess.run(
        [sys.executable, str(script), str(len(before) + 20_000), *arguments], capture_output=True, text=True
    )
    assert done.returncode == 2, done.stdout + done.stderr
    assert "disk" in done.stderr
    assert not damage(club)
    with open_roster(club) as roster:
        assert roster.connection.execute("SELECT count(*) FROM aimed").fetchone() == (0,)
    done = subprocess.run(
        [sys.executable, str(script), str(10**9), *arguments], capture_output=True, text=True
    )
    assert "4000 balls" in done.stdout, done.stdout + done.stderr


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of one megabyte, where this machine lets tests mount one."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    if (
        mount is None
        or subprocess.run(
            [mount, "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)], capture_output=True
        ).returncode
    ):
        pytest.skip("no rights to mount a disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def rangework(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    code = "from rangework.cli.main import main; main()"
    return subprocess.run([sys.executable, "-c", code, *map(str, arguments)], capture_output=True, text=True)


def test_a_full_disk_and_a_read_only_one(club: Path, small_disk: Path, tmp_path: Path) -> None:
    balls, _ = roster_kills.write_files(tmp_path)
    kept = small_disk / "club.roster"
    shutil.copy(club, kept)
    rows = balls.read_text()
    for year in range(2020, 2040):
        balls.write_text(rows.replace("2026-05", f"{year}-05"))
        done = rangework("roster", "import", "Wren", balls, "--roster", kept)
        if done.returncode:
            break
    assert done.returncode == 2, done.stderr
    assert "disk" in done.stderr
    assert not damage(kept)
    full = rangework("roster", "backup", small_disk / "copy.roster", "--roster", kept)
    assert full.returncode == 2
    assert not (small_disk / "copy.roster").exists()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    assert "Wren" in rangework("roster", "list", "--roster", kept).stdout
    done = rangework("roster", "add", "Ada", "--roster", kept)
    assert done.returncode == 2, done.stdout
    assert "read-only" in done.stderr or "may be written" in done.stderr


def test_a_file_without_the_right_to_write(club: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root may write everywhere")
    club.chmod(0o400)
    done = rangework("roster", "add", "Ada", "--roster", club)
    assert done.returncode == 2
    club.chmod(0o600)
    with open_roster(club) as roster:
        assert len(kept_players(roster)) == 1


def test_the_limit_on_files_is_there() -> None:
    """What the test of the filling disk rests on."""
    assert hasattr(resource, "RLIMIT_FSIZE")
