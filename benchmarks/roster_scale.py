"""How a roster grows: players imported, opened, listed; the cost of one player must not depend on how many there are.

``python benchmarks/roster_scale.py [--players 10000] [--balls 1000]``. Times are of this process's processor
(and, of imports, by the clock on the wall); each step is timed anew as the roster grows. The records are made once, so
that the time is that of importing.

With ``--plans 6`` instead: what a plan of each of six players of the demo's squad costs in a roster of the squad alone,
and in one with ``--players`` more.

With ``--everybody 300`` instead: `roster plan --all` for so many players, the demo's squad again and again under other
names, with shared hours and pages, by ``--processes`` at once. Prints what it cost, and that nobody was left out.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
from click.testing import CliRunner

from rangework.cli.checking import toml_kind
from rangework.cli.main import rangework
from rangework.demo.squad import squad_files
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords, from_frames, make_frame
from rangework.roster.folder import keep_folder, read_folder
from rangework.store import add_player, find_player, import_records, open_roster, player_records
from rangework.store.record_files import lines


def made_records(balls: int, rng: np.random.Generator) -> ShotRecords:
    """Range balls of ten sessions."""
    session = np.arange(balls) * 10 // balls
    texts = {name: [""] * balls for name in ("surface", "purpose", "wind", "pin", "ball")}
    values = {
        "date": np.datetime64("2026-01-05", "s") + session * np.timedelta64(7, "D"),
        "session": [f"session {number}" for number in session],
        "place": ["range"] * balls,
        "lie": np.full(balls, 1),
        "club": ["seven iron"] * balls,
        "target_m": np.full(balls, 130.0),
        "long_m": rng.normal(-2.0, 9.0, balls),
        "right_m": rng.normal(1.0, 9.0, balls),
        "measured": ["carry"] * balls,
        "misread": np.zeros(balls, bool),
        "source": ["balls.csv"] * balls,
        "row": np.arange(2, balls + 2),
        **texts,
    }
    return from_frames({"aimed": make_frame("aimed", values)})


def run(players: int, balls: int, steps: int = 5) -> Iterator[dict[str, float]]:
    """A row at each step: players, milliseconds of import by player since the last one, of open, read, list; size."""
    rng = np.random.default_rng(0)
    records = [made_records(balls, rng) for _ in range(8)]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.roster"
        for step in range(steps):
            first, last = players * step // steps, players * (step + 1) // steps
            start, wall = time.process_time(), time.monotonic()
            for number in range(first, last):
                with open_roster(path, make=True) as roster, roster.writing():
                    player = add_player(roster, PlayerProfile(name=f"player {number}", handicap=10.0))
                    import_records(roster, player.id, "balls.csv", str(number), records[number % 8])
            row = {
                "players": last,
                "import_ms": 1e3 * (time.process_time() - start) / (last - first),
                "import_wall_ms": 1e3 * (time.monotonic() - wall) / (last - first),
            }
            yield row | _looked(path, last, rng) | {"size_mb": path.stat().st_size / 1e6}


def _looked(path: Path, players: int, rng: np.random.Generator) -> dict[str, float]:
    start = time.process_time()
    with open_roster(path) as roster:
        opened = time.process_time()
        for number in rng.integers(0, players, 20):
            assert player_records(roster, find_player(roster, f"player {number}").id).n_balls
        read = time.process_time()
        assert len(lines(roster)) == players
        listed = time.process_time()
    return {
        "open_ms": 1e3 * (opened - start),
        "read_one_ms": 1e3 * (read - opened) / 20,
        "list_ms": 1e3 * (listed - read),
    }


def plan_costs(others: int, balls: int, plans: int, draws: int) -> Iterator[tuple[int, list[float]]]:
    """Players of a roster, and seconds of processor that each of ``plans`` plans took, with what it reads first."""
    for more in (0, others):
        with tempfile.TemporaryDirectory() as folder:
            path = squad_roster(Path(folder))
            with open_roster(path) as roster, roster.writing():
                rng = np.random.default_rng(0)
                records = [made_records(balls, rng) for _ in range(8)]
                for number in range(more):
                    player = add_player(roster, PlayerProfile(name=f"player {number}", handicap=10.0))
                    import_records(roster, player.id, "balls.csv", str(number), records[number % 8])
            with open_roster(path) as roster:
                names = [line.name for line in lines(roster)]
            squad = [name for name in names if not name.startswith("player ")][:plans]
            yield len(names), [_planned(path, name, draws) for name in squad]


def squad_roster(folder: Path) -> Path:
    """A roster of the demo's squad."""
    for name, text in squad_files().items():
        (folder / name).write_text(text, encoding="utf-8")
    course = files("rangework.demo").joinpath("files", "course.toml")
    (folder / "course.toml").write_bytes(course.read_bytes())
    path = folder / "club.roster"
    with open_roster(path, make=True) as roster:
        keep_folder(roster, read_folder(folder, toml_kind))
    return path


