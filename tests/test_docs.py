"""The docs tell the truth: their commands run, their links lead somewhere, and every command is in them."""

from __future__ import annotations

import doctest
import importlib
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import click
import pytest

from rangework.cli.main import rangework
from rangework.plan.limits import safety_swings

ROOT = Path(__file__).parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
PROGRAM = Path(sys.executable).with_name("rangework")
#: Commands that play golf, which takes a while.
HEAVY = re.compile(
    r"rangework (skill|rounds|worth|plan|aim|habits|week|report|assess|roster)\b|^(from|import) rangework",
    re.MULTILINE,
)

FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
#: A file that a page asks its reader to save.
SAVED = re.compile(r"save this as `([\w.-]+)`.*?^```\w*\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")


def blocks(page: Path, language: str) -> list[str]:
    """The fenced blocks of a page in one language."""
    return [text for tag, text in FENCE.findall(page.read_text("utf-8")) if tag == language]


def shown_commands(page: Path) -> list[str]:
    """The commands a page shows after a ``$``, lines that end in a backslash joined."""
    text = "\n".join(blocks(page, "console")).replace("\\\n", " ")
    return [line.removeprefix("$ ") for line in text.splitlines() if line.startswith("$ ")]


def pages_with(language: str) -> list[Any]:
    """Pages that hold such blocks; slow where the blocks play golf."""
    found = []
    for page in PAGES:
        text = "\n".join(blocks(page, language))
        marks = [pytest.mark.slow] if HEAVY.search(text) else []
        found += [pytest.param(page, marks=marks, id=page.relative_to(ROOT).as_posix())] if text else []
    return found


def run(arguments: list[str], folder: Path) -> None:
    done = subprocess.run(
        arguments, cwd=folder, capture_output=True, text=True, encoding="utf-8", timeout=600
    )
    assert done.returncode == 0, f"{arguments}\n{done.stdout}{done.stderr}"


def expanded(word: str, folder: Path) -> list[str]:
    """A word as a shell would hand it over: file patterns become the files."""
    return sorted(path.relative_to(folder).as_posix() for path in folder.glob(word)) or [word]


@pytest.mark.parametrize("page", pages_with("console"))
def test_shown_commands_run(page: Path, tmp_path: Path) -> None:
    commands = shown_commands(page)
    for name, text in SAVED.findall(page.read_text("utf-8")):
        (tmp_path / name).write_text(text, encoding="utf-8")
    if commands[0] != "rangework demo demo":
        run([str(PROGRAM), "demo", "demo"], tmp_path)
    for command in commands:
        program, *words = shlex.split(command)
        assert program == "rangework", f"only rangework is run after a $: {command}"
        run([str(PROGRAM), *(part for word in words for part in expanded(word, tmp_path))], tmp_path)


@pytest.mark.parametrize("page", pages_with("python"))
def test_shown_python_runs(page: Path, tmp_path: Path) -> None:
    run([str(PROGRAM), "demo", "demo"], tmp_path)
    for block in blocks(page, "python"):
        run([sys.executable, "-W", "error", "-c", block], tmp_path)


EXAMPLES = [file for file in sorted((ROOT / "src").rglob("*.py")) if ">>> " in file.read_text("utf-8")]


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.relative_to(ROOT / "src").as_posix())
def test_examples_in_docstrings_give_what_they_say(file: Path) -> None:
    module = ".".join(file.relative_to(ROOT / "src").with_suffix("").parts)
    failed, tried = doctest.testmod(importlib.import_module(module))
    assert tried
    assert not failed


def anchors(page: Path) -> set[str]:
    """The headings of a page as link targets."""
    headings = re.findall(r"^#+ (.+)$", FENCE.sub("", page.read_text("utf-8")), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(page: Path) -> None:
    for link in LINK.findall(FENCE.sub("", page.read_text("utf-8"))):
        if "://" in link:
            continue
        target, _, anchor = link.partition("#")
        file = (page.parent / target).resolve() if target else page
        assert file.exists(), link
        assert not anchor or anchor in anchors(file), link


def test_every_page_can_be_reached_from_the_index() -> None:
    reached, waiting = set(), [ROOT / "docs" / "index.md"]
    while waiting:
        page = waiting.pop()
        if page not in reached and page.suffix == ".md":
            reached.add(page)
            links = [link.partition("#")[0] for link in LINK.findall(page.read_text("utf-8"))]
            waiting += [(page.parent / link).resolve() for link in links if link and "://" not in link]
    assert not {page.relative_to(ROOT).as_posix() for page in (ROOT / "docs").rglob("*.md")} - {
        page.relative_to(ROOT).as_posix() for page in reached if page.is_relative_to(ROOT)
    }


def test_pages_named_in_code_and_messages_exist() -> None:
    named = {
        page
        for file in (ROOT / "src").rglob("*")
        if file.suffix in (".py", ".toml")
        for page in re.findall(r"docs/[\w/-]+\.md", file.read_text("utf-8"))
    }
    assert not {page for page in named if not (ROOT / page).exists()}


def commands_page_sections() -> dict[str, str]:
    """The sections of the commands page by their heading."""
    text = (ROOT / "docs" / "reference" / "commands.md").read_text("utf-8")
    return dict(re.findall(r"^## (\S+)\n(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL))


def cli_commands() -> dict[str, click.Command]:
    context = click.Context(rangework)
    found = {name: rangework.get_command(context, name) for name in rangework.list_commands(context)}
    return {name: command for name, command in found.items() if command is not None}


def test_every_command_is_in_the_reference_and_no_other() -> None:
    assert list(commands_page_sections()) == list(cli_commands())


@pytest.mark.parametrize("name", cli_commands())
def test_every_option_is_in_the_reference_and_no_other(name: str) -> None:
    command = cli_commands()[name]
    commands = [command, *(command.commands.values() if isinstance(command, click.Group) else ())]
    options = [p for each in commands for p in each.params if isinstance(p, click.Option)]
    flags = {flag for option in options for flag in option.opts if flag.startswith("--")}
    shown = set(re.findall(r"`(--[a-z-]+)", commands_page_sections()[name]))
    assert shown - {"--help"} == flags


@pytest.mark.parametrize(
    ("row", "age"), [("under 13", 12), ("13 to 17", 13), ("not known", 18), ("65 and over", 65)]
)
def test_the_safety_page_tells_the_limits_in_force(row: str, age: int) -> None:
    page = (ROOT / "docs" / "explanation" / "safety.md").read_text("utf-8")
    told = re.search(rf"^\|.*{row}.*\| (\d+) \| (\d+) \|", page, re.MULTILINE)
    assert told
    assert tuple(map(int, told.groups())) == (safety_swings(age).per_day, safety_swings(age).per_week)


def test_readme_holds_two_commands_for_a_newcomer() -> None:
    lines = [line for block in blocks(ROOT / "README.md", "sh") for line in block.splitlines()]
    assert len(lines) == 2
    assert "rangework demo demo" in lines[0]
    assert lines[1].endswith("pytest -q")
    assert all(line.startswith("python3 -m venv .venv && .venv/bin/pip install -q ") for line in lines)


def test_a_shell_is_at_hand_where_ci_needs_one() -> None:
    ci = ROOT / ".ci" / "run"
    shell = shutil.which("bash")
    if shell is None:
        pytest.skip("no bash here")
    subprocess.run([shell, "-n", str(ci)], check=True)
