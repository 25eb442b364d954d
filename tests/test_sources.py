"""Every number shown rests on data, a published source or a named assumption."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest

from rangework.estimate import Source, sources, unknown_bases

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "rangework"
FIELDS = {"kind", "text", "citation", "status"}
KINDS = {"published", "assumption"}
STATUSES = (
    "verified",
    "from memory",
    "common practice, no source",
    "fitted here",
    "assumed here",
    "stated by the user",
)
#: An id: lower-case words joined by full stops.
ID = re.compile(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)+")


@cache
def literal_texts() -> dict[str, set[str]]:
    """Every quoted text on one line of the package's code and data, by file."""
    quoted = re.compile(r'"([^"\n]*)"')
    files = [
        path for path in PACKAGE.rglob("*") if path.suffix in (".py", ".toml") and path.name != "sources.toml"
    ]
    return {
        path.relative_to(PACKAGE).as_posix(): set(quoted.findall(path.read_text("utf-8"))) for path in files
    }


def bases_in(texts: set[str]) -> set[str]:
    """The ids among quoted texts, taken apart at ``+``, that begin like an id of sources.toml."""
    families = {key.split(".")[0] for key in sources()}
    parts = {part for text in texts for part in text.split("+")}
    return {part for part in parts if ID.fullmatch(part) and part.split(".")[0] in families}


@pytest.mark.parametrize("source", sources().values(), ids=lambda source: source.id)
def test_every_entry_is_complete(source: Source) -> None:
    assert ID.fullmatch(source.id)
    assert source.kind in KINDS
    assert len(source.text) > 20
    assert len(source.citation) > 3 or "no source" in source.status or source.status.startswith("assumed")
    assert source.status.startswith(STATUSES)
    assert source.kind == "assumption" or not source.status.startswith("assumed here")


def test_entries_have_these_fields_and_no_others() -> None:
    def check(table: dict[str, object], name: str) -> None:
        if "kind" in table:
            assert set(table) == FIELDS, name
        else:
            for key, entry in table.items():
                assert isinstance(entry, dict), f"{name}.{key}"
                check(entry, f"{name}.{key}")

    check(tomllib.loads((PACKAGE / "sources.toml").read_text("utf-8")), "")


def named(id_: str, text: str) -> bool:
    """Whether a text names an id, whole or as a template such as ``family.{level}``."""
    family = re.escape(id_.rpartition(".")[0])
    return bool(re.search(rf"(?<![\w.]){re.escape(id_)}(?![\w])(?!\.\w)|(?<![\w.]){family}\.{{", text))


def test_every_entry_is_used() -> None:
    files = [
        path for path in PACKAGE.rglob("*") if path.suffix in (".py", ".toml") and path.name != "sources.toml"
    ]
    text = "\n".join(path.read_text("utf-8") for path in [*files, *sorted((ROOT / "docs").rglob("*.md"))])
    assert [id_ for id_ in sources() if not named(id_, text)] == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ('"data+plan.limit"', True),
        ("sd of a response (plan.limit).", True),
        ('f"plan.{level}"', True),
        ("plan.limit_of_all", False),
        ("plan.limit.swings", False),
        ("my.plan.limit", False),
    ],
)
def test_use_of_an_entry_is_seen(text: str, found: bool) -> None:
    assert named("plan.limit", text) == found


def test_every_basis_in_the_code_is_an_entry() -> None:
    named = re.compile(r'basis\w*\s*[=:]\s*"([^"{]+)"')
    unknown = {}
    for path in PACKAGE.rglob("*.py"):
        bases = set(named.findall(path.read_text("utf-8"))) | bases_in(
            literal_texts()[path.relative_to(PACKAGE).as_posix()]
        )
        unknown |= {f"{path.name}: {basis}": wrong for basis in bases if (wrong := unknown_bases(basis))}
    assert not unknown


def test_an_unknown_basis_is_seen() -> None:
    assert unknown_bases("data+prior.reference_golfer") == []
    assert unknown_bases("data+nothing.of_the_kind") == ["nothing.of_the_kind"]
