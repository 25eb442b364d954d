"""Folders that are there whole or not at all."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from rangework.errors import InputError, Problem


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """A place to write files in, which becomes ``folder`` once all are written and is gone if anything fails.

    Raises InputError where nothing can be written there. ``folder`` itself must not be there, or be empty.
    """
    part = folder.with_name(f".{folder.name}.{os.getpid()}.part")
    try:
        part.mkdir(parents=True)
        yield part
        part.replace(folder)
    except OSError as error:
        raise InputError(Problem(str(folder), "", "", f"a folder to write to ({error.strerror})")) from error
    finally:
        with suppress(OSError):
            shutil.rmtree(part)
