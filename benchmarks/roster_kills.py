"""Kills imports and plans of a roster at random moments, and looks at what is left.

``python benchmarks/roster_kills.py [--kills 200] [--plans 40] [--seed 0]``. After each kill the roster must
open, SQLite's own check must pass, every import must be wholly there or wholly absent, and every plan kept must
have its hours. Prints the counts; exit code 1 where one fails.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import numpy as np

from rangework.records.profile import PlayerProfile
from rangework.store import add_player, find_player, open_roster
from rangework.store.copying import damage

BALLS = 4000
#: Imports a file again and again under new names of players, each in one transaction, until it is killed.
IMPORTING = """
import sys
from pathlib import Path
from rangework.records.profile import PlayerProfile
from rangework.roster.importing import keep_files, read_file
from rangework.store import add_player, open_roster
roster, balls, putts, start = Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), sys.argv[4]
read = [read_file(file, (), skip_bad_rows=False) for file in (balls, putts)]
print("ready", flush=True)
for number in range(100_000):
    name = f"{start} {number}"
    with open_roster(roster) as kept:
        add_player(kept, PlayerProfile(name=name))
        keep_files(kept, name, read)
"""
#: Keeps plans of a player, one after another: what `roster plan` does as each is made.
KEEPING_PLANS = """
import sys
from pathlib import Path
from rangework.plan.practice_plan import DrillHours
from rangework.store import open_roster
from rangework.store.plans import keep_plan
print("ready", flush=True)
hours = [DrillHours(f"drill {n}", f"drill {n}", "range", 60, 50, 50) for n in range(HOURS)]
with open_roster(Path(sys.argv[1])) as kept:
    while True:
        keep_plan(kept, 1, course="c", seed=0, strokes_saved=0.5, settings={}, results={"x": ["y"] * 5000},
                  page="p" * 20000, hours=hours)
"""
HOURS = 12


def write_files(folder: Path) -> tuple[Path, Path]:
    rng = np.random.default_rng(0)
    header = "date,place,lie,target_yd,long_yd,right_yd"
    rows = [
        f"2026-05-{1 + n % 28:02d},range,fairway,140,{a:.2f},{b:.2f}"
        for n, (a, b) in enumerate(rng.normal(0, 10, (BALLS, 2)))
    ]
    balls, putts = folder / "balls.csv", folder / "putts.csv"
    balls.write_text("\n".join([header, *rows, ""]))
    putts.write_text("\n".join(["date,lie,target_ft,holed", *["2026-05-01,green,8,1"] * 100, ""]))
    return balls, putts


def killed(script: str, arguments: list[str], moment_s: float) -> None:
    """Start, wait until it is at work, and kill it so many seconds later."""
    work = subprocess.Popen(
        [sys.executable, "-c", script.replace("HOURS", str(HOURS)), *arguments],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert work.stdout is not None
    if "ready" not in work.stdout.readline():
        raise RuntimeError(f"it ended by itself: {work.wait()}")
    time.sleep(moment_s)
    if work.poll() is not None:
        raise RuntimeError(f"it ended by itself: {work.returncode}")
    os.kill(work.pid, signal.SIGKILL)
    work.wait()
    work.stdout.close()


def looked_at(roster: Path) -> Counter[str]:
    """What is left, counted; ``faults`` must be 0."""
    found: Counter[str] = Counter()
    with open_roster(roster) as kept:
        connection = kept.connection
        for (player,) in connection.execute("SELECT id FROM player WHERE id > 1").fetchall():
            files = connection.execute(
                "SELECT id, balls_new FROM record_file WHERE player_id = ?", (player,)
            ).fetchall()
            rows = sum(
                connection.execute(f"SELECT count(*) FROM {kind} WHERE file_id = ?", (file,)).fetchone()[0]
                for file, _ in files
                for kind in ("aimed", "putts")
            )
            whole = len(files) == 2 and rows == BALLS + 100
            found["imports there" if whole else "imports absent"] += 1
            found["faults"] += not whole and (bool(files) or bool(rows))
        for (count,) in connection.execute(
            "SELECT count(drill) FROM plan LEFT JOIN plan_hours ON plan_id = plan.id GROUP BY plan.id"
        ):
            found["plans"] += 1
            found["faults"] += count != HOURS
    fault = damage(roster)
    found["faults"] += bool(fault)
    return found


def run(kills: int, plans: int, seed: int, longest_s: float = 0.6) -> Counter[str]:
    """What was left after so many kills, each at most ``longest_s`` after the work began: a slow machine takes more."""
    rng = np.random.default_rng(seed)
    total: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        roster = Path(folder) / "club.roster"
        files = [str(file) for file in write_files(Path(folder))]
        for number in range(kills):
            if number % 50 == 0:  # a fresh file now and then: the making of it is killed too
                for left in Path(folder).glob("club.roster*"):
                    left.unlink()
                with open_roster(roster, make=True) as kept:
                    add_player(kept, PlayerProfile(name="planned for"))
                    assert find_player(kept, "planned for").id == 1
            if number % (kills // max(plans, 1) or 1) == 0 and plans:
                killed(KEEPING_PLANS, [str(roster)], rng.uniform(0.0, longest_s))
                total["kills while plans were kept"] += 1
            else:
                killed(IMPORTING, [str(roster), *files, str(number)], rng.uniform(0.0, longest_s))
                total["kills while importing"] += 1
            found = looked_at(roster)
            total["faults"] += found.pop("faults")
            if number % 50 == 49 or number == kills - 1:
                total += found
            if total["faults"]:
                print(f"after kill {number + 1}: {found}")
                break
    return total


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--kills", type=int, default=200)
    options.add_argument("--plans", type=int, default=40)
    options.add_argument("--seed", type=int, default=0)
    given = options.parse_args()
    found = run(given.kills, given.plans, given.seed)
    for what in sorted(found):
        print(f"{what}: {found[what]}")
    print(f"faults: {found['faults']}")
    sys.exit(bool(found["faults"]))


if __name__ == "__main__":
    main()
