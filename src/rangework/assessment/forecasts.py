"""Forecasts kept: what was predicted of a round or a retest before it, and how that stood up afterwards."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import date
from pathlib import Path
from typing import Any, Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.course.standard_hole import PAR_FOUR_FROM_M
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.records.shots import KINDS, ShotRecords
from rangework.skill.model import SHORT_LIMIT_M
from rangework.strokes_gained.logged import complete_holes

FloatArray = NDArray[np.float64]
About = Literal["round", "test"]

SCHEMA = 1
#: What is forecast of a round: the score and what it is made of.
QUANTITIES = ("score", "tee", "approach", "short_game", "putting", "penalties")
#: Chance that a 90 % interval is missed.
_MISSED = 0.1


@dataclass(frozen=True, slots=True)
class Forecast:
    """One number predicted on ``made`` for the first round or test from ``day`` on, with its 90 % interval.

    ``last`` is what it was the last time before that; None where there was none. ``against``: the golfer that strokes
    are gained on in a test.
    """

    made: str
    day: str
    about: About
    quantity: str
    value: float
    low: float
    high: float
    last: float | None
    against: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """A forecast with what came."""

    forecast: Forecast
    came: float

    @property
    def inside(self) -> bool:
        """Whether it came inside the interval."""
        return self.forecast.low <= self.came <= self.forecast.high


@dataclass(frozen=True, slots=True)
class Verdict:
    """Forecasts with an outcome, beside *the same as last time* for those that have a last time.

    ``inside`` and ``last_inside``: shares inside the interval, and inside one of the same width about last time's
    value; ``width`` its mean; ``error`` and ``last_error`` mean absolute errors; ``penalty`` and ``last_penalty`` mean
    interval scores, width and misses in one figure, less is better (Gneiting and Raftery 2007, equation 43).
    """

    forecasts: int
    inside: float
    width: float
    error: float
    penalty: float
    with_last: int
    error_where_last: float | None
    last_inside: float | None
    last_error: float | None
    last_penalty: float | None


def verdict(outcomes: Sequence[Outcome]) -> Verdict | None:
    """How forecasts stood up; None without an outcome."""
    if not outcomes:
        return None
    came = np.array([each.came for each in outcomes])
    value, low, high, last = (
        np.array([getattr(each.forecast, name) for each in outcomes], dtype=float)
        for name in ("value", "low", "high", "last")
    )
    known = np.isfinite(last)
    some = bool(known.any())
    moved_low, moved_high = (end - value + last for end in (low, high))
    return Verdict(
        len(outcomes),
        float(((low <= came) & (came <= high)).mean()),
        float((high - low).mean()),
        float(np.abs(came - value).mean()),
        float(_interval_score(low, high, came).mean()),
        int(known.sum()),
        float(np.abs(came - value)[known].mean()) if some else None,
        float(((moved_low <= came) & (came <= moved_high))[known].mean()) if some else None,
        float(np.abs(came - last)[known].mean()) if some else None,
        float(_interval_score(moved_low, moved_high, came)[known].mean()) if some else None,
    )


def _interval_score(low: FloatArray, high: FloatArray, came: FloatArray) -> FloatArray:
    missed = np.maximum(low - came, 0.0) + np.maximum(came - high, 0.0)
    return np.asarray(high - low + 2.0 / _MISSED * missed)


def records_before(records: ShotRecords, day: date) -> tuple[ShotRecords, int]:
    """The records before ``day``, and how many balls and strokes of that day or later that leaves out."""
    aimed, putts, log = (
        frame[~(frame["date"] >= pd.Timestamp(day))].reset_index(drop=True)
        for frame in map(records.frame, KINDS)
    )
    kept = replace(records, aimed=aimed, putts=putts, log=log)
    return kept, records.n_balls - kept.n_balls


def rounds_played(log: pd.DataFrame) -> list[tuple[date, dict[str, float]]]:
    """Day and ``QUANTITIES`` of every complete round of a course log, in the order of days."""
    whole = complete_holes(log)
    if whole.empty:
        return []
    lie, far = whole["lie"], whole["to_hole_m"]
    driving = (lie == Lie.TEE) & (far >= PAR_FOUR_FROM_M)
    putt = lie == Lie.GREEN
    counts = whole[["date", "round"]].assign(
        tee=driving,
        approach=~driving & ~putt & (far >= SHORT_LIMIT_M),
        short_game=~driving & ~putt & (far < SHORT_LIMIT_M),
        putting=putt,
        penalties=whole["penalty"],
    )
    totals = counts.groupby(["date", "round"], sort=True).sum().astype(float)
    totals["score"] = totals.sum(axis=1)
    days = [pd.Timestamp(day).date() for day in totals.index.get_level_values("date")]
    rows: list[dict[str, float]] = totals[list(QUANTITIES)].to_dict("records")  # type: ignore[assignment]
    return list(zip(days, rows, strict=True))


def round_forecasts(
    by_family: NDArray[np.generic], made: date, day: date, log: pd.DataFrame
) -> list[Forecast]:
    """Forecasts of a round from simulated ones: ``by_family`` [round, 5] strokes, in the order after the score."""
    counts = np.asarray(by_family, dtype=np.float64)
    simulated = np.column_stack([counts.sum(axis=1), counts])
    before = [played for on, played in rounds_played(log) if on < day]
    last = before[-1] if before else {}
    found = []
    for name, strokes in zip(QUANTITIES, simulated.T, strict=True):
        low, high = np.quantile(strokes, (0.05, 0.95))
        value, ends = float(strokes.mean()), (float(low), float(high))
        found.append(Forecast(made.isoformat(), day.isoformat(), "round", name, value, *ends, last.get(name)))
    return found


def outcomes(
    kept: Sequence[Forecast], about: About, came: Sequence[tuple[date, Mapping[str, float]]]
) -> list[Outcome]:
    """Each forecast with the first of what ``came`` on its day or after; those without are still open."""
    found = []
    for forecast in kept:
        if forecast.about == about:
            day = date.fromisoformat(forecast.day)
            later = (values for on, values in came if on >= day and forecast.quantity in values)
            if (values := next(later, None)) is not None:
                found.append(Outcome(forecast, float(values[forecast.quantity])))
    return found


def read_forecasts(path: Path, *, may_be_new: bool = False) -> list[Forecast]:
    """The forecasts of a file; none of one that ``may_be_new`` and is not there yet. Raises InputError for others."""
    if may_be_new and not path.exists():
        return []
    try:
        held = json.loads(path.read_text("utf-8"))
        return [_forecast(entry) for entry in held["forecasts"]]
    except (OSError, ValueError, KeyError, TypeError) as error:
        expected = f"a file of forecasts that rangework has kept ({type(error).__name__}: {error})"
        raise InputError(Problem(str(path), "", "", expected, "Name another file with --keep.")) from error


def forecasts_text(kept: Sequence[Forecast]) -> str:
    """The forecasts as the text of a file."""
    return json.dumps({"schema": SCHEMA, "forecasts": [asdict(each) for each in kept]}, indent=1) + "\n"


def _forecast(entry: Mapping[str, Any]) -> Forecast:
    known = {name: entry[name] for name in (each.name for each in fields(Forecast)) if name in entry}
    found = Forecast(**known)
    date.fromisoformat(found.day)
    if found.about not in ("round", "test") or not found.low <= found.high:
        raise ValueError(f"forecast of {found.quantity!r} for {found.day}")
    return found
