"""Pages of the validation as Markdown, and the index that names every residual above its goal."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from comparison import Check, Page, Status
from drawing import save

CHECKS_FILE = "checks.json"
INDEX_FILE = "index.md"
MADE_BY = "Written by `python tests/validation`; edits are lost."


def table_text(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A Markdown table."""
    header = list(header)
    lines = [header, ["---"] * len(header), *(list(row) for row in rows)]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}".rstrip()


def file_names(slug: str, figures: Iterable[str]) -> list[str]:
    """Names of a page's pictures, in order."""
    return [f"{slug}.svg" if place == 1 else f"{slug}-{place}.svg" for place, _ in enumerate(figures, 1)]


def goal_text(check: Check) -> str:
    """The goal, or *exact* where it is less than can be shown."""
    shown = check.number(check.goal)
    return shown if float(shown) else "exact"


def check_rows(checks: list[Check]) -> tuple[list[tuple[str, ...]], list[str]]:
    """Rows of checks, and the sources that their last column counts."""
    sources: list[str] = []
    rows = []
    for check in checks:
        if check.source not in sources:
            sources.append(check.source)
        rows.append(
            (
                check.what,
                with_unit(check.published_text, check.unit),
                check.number(check.model),
                signed(check),
                goal_text(check),
                "met" if check.met else "**over**",
                f"{check.status} [{sources.index(check.source) + 1}]",
            )
        )
    return rows, sources


CHECK_HEADER = ("", "published", "model", "off by", "goal", "", "status [source]")


def checks_text(checks: list[Check]) -> str:
    """The table of all checks, their sources, and the reasons of those over their goal."""
    rows, sources = check_rows(checks)
    parts = [table_text(CHECK_HEADER, rows)]
    parts.append("\n".join(f"{number}. {source}" for number, source in enumerate(sources, 1)))
    missed = [check for check in checks if not check.met]
    if missed:
        parts.append("## Over the goal\n\n" + misses_text(missed))
    return "\n\n".join(parts)


def misses_text(checks: list[Check]) -> str:
    """A line for every reason, with the residuals above their goals that it is given for."""
    reasons: dict[str, list[Check]] = {}
    for check in checks:
        reasons.setdefault(check.why or "Not explained yet.", []).append(check)
    return "\n".join(f"- {off_by(those)}. {why.rstrip('.')}." for why, those in reasons.items())


def off_by(checks: list[Check]) -> str:
    """Residuals of checks, a common goal told once."""
    goals = [with_unit(goal_text(check), check.unit) for check in checks]
    residuals = [f"{check.what}: {signed(check)}" for check in checks]
    if len(set(goals)) == 1:
        return f"{'; '.join(residuals)} (goal {goals[0]})"
    return "; ".join(f"{residual} (goal {goal})" for residual, goal in zip(residuals, goals, strict=True))


def signed(check: Check) -> str:
    """The residual with its sign."""
    text = check.number(check.residual)
    return f"+{text}" if check.residual > 0.0 and float(text) else text


def page_text(page: Page) -> str:
    """A page without its index."""
    parts = [f"# {page.title}", page.text.strip()]
    names = file_names(page.slug, page.figures)
    parts += [f"![{words}]({name})\n\n*{words}*" for name, words in zip(names, page.figures, strict=True)]
    if page.checks:
        parts += ["## Checks", checks_text(page.checks)]
    parts += [f"## {table.title}\n\n{table_text(table.header, table.rows)}" for table in page.tables]
    parts.append(f"{MADE_BY} Back to [all comparisons]({INDEX_FILE}).")
    return "\n\n".join(parts) + "\n"


def write_page(page: Page, folder: Path) -> None:
    """Write a page and its pictures, and remove pictures that it no longer has."""
    folder.mkdir(parents=True, exist_ok=True)
    names = dict(zip(file_names(page.slug, page.figures), page.figures.values(), strict=True))
    known = json.loads((folder / CHECKS_FILE).read_text("utf-8")) if (folder / CHECKS_FILE).exists() else {}
    for old in set(known.get(page.slug, {}).get("figures", [])) - set(names):
        (folder / old).unlink(missing_ok=True)
    for name, figure in names.items():
        save(figure, folder / name)
    (folder / f"{page.slug}.md").write_text(page_text(page), encoding="utf-8", newline="\n")


def _plain(value: Any) -> Any:
    return float(f"{value:.6g}") if isinstance(value, float) else value


def as_record(page: Page) -> dict[str, Any]:
    """What the index keeps of a page."""
    checks = [{key: _plain(value) for key, value in vars(check).items()} for check in page.checks]
    return {
        "title": page.title,
        "figures": file_names(page.slug, page.figures),
        "checks": checks,
    }


def checks_of(record: dict[str, Any]) -> list[Check]:
    return [Check(**{**check, "status": Status(check["status"])}) for check in record["checks"]]


def write_index(pages: list[Page], order: list[str], folder: Path) -> None:
    """Write index and checks anew; pages not made this time stay as they were."""
    file = folder / CHECKS_FILE
    records = json.loads(file.read_text("utf-8")) if file.exists() else {}
    records |= {page.slug: as_record(page) for page in pages}
    records = {slug: records[slug] for slug in order if slug in records}
    file.write_text(json.dumps(records, indent=1, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n")
    (folder / INDEX_FILE).write_text(index_text(records), encoding="utf-8", newline="\n")


INTRODUCTION = """# Against the world

Published figures beside the model's. None of the model's figures was fitted to the figure it stands beside, unless
its page says so. Every published figure carries its source and how far that can be trusted: *verified* was
read in a copy of the source, *verified in a page that quotes it* in somebody else's page, *from memory* is remembered
and no copy was found, *common practice* is a rule of thumb without a source.

A goal says how far off the model may be before we call it a miss. It is set by what the published figure can bear: how
far two sources of the same figure differ, how coarsely it is rounded, or how much the neighbouring level differs.
Nothing is bent to meet one: what is over its goal is named below, by how much and why."""


def index_text(records: dict[str, Any]) -> str:
    """The index: every page with its counts, then every residual above its goal."""
    checks = {slug: checks_of(record) for slug, record in records.items()}
    rows = [
        (
            f"[{records[slug]['title']}]({slug}.md)",
            str(len(those)),
            str(sum(check.met for check in those)),
            str(sum(not check.met for check in those)),
        )
        for slug, those in checks.items()
    ]
    total = [check for those in checks.values() for check in those]
    rows.append(("all", str(len(total)), str(sum(c.met for c in total)), str(sum(not c.met for c in total))))
    parts = [INTRODUCTION, table_text(("page", "checks", "met", "over the goal"), rows)]
    parts.append("## Every residual above its goal")
    for slug, those in checks.items():
        missed = [check for check in those if not check.met]
        if missed:
            parts.append(f"### {records[slug]['title']}\n\n{misses_text(missed)}")
    if all(check.met for check in total):
        parts.append("None.")
    parts.append(
        f"All of it is made by `python tests/validation`, the figures also as [numbers]({CHECKS_FILE})."
    )
    return "\n\n".join(parts) + "\n"
