"""The academy's season: ``python benchmarks/season`` follows 40 members and writes docs/explanation/season.md."""

from __future__ import annotations

import argparse
import os
import pickle
import sys
import time
from pathlib import Path

from page import page, summary

from season import Season, academy

ROOT = Path(__file__).resolve().parents[2]
END = "## What a trial with people would need"


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python benchmarks/season", description="A simulated season of practice."
    )
    parser.add_argument("--players", type=int, default=40)
    parser.add_argument("--first", type=int, default=1, help="seed of the first member")
    parser.add_argument("--processes", type=int, default=min(os.cpu_count() or 1, 8))
    parser.add_argument("--keep", type=Path, help="also keep the seasons in this file")
    parser.add_argument(
        "--quick", action="store_true", help="score by what steps are worth; skill from the first records"
    )
    parser.add_argument(
        "--again", action="store_true", help="write the page anew from the seasons that --keep kept"
    )
    parser.add_argument("--to", type=Path, default=ROOT / "docs" / "explanation" / "season.md")
    return parser.parse_args()


def main() -> int:
    chosen = arguments()
    seasons = pickle.loads(chosen.keep.read_bytes()) if chosen.again else followed(chosen)
    print(summary(seasons))
    chosen.to.write_text(with_end(page(seasons, written_by(chosen, len(seasons))), chosen.to), "utf-8")
    return 0


def followed(chosen: argparse.Namespace) -> list[Season]:
    """The seasons, kept as they come in."""
    started = time.perf_counter()
    seasons = []
    seeds = range(chosen.first, chosen.first + chosen.players)
    for each in academy(seeds, chosen.processes, quick=chosen.quick):
        seasons.append(each)
        passed = (time.perf_counter() - started) / 60.0
        print(f"{len(seasons):3} of {chosen.players} members, {passed:.1f} min", file=sys.stderr, flush=True)
        if chosen.keep:
            chosen.keep.write_bytes(pickle.dumps(seasons))
    return seasons


def written_by(chosen: argparse.Namespace, members: int) -> str:
    """The command as it was given, but for where it ran."""
    return f"python benchmarks/season --players {members}" + " --quick" * chosen.quick


def with_end(text: str, file: Path) -> str:
    """The page with the part below ``END``, which is written by hand, as it was."""
    before = file.read_text("utf-8") if file.exists() else ""
    return text + (f"\n{END}{before.partition(END)[2]}" if END in before else "")


if __name__ == "__main__":
    raise SystemExit(main())
