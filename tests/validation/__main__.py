"""Compare the model with the world and write the pages: ``python tests/validation``."""

from __future__ import annotations

import argparse
import os
import sys
import time
from pathlib import Path

from comparison import Effort, Page
from pages import write_index, write_page
from sections import SECTIONS, Section

ROOT = Path(__file__).resolve().parents[2]
PAGES = ROOT / "docs" / "explanation" / "validation"
QUICK_PAGES = ROOT / "build" / "validation"


def arguments(given: list[str] | None = None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python tests/validation", description="Compare the model with published figures."
    )
    slugs = [section.slug for section in SECTIONS]
    parser.add_argument("--only", nargs="+", choices=slugs, metavar="PAGE", help=f"of {', '.join(slugs)}")
    parser.add_argument("--quick", action="store_true", help="less work, coarser figures")
    parser.add_argument(
        "--kept", action="store_true", help="write pages of simulated players from the last full run"
    )
    parser.add_argument("--threads", type=int, default=min(os.cpu_count() or 1, 8))
    parser.add_argument(
        "--to",
        type=Path,
        help="folder of the pages (docs/explanation/validation; when quick, build/validation)",
    )
    return parser.parse_args(given)


def made(section: Section, effort: Effort, folder: Path) -> Page:
    """Make and write one page, and tell how it went."""
    started = time.perf_counter()
    print(f"{section.slug:24}", end="", file=sys.stderr, flush=True)
    page = section.page(effort)
    write_page(page, folder)
    told = f"{len(page.checks):4} checks, {len(page.misses):3} over the goal"
    print(f"{told}  {time.perf_counter() - started:7.1f} s", file=sys.stderr, flush=True)
    return page


def complaints(pages: list[Page]) -> list[str]:
    """Misses without a reason, and reasons of misses that are none any more."""
    unexplained = [f"{page.slug}: no reason given for {c.what}" for page in pages for c in page.unexplained]
    return unexplained + [
        f"{page.slug}: no longer misses: {why}" for page in pages for why in page.outdated_reasons
    ]


def main() -> int:
    chosen = arguments()
    effort = Effort(quick=chosen.quick, threads=chosen.threads, kept=chosen.kept)
    folder = chosen.to or (QUICK_PAGES if chosen.quick else PAGES)
    started = time.perf_counter()
    wanted = [section for section in SECTIONS if not chosen.only or section.slug in chosen.only]
    order = [section.slug for section in SECTIONS]
    pages: list[Page] = []
    for section in wanted:
        pages.append(made(section, effort, folder))
        # after every page, so that a run that is broken off leaves its work
        write_index(pages, order, folder)
    print(
        f"{folder / 'index.md'} written in {(time.perf_counter() - started) / 60:.1f} minutes",
        file=sys.stderr,
    )
    wrong = complaints(pages)
    print("\n".join(wrong), end="\n" if wrong else "", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
