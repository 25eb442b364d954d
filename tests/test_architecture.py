"""The house keeps its shape: data flows one way, kernels know arrays only, files and functions stay small."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "rangework"
MODULES = sorted(PACKAGE.rglob("*.py"))
HOUSE_FILES = [
    *MODULES,
    *(file for name in ("tests", "benchmarks") for file in sorted((ROOT / name).rglob("*.py"))),
]

NAMES_THAT_SAY_NOTHING = {"utils", "util", "helpers", "helper", "core", "common", "manager", "misc", "base"}
KERNELS_MAY_IMPORT = {
    "__future__",
    "math",
    "numba",
    "numba.extending",
    "numpy",
    "numpy.typing",
    "typing",
    "rangework.compiled",
    "rangework.lie",
    "rangework.units",
}
LONGEST_FILE = 400
LONGEST_FUNCTION = 35

ONE_PASS = "value and derivatives of one pass over the balls share every intermediate"
#: Files over LONGEST_FILE lines, each with the reason why it is one file.
LONG_FILES: dict[str, str] = {
    "src/rangework/play/round_kernels.py": "every phase of rounds played in step",
}
#: Functions over LONGEST_FUNCTION code lines, as ``file::name``, each with the reason why it is one function.
LONG_FUNCTIONS: dict[str, str] = {
    "src/rangework/play/stroke_kernels.py::play_when_struck": "a stroke from strike to rest, the yardstick",
    "src/rangework/play/savings_kernels.py::savings": "every part's derivative from one visit of a place",
    "src/rangework/play/round_kernels.py::play_wave": "the phases of a stroke, in order",
    "src/rangework/skill/latents.py::effects": "one table, a row for each effect",
    "src/rangework/skill/aimed_kernels.py::aimed_kernel": ONE_PASS,
    "src/rangework/skill/logged_kernels.py::approach_kernel": ONE_PASS,
    "src/rangework/skill/logged_kernels.py::drive_kernel": ONE_PASS,
    "src/rangework/skill/logged_kernels.py::bessel_kernel": "two series of published coefficients",
    "src/rangework/skill/strike_kernels.py::spread_kernel": ONE_PASS,
}


def imported_by(tree: ast.Module) -> Iterator[str]:
    """Every module that a module imports, wherever in its text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


def foreign_to_kernels(tree: ast.Module, folder: Path) -> list[str]:
    """Imports a kernel of a folder may not have: all but array libraries, the folder's kernels and constants."""
    own = f"rangework.{folder.name}."
    constants = {
        node.module
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        and node.module
        and node.module.startswith(own)
        and all(alias.name.isupper() for alias in node.names)
    }
    kernels = {name for name in imported_by(tree) if name.startswith(own) and is_kernel(name.split(".")[-1])}
    return sorted(set(imported_by(tree)) - KERNELS_MAY_IMPORT - constants - kernels)


def is_kernel(stem: str) -> bool:
    """Whether a module of this name holds kernels, or the arrays they share."""
    return stem in {"kernels", "kernel_arrays"} or stem.endswith("_kernels")


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef, source: list[str]) -> int:
    """Lines of a function's body without docstring, blank lines and comments."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    if not body:
        return 0
    lines = (line.strip() for line in source[body[0].lineno - 1 : function.end_lineno])
    return sum(bool(line) and not line.startswith("#") for line in lines)


def functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef | ast.AsyncFunctionDef]]:
    """Every function and method of a module with its name, class in front."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            for method in node.body:
                if isinstance(method, ast.FunctionDef | ast.AsyncFunctionDef):
                    yield f"{node.name}.{method.name}", method


def name_of(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


def parsed(file: Path) -> ast.Module:
    return ast.parse(file.read_text("utf-8"))


def lint_imports(root: Path) -> subprocess.CompletedProcess[str]:
    """Run import-linter on the package under ``root``/src with the contracts of ``root``/pyproject.toml."""
    code = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
    environment = {**os.environ, "PYTHONPATH": str(root / "src"), "PYTHONUTF8": "1"}
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )


@pytest.fixture(scope="module")
def copied_house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("house")
    shutil.copy(ROOT / "pyproject.toml", root)
    shutil.copytree(PACKAGE, root / "src" / "rangework", ignore=shutil.ignore_patterns("__pycache__"))
    return root


