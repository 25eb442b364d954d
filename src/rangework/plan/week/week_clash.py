"""When no plan meets every limit: the smallest set of limits to give up, safety last."""

from __future__ import annotations

from collections.abc import Sequence

from rangework.errors import NoFeasiblePlanError
from rangework.plan.linear_program import LinearProgram
from rangework.plan.week.program import add_days, add_offers, add_sessions
from rangework.plan.week.rows import Row, WeekProblem, week_rows

#: Limits for safety are given up only where nothing else helps.
_SAFETY_COST = 1000.0
_SMALL = 1e-6


def week_clash(problem: WeekProblem) -> NoFeasiblePlanError:
    """The error for a problem without a plan: the fewest limits that must go, and by how much each is broken."""
    given_up, values = smallest_set(problem, week_rows(problem))
    rows = [row for row in week_rows(problem) if row.group in given_up]
    broken = [(row, amount) for row in rows if (amount := _broken(row, values)) > _SMALL]
    return NoFeasiblePlanError([_words(row, amount) for row, amount in broken] + [_what_to_do(broken)])


def smallest_set(problem: WeekProblem, rows: Sequence[Row]) -> tuple[set[str], dict[str, float]]:
    """Groups of limits to give up so that the others can be met, and a plan that does."""
    program = LinearProgram()
    add_offers(program, problem)
    add_days(program, problem)
    add_sessions(program, problem)
    largest = {f"steps.{offer.index}": float(offer.greatest) for offer in problem.offers}
    for row in rows:
        give = f"give.{row.group}"
        if give not in program:
            program.variable(give, binary=True, cost=_SAFETY_COST if row.safety else 1.0)
        program.row(row.name, row.terms | {give: _room(row, largest)}, row.sense, row.bound)
    values = program.solve().values
    return {row.group for row in rows if values[f"give.{row.group}"] > 0.5}, values


def _room(row: Row, largest: dict[str, float]) -> float:
    """What the bound must move at most for the row to hold whatever is planned."""
    ends = [coefficient * largest.get(name, 1.0) for name, coefficient in row.terms.items()]
    if row.sense == "<=":
        return -max(0.0, sum(end for end in ends if end > 0.0) - row.bound)
    return max(0.0, row.bound - sum(end for end in ends if end < 0.0))


def _broken(row: Row, values: dict[str, float]) -> float:
    amount = sum(coefficient * values[name] for name, coefficient in row.terms.items())
    return amount - row.bound if row.sense == "<=" else row.bound - amount


def _words(row: Row, amount: float) -> str:
    if row.sense == "<=":
        return f"{row.text}: at most {row.bound:.0f} {row.unit}, {row.bound + amount:.0f} needed"
    return f"{row.text}: at least {row.bound:.0f} {row.unit}, {row.bound - amount:.0f} possible"


def _what_to_do(broken: Sequence[tuple[Row, float]]) -> str:
    groups = list(dict.fromkeys(row.group for row, _ in broken))
    safety = [row.group for row, _ in broken if row.safety]
    told = (
        f"The fewest limits to give up: {', '.join(groups)}. Change the availability or what was asked for."
    )
    return told + (f" Keep {safety[0]}: it is there for safety." if safety else "")
