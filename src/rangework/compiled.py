"""How kernels are compiled, and where the machine code is kept.

numba keeps compiled code beside the source and renews it when that file changes, but not when a kernel that it
calls changes in another file: the old numbers come back without a word (numba issue 1833). Here the folder of the
compiled code is named after the text of every kernel file, so kernels may call one another across files.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import time
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import Any, TypeVar

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

_CONFIG: Any = numba.config
_PACKAGE = Path(__file__).parent
_KEPT_S = 86_400.0
#: Default error handling blocks vectorisation; full fastmath would break isnan.
FLAGS: dict[str, Any] = {
    "cache": True,
    "nogil": True,
    "error_model": "numpy",
    "fastmath": {"reassoc", "contract", "nsz", "arcp"},
}


def kernel(function: Function) -> Function:
    """Compile a function as the package's kernels are."""
    return kernel_with()(function)


def kernel_with(**flags: Any) -> Callable[[Function], Function]:
    """Compile as ``kernel`` does, with further flags of numba."""
    return partial(_compile, flags=flags)


def uncounted(function: Function) -> Function:
    """Compile as ``kernel`` does, into its callers, for functions that only read and write arrays they are given.

    They hold on to no array, so none need be counted as held. Otherwise numba counts every array of a tuple at every
    call, which costs more than the call where tuples are long. Such a function can make no array of its own.
    """
    return kernel_with(forceinline=True, _nrt=False)(function)


def uncounted_call(function: Function) -> Function:
    """Compile as ``uncounted`` does, but to be called: for long functions that have many callers."""
    return kernel_with(_nrt=False)(function)


def _compile(function: Callable[..., Any], flags: dict[str, Any]) -> Any:
    usual = _CONFIG.CACHE_DIR
    _CONFIG.CACHE_DIR = compiled_folder() or usual
    try:
        return numba.njit(**{**FLAGS, **flags})(function)
    finally:
        _CONFIG.CACHE_DIR = usual


def kernel_files(package: Path = _PACKAGE) -> list[Path]:
    """The files that kernels live in, and those whose constants are compiled into them."""
    constants = [package / name for name in ("compiled.py", "lie.py", "units.py", "skill/coordinates.py")]
    return constants + sorted(package.glob("*/*kernel*.py"))


@cache
def compiled_folder(package: Path = _PACKAGE) -> str:
    """The folder for this text of the kernels; empty where none may be written and numba's own choice must do.

    Folders of earlier texts are removed after a day: only a developer's tree ever has any.
    """
    digest = hashlib.sha256()
    for file in kernel_files(package):
        digest.update(file.read_bytes())
    parent = Path(os.environ.get("NUMBA_CACHE_DIR") or package / "__pycache__")
    folder = parent / f"kernels-{digest.hexdigest()[:16]}"
    if not folder.is_dir():
        try:
            folder.mkdir(parents=True)
        except OSError:
            return ""
        _remove_old(parent)
    return str(folder)


def _remove_old(parent: Path) -> None:
    for folder in parent.glob("kernels-*"):
        if time.time() - folder.stat().st_mtime > _KEPT_S:
            shutil.rmtree(folder, ignore_errors=True)