def _planned(path: Path, name: str, draws: int) -> float:
    """Seconds of processor of `roster plan NAME` in this process, on one thread."""
    start = time.process_time()
    options = ["--hours", "4", "--draws", str(draws), "--processes", "1", "--roster", str(path)]
    done = CliRunner().invoke(rangework, ["roster", "plan", name, *options])
    if done.exit_code:
        raise RuntimeError(done.output)
    return time.process_time() - start


def everybody(players: int, draws: int, processes: int) -> dict[str, float]:
    """What `roster plan --all` costs for so many players: seconds of all processors, of the clock, and memory."""
    with tempfile.TemporaryDirectory() as folder:
        path = many_roster(Path(folder), players)
        arguments = [
            "roster",
            "plan",
            "--all",
            "--hours",
            "4",
            "--draws",
            str(draws),
            "--processes",
            str(processes),
        ]
        arguments += [
            "--capacity",
            f"range={1.2 * players}",
            "--capacity",
            f"short_game_area={0.7 * players}",
        ]
        arguments += ["--pages", f"{folder}/monday", "--json", f"{folder}/monday.json", "--roster", str(path)]
        before, wall = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
        calls = [sys.executable, "-c", "from rangework.cli.main import rangework; rangework()"]
        subprocess.run([*calls, *arguments], check=True, stdout=subprocess.DEVNULL)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        told = json.loads(Path(folder, "monday.json").read_text("utf-8"))["players"]
        return {
            "planned": sum(each["fault"] is None for each in told),
            "pages": len(list(Path(folder, "monday").glob("*.html"))) - 1,
            "processor_s": after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime,
            "clock_s": time.monotonic() - wall,
            "largest_process_mb": after.ru_maxrss / 1024.0,
        }


def many_roster(folder: Path, players: int) -> Path:
    """A roster of so many players: those of the demo's squad, again and again under other names."""
    squad = folder / "squad"
    squad.mkdir()
    path = squad_roster(squad)
    found = read_folder(squad, toml_kind)
    with open_roster(path) as roster:
        for start in range(len(found.players), players, len(found.players)):
            more = [
                replace(each, profile=replace(each.profile, name=f"{each.profile.name} {start + number}"))
                for number, each in enumerate(found.players[: players - start])
            ]
            keep_folder(roster, replace(found, players=tuple(more)))
    return path


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--players", type=int, default=10_000)
    options.add_argument("--balls", type=int, default=1_000)
    options.add_argument("--plans", type=int, default=0)
    options.add_argument("--draws", type=int, default=100)
    options.add_argument("--everybody", type=int, default=0)
    options.add_argument("--processes", type=int, default=2)
    given = options.parse_args()
    if given.everybody:
        cost = everybody(given.everybody, given.draws, given.processes)
        minutes = {key: cost[key] / 60.0 for key in ("processor_s", "clock_s")}
        print(
            f"{cost['planned']} of {given.everybody} players planned, {cost['pages']} pages: "
            f"{cost['processor_s'] / given.everybody:.1f} s of a processor a player, {minutes['processor_s']:.1f} min, "
            f"by the clock {minutes['clock_s']:.1f} min; largest process {cost['largest_process_mb']:.0f} MB"
        )
        sys.exit(cost["planned"] < given.everybody or cost["pages"] < given.everybody)
    if given.plans:
        for players, seconds in plan_costs(given.players, given.balls, given.plans, given.draws):
            told = ", ".join(f"{each:.1f}" for each in seconds)
            print(f"{players} players: {np.mean(seconds):.1f} s a plan ({told})", flush=True)
        return
    print(" players  import  (wall)    open  read one    list   size", flush=True)
    for row in run(given.players, given.balls):
        print(
            f"{row['players']:8.0f}{row['import_ms']:8.1f}{row['import_wall_ms']:8.1f}{row['open_ms']:8.1f}"
            f"{row['read_one_ms']:10.1f}{row['list_ms']:8.0f}{row['size_mb']:7.0f}  (ms, MB)",
            flush=True,
        )


if __name__ == "__main__":
    main()