def test_imports_keep_every_contract() -> None:
    done = lint_imports(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("file", "line", "contract"),
    [
        ("records/profile.py", "import rangework.skill", "Data flows one way"),
        ("lie.py", "import rangework.units", "Data flows one way"),
        ("skill/parts.py", "from rangework.cli import tables", "Data flows one way"),
        ("cli/commands/demo.py", "import rangework.cli.commands.check", "Every command stands alone"),
        ("records/profile.py", "import click", "click only in cli"),
        ("skill/parts.py", "import shapely", "Shapes only in course"),
        ("skill/parts.py", "import pulp", "Linear programs only in plan"),
        ("cli/main.py", "import sqlite3", "SQL only in store"),
        ("cli/main.py", "import matplotlib", "Figures only in report"),
    ],
)
def test_a_planted_import_breaks_its_contract(
    copied_house: Path, file: str, line: str, contract: str
) -> None:
    planted = copied_house / "src" / "rangework" / file
    sound = planted.read_text("utf-8")
    try:
        planted.write_text(f"{sound}\n{line}\n", encoding="utf-8")
        done = lint_imports(copied_house)
    finally:
        planted.write_text(sound, encoding="utf-8")
    assert done.returncode != 0
    assert f"{contract} BROKEN" in done.stdout, done.stdout + done.stderr


def test_a_new_top_level_module_must_find_its_place(copied_house: Path) -> None:
    stray = copied_house / "src" / "rangework" / "stray.py"
    stray.write_text("")
    try:
        done = lint_imports(copied_house)
    finally:
        stray.unlink()
    assert done.returncode != 0
    assert "stray" in done.stdout + done.stderr


def test_kernels_know_arrays_only() -> None:
    kernels = [file for file in MODULES if is_kernel(file.stem)]
    wrong = {name_of(file): foreign_to_kernels(parsed(file), file.parent) for file in kernels}
    assert not {file: imports for file, imports in wrong.items() if imports}


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("import pandas", ["pandas"]),
        ("from rangework.records import ShotRecords", ["rangework.records"]),
        ("from rangework.skill.model import Golfer, BANDS", ["rangework.skill.model"]),
        ("from rangework.records.columns import NO_LIE", ["rangework.records.columns"]),
        ("from rangework.skill.model import BANDS", []),
        ("from rangework.skill.putting_kernels import make_kernel", []),
        ("from rangework.play.luck_kernels import mix", ["rangework.play.luck_kernels"]),
    ],
)
def test_a_foreign_import_of_a_kernel_is_seen(line: str, told: list[str]) -> None:
    assert foreign_to_kernels(ast.parse(line), PACKAGE / "skill") == told


def test_compiled_functions_live_in_kernels() -> None:
    outside = [
        name_of(file)
        for file in MODULES
        if "numba" in set(imported_by(parsed(file))) and not is_kernel(file.stem) and file.stem != "compiled"
    ]
    assert not outside


def test_the_package_root_is_never_imported_from_inside() -> None:
    inside = {file.name.removesuffix(".py") for file in PACKAGE.iterdir()}
    wrong = []
    for file in MODULES:
        for node in ast.walk(parsed(file)):
            if isinstance(node, ast.Import):
                wrong += [name_of(file) for alias in node.names if alias.name == "rangework"]
            elif isinstance(node, ast.ImportFrom) and node.module == "rangework":
                wrong += [name_of(file) for alias in node.names if alias.name not in inside]
            elif isinstance(node, ast.ImportFrom) and node.level:
                wrong.append(f"{name_of(file)} (relative import)")
    assert not wrong


def test_every_name_says_something() -> None:
    names = [*HOUSE_FILES, *(path for path in PACKAGE.rglob("*") if path.is_dir())]
    assert not [name_of(path) for path in names if path.stem in NAMES_THAT_SAY_NOTHING]


def test_long_files_are_justified() -> None:
    long = {name_of(file) for file in HOUSE_FILES if len(file.read_text("utf-8").splitlines()) > LONGEST_FILE}
    assert long == set(LONG_FILES)


def test_long_functions_are_justified() -> None:
    long = set()
    for file in MODULES:
        source = file.read_text("utf-8")
        for name, function in functions(ast.parse(source)):
            if code_lines(function, source.splitlines()) > LONGEST_FUNCTION:
                long.add(f"{name_of(file)}::{name}")
    assert long == set(LONG_FUNCTIONS)


def test_everything_public_has_a_docstring() -> None:
    bare = []
    for file in MODULES:
        tree = parsed(file)
        public: list[tuple[str, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef]] = [
            ("", tree)
        ]
        public += [(node.name, node) for node in tree.body if isinstance(node, ast.ClassDef)]
        public += [(name, function) for name, function in functions(tree)]
        bare += [
            f"{name_of(file)} {name}".rstrip()
            for name, node in public
            if not any(part.startswith("_") for part in name.split(".")) and not ast.get_docstring(node)
        ]
    assert not bare
