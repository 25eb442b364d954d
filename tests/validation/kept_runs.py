"""Results of long runs, kept so that their pages can be written anew without playing them again."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Generic, TypeVar

from comparison import Effort

T = TypeVar("T")
FOLDER = Path(__file__).resolve().parents[2] / "build" / "validation" / "runs"


@dataclass(frozen=True)
class Run(Generic[T]):
    """What a run found, and the day it was made."""

    found: T
    made: str


def run_or_kept(name: str, effort: Effort, make: Callable[[], T], folder: Path = FOLDER) -> Run[T]:
    """The kept run of that name if ``effort`` asks for it, or a new one, which is kept unless quick.

    Raises FileNotFoundError where a kept run is asked for and there is none.
    """
    file = folder / f"{name}.pickle"
    if effort.kept:
        kept: dict[str, Any] = pickle.loads(file.read_bytes())
        return Run(kept["found"], kept["made"])
    run = Run(make(), f"{datetime.now(UTC):%Y-%m-%d}")
    if not effort.quick:
        folder.mkdir(parents=True, exist_ok=True)
        file.write_bytes(pickle.dumps(vars(run)))
    return run
