"""The program layer: duals of a known sign, infeasibility, and nothing on standard output."""

from __future__ import annotations

import importlib.util
import subprocess
import sys

import pulp
import pytest
from scipy.optimize import linprog

from rangework.plan.linear_program import InfeasibleProgramError, LinearProgram

SILENT = """
from rangework.plan.linear_program import LinearProgram
for _ in range(2):
    program = LinearProgram()
    program.variable("x", high=2.0, cost=-1.0)
    program.row("most", {"x": 1.0}, "<=", 1.0)
    assert program.solve().values["x"] == 1.0
"""


def example(*, binary: bool = False) -> LinearProgram:
    program = LinearProgram()
    program.variable("x", high=4.0, cost=-3.0)
    program.variable("y", cost=-2.0)
    if binary:
        program.variable("on", binary=True)
        program.row("x_on", {"x": 1.0, "on": -4.0}, "<=", 0.0)
    program.row("both", {"x": 1.0, "y": 1.0}, "<=", 6.0)
    program.row("steep", {"x": 1.0, "y": 3.0}, "<=", 12.0)
    program.row("least", {"y": 1.0}, ">=", 2.5)
    return program


def test_solution_and_prices_agree_with_scipy() -> None:
    solution = example().solve()
    other = linprog(
        [-3, -2],
        A_ub=[[1, 1], [1, 3], [0, -1]],
        b_ub=[6, 12, -2.5],
        bounds=[(0, 4), (0, None)],
        method="highs",
    )
    assert solution.objective == pytest.approx(other.fun)
    assert [solution.values["x"], solution.values["y"]] == pytest.approx(list(other.x))
    prices = [solution.prices[name] for name in ("both", "steep", "least")]
    assert prices == pytest.approx([-float(price) for price in other.ineqlin.marginals])


def test_binary_variables_carry_no_prices() -> None:
    solution = example(binary=True).solve()
    assert solution.values["on"] == pytest.approx(1.0)
    assert set(solution.prices.values()) == {0.0}


def test_rows_that_clash() -> None:
    program = example()
    program.row("no", {"x": 1.0}, ">=", 9.0)
    with pytest.raises(InfeasibleProgramError):
        program.solve()


def test_cbc_serves_where_highs_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    bundled = [name for name in ("PULP_CBC_CMD", "COIN_CMD") if name in pulp.listSolvers(onlyAvailable=True)]
    if not bundled:
        pytest.skip("this version of PuLP brings no CBC")
    by_highs = example().solve()
    monkeypatch.setattr(importlib.util, "find_spec", lambda _name: None)
    by_cbc = example().solve()
    assert by_cbc.objective == pytest.approx(by_highs.objective)
    assert by_cbc.prices == pytest.approx(by_highs.prices)
    assert example(binary=True).solve().values["on"] == pytest.approx(1.0)


def test_nothing_is_printed() -> None:
    ran = subprocess.run([sys.executable, "-c", SILENT], capture_output=True, text=True, check=True)
    assert ran.stdout == ""
    assert ran.stderr == ""
