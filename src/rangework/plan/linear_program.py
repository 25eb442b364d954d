"""A minimising linear (or mixed-integer) program in PuLP, read the same from PuLP 3.3 and 4.

Prices are positive whatever a version's sign of duals: what one more unit of a row's bound saves.
"""

from __future__ import annotations

import contextlib
import ctypes
import importlib
import importlib.util
import os
import sys
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import pulp

Sense = Literal["<=", ">="]
_OPTIMAL, _INFEASIBLE = 1, -1


class InfeasibleProgramError(Exception):
    """No values meet every row."""


@dataclass(frozen=True, slots=True)
class Solution:
    """Variables' ``values`` and rows' ``prices`` by name (prices are 0 beside whole variables).

    ``bound``: no values have a lower objective than this, as the solver has proven.
    """

    objective: float
    values: dict[str, float]
    prices: dict[str, float]
    bound: float


class LinearProgram:
    """Variables and rows by name; solved by HiGHS, or by CBC where highspy is missing.

    ``relaxed``: whole variables may take any value between their ends.
    """

    def __init__(self, *, relaxed: bool = False) -> None:
        self._relaxed = relaxed
        self._problem = pulp.LpProblem("plan", pulp.LpMinimize)
        self._variables: dict[str, Any] = {}
        self._costs: list[Any] = []
        self._rows: dict[str, Any] = {}
        self._whole = False

    def variable(
        self,
        name: str,
        *,
        low: float | None = 0.0,
        high: float | None = None,
        cost: float = 0.0,
        binary: bool = False,
        whole: bool = False,
    ) -> None:
        """A new variable; ``cost`` is its coefficient in the objective."""
        whole = (whole or binary) and not self._relaxed
        kind = pulp.LpInteger if whole else pulp.LpContinuous
        made = self._problem.add_variable(f"v{len(self._variables)}", low, 1.0 if binary else high, kind)
        self._whole = self._whole or whole
        self._variables[name] = made
        if cost:
            self._costs.append(float(cost) * made)

    def __contains__(self, name: str) -> bool:
        return name in self._variables

    def row(self, name: str, coefficients: Mapping[str, float], sense: Sense, bound: float) -> None:
        """A new row: sum of coefficient x variable ``<=`` or ``>=`` ``bound``."""
        terms = pulp.lpSum([float(c) * self._variables[v] for v, c in coefficients.items() if c])
        label = f"r{len(self._rows)}"
        self._problem += (terms <= float(bound) if sense == "<=" else terms >= float(bound)), label
        self._rows[name] = label

    def solve(self, *, gap: float = 1e-6, relative_gap: float = 1e-9) -> Solution:
        """The minimum; with whole variables, one proven within ``gap`` of it, or that share of it.

        Raises InfeasibleProgramError where the rows clash.
        """
        self._problem.setObjective(pulp.lpSum(self._costs))
        _silence_banner()
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)
            outcome = self._problem.solve(_solver(gap, relative_gap))
        status = int(getattr(outcome, "status", outcome))
        if status == _INFEASIBLE:
            raise InfeasibleProgramError
        if status != _OPTIMAL:
            raise RuntimeError(f"the solver stopped with status {status}")
        return self._solution(gap, relative_gap)

    def _solution(self, gap: float, relative_gap: float) -> Solution:
        made = {constraint.name: constraint for constraint in self._problem.constraints()}
        prices = {
            name: 0.0 if self._whole else abs(made[label].pi or 0.0) for name, label in self._rows.items()
        }
        values = {name: float(variable.value() or 0.0) for name, variable in self._variables.items()}
        objective = float(pulp.value(self._problem.objective) or 0.0)
        return Solution(
            objective, values, prices, self._bound(objective, max(gap, relative_gap * abs(objective)))
        )

    def _bound(self, objective: float, allowed: float) -> float:
        """What HiGHS has proven; of another solver only the gap that it was allowed is known."""
        if not self._whole:
            return objective
        model: Any = getattr(self._problem, "solverModel", None)
        proven = getattr(model.getInfo(), "mip_dual_bound", None) if hasattr(model, "getInfo") else None
        return objective - allowed if proven is None else min(objective, float(proven))


def _solver(gap: float, relative_gap: float) -> Any:
    if importlib.util.find_spec("highspy") is not None:
        return pulp.HiGHS(msg=False, gapRel=relative_gap, gapAbs=gap)
    names = [name for name in ("PULP_CBC_CMD", "COIN_CMD") if name in pulp.listSolvers(onlyAvailable=True)]
    if not names:
        raise RuntimeError("no solver of linear programs is installed: pip install highspy")
    return pulp.getSolver(names[0], msg=False, gapAbs=gap, gapRel=relative_gap)


@cache
def _silence_banner() -> None:
    """Let HiGHS print the banner of its first model where nobody reads it.

    highspy 1.16 prints it from C, once a process, in spite of every option.
    """
    if importlib.util.find_spec("highspy") is None:
        return
    highs: Any = importlib.import_module("highspy")
    with _no_output_from_c():
        highs.Highs()


@contextlib.contextmanager
def _no_output_from_c() -> Iterator[None]:
    sys.stdout.flush()
    kept = os.dup(1)
    try:
        with Path(os.devnull).open("w") as nowhere:
            os.dup2(nowhere.fileno(), 1)
            yield
            _flush_c()
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def _flush_c() -> None:
    with contextlib.suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).fflush(None)
