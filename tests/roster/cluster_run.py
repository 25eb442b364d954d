"""Plans the same players one after another, over two processes, and on two machines of which one is killed.

``python tests/roster/cluster_run.py FOLDER`` prints ``equal`` where all plans agree to the last bit; FOLDER holds
``course.toml`` and is worked in. A test runs it; so may anyone.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from rangework.cli.plan_results import plan_results
from rangework.cli.results import plain
from rangework.course import read_course
from rangework.plan.drills import drill_catalogue
from rangework.plan.limits import safe_limits
from rangework.records import read_records
from rangework.records.profile import PlayerProfile
from rangework.roster.planning import Job, Settings, plan_all

PLAYERS = 3
SETTINGS = Settings(drill_catalogue(), draws=4)


class Render:
    """The numbers of a plan, and a mark that a player is being planned for."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __call__(self, job: Job, advice: Any, settings: Settings) -> tuple[str, dict[str, Any]]:
        (self.folder / f"{job.player}-{os.getpid()}").touch()
        return "page", plain(plan_results(advice))


def jobs(folder: Path, done: frozenset[int]) -> Iterator[Job]:
    course = read_course(folder / "course.toml")
    for player in range(PLAYERS):
        if player not in done:
            records = read_records([folder / f"{player}.csv"])
            profile = PlayerProfile(name=f"player {player}", handicap=5.0 + 5.0 * player)
            yield Job(player, profile, records, course, safe_limits(hours=3.0))


def write_records(folder: Path) -> None:
    for player in range(PLAYERS):
        rng = np.random.default_rng(player)
        rows = [
            f"2026-05-04,range,fairway,140,{rng.normal(-2, 9):.1f},{rng.normal(1, 10):.1f}" for _ in range(30)
        ]
        header = "date,place,lie,target_yd,long_yd,right_yd"
        (folder / f"{player}.csv").write_text("\n".join([header, *rows, ""]))


def planned(folder: Path, **options: Any) -> dict[int, str]:
    marks = folder / f"marks-{time.monotonic_ns()}"
    marks.mkdir()
    work = plan_all(lambda done: jobs(folder, done), SETTINGS, Render(marks), **options)
    found = {each.player: each for each in work}
    assert not [each.fault for each in found.values() if each.fault], found
    return {
        player: json.dumps(each.results, sort_keys=True) + each.page for player, each in sorted(found.items())
    }


def kill_one(pids: list[int], folder: Path, killed: list[int]) -> None:
    """Kill a worker that is at work, once any player is done."""
    while True:
        marks = [mark.name for mark in folder.glob("marks-*/*")]
        workers = {int(mark.partition("-")[2]) for mark in marks} & set(pids)
        if workers:
            killed.append(min(workers))
            os.kill(killed[0], signal.SIGKILL)
            return
        time.sleep(0.05)


def main(folder: Path) -> None:
    from distributed import LocalCluster

    write_records(folder)
    once = planned(folder, processes=1)
    assert planned(folder, processes=2) == once, "two processes differ"
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        pids = [worker.process.process.pid for worker in cluster.workers.values()]
        killed: list[int] = []
        killer = threading.Thread(target=kill_one, args=(pids, folder, killed), daemon=True)
        killer.start()
        there = planned(folder, processes=2, scheduler=cluster.scheduler_address)
        killer.join(60)
    assert killed, "no worker was killed"
    assert there == once, "the cluster differs"
    print(f"equal: {len(once)} players, worker {killed[0]} killed")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
