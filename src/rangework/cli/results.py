"""A command's numbers as a JSON file, whole or not at all."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from rangework.errors import InputError, Problem

#: Changes only add keys; a change that does not is a new number.
SCHEMA = 1


def write_results(
    path: Path, command: str, results: Mapping[str, Any], *, seed: int | None, inputs: Mapping[str, Any]
) -> None:
    """Write ``results`` with what they were made from; unknown numbers (nan, None) become null.

    ``inputs`` are the files and options of the command. A file of that name is replaced only when the new
    one is complete. Raises InputError where the file cannot be written.
    """
    head = {"schema": SCHEMA, "command": command, "seed": seed, "inputs": inputs}
    text = json.dumps(plain({**head, **results}), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    write_whole(path, text)


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file so that a reader finds the old one or the new one, never a part; text as UTF-8.

    Raises InputError where the file cannot be written.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
        part.replace(path)
    except OSError as error:
        with suppress(OSError):
            part.unlink()
        reason = error.strerror or str(error)
        raise InputError(Problem(str(path), "", "", f"a file that can be written ({reason})")) from error


def plain(value: Any) -> Any:
    """``value`` as JSON knows it: dataclasses as objects, arrays and tuples as lists, nan as null."""
    if is_dataclass(value):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(entry) for key, entry in value.items()}
    if isinstance(value, Enum | Path):
        return value.name.lower() if isinstance(value, Enum) else value.as_posix()
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(entry) for entry in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
