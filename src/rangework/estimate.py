"""A number that a user sees: its value, how sure it is, its unit, and what it rests on."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its 90 % interval and its basis.

    ``basis`` is ``"data"`` or ids of ``sources.toml``, joined by ``+`` where several carry the number
    (``"data+prior.reference_golfer"``). ``low`` and ``high`` are None where no interval exists.
    """

    value: float
    low: float | None
    high: float | None
    unit: str
    basis: str

    def to_json(self) -> dict[str, Any]:
        """The estimate as plain JSON values."""
        return {
            "value": self.value,
            "low": self.low,
            "high": self.high,
            "unit": self.unit,
            "basis": self.basis,
        }


@dataclass(frozen=True, slots=True)
class Source:
    """An entry of ``sources.toml``: a published figure, or an assumption that a user may edit."""

    id: str
    kind: str  #: "published" or "assumption"
    text: str
    citation: str
    status: str


@cache
def sources() -> dict[str, Source]:
    """Every published figure and assumption by id."""
    entries = tomllib.loads(files("rangework").joinpath("sources.toml").read_text("utf-8"))
    return {key: Source(key, **entry) for key, entry in _flatten(entries).items()}


def unknown_bases(basis: str) -> list[str]:
    """The parts of a basis that are neither ``data`` nor an id of ``sources.toml``."""
    return [part for part in basis.split("+") if part != "data" and part not in sources()]


def _flatten(table: dict[str, Any], prefix: str = "") -> dict[str, dict[str, str]]:
    flat: dict[str, dict[str, str]] = {}
    for key, value in table.items():
        name = f"{prefix}{key}"
        if "kind" in value:
            flat[name] = value
        else:
            flat |= _flatten(value, f"{name}.")
    return flat
