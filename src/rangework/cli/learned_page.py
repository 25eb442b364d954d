"""What a plan tells of how the player answers to practice, where tests and logged hours taught it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rangework.cli.tables import Block, interval, number, paragraph, table
from rangework.cli.worth_page import name_in_units

if TYPE_CHECKING:
    from rangework.assessment.learned_responses import Learned
    from rangework.units import Units


def learned_text(learned: Learned | None, units: Units, *, of_roster: bool = False) -> list[str]:
    """A section of the plan; none without a log of practice. ``of_roster``: the roster's tests were taken in before."""
    if learned is None:
        return []
    head = "LEARNED FROM TESTS: the steps that practice can bring at most, by part\n"
    if not learned.parts:
        told = (
            "Nothing yet of this player: no part has eight balls or more of a test (purpose test) on two days. "
            f"The plan rests on {'the roster' if of_roster else 'what is assumed of practice'}, and "
            "goes on from the hours logged."
        )
        return [head + paragraph(told)]
    rows = [
        [
            name_in_units(each.part, units),
            number(each.hours, 1),
            str(each.balls),
            "" if each.measured_steps is None else number(each.measured_steps.value, 1, signed=True),
            number(each.most_steps_before, 2),
            number(each.most_steps.value, 2),
            interval(each.most_steps.low, each.most_steps.high, 1),
        ]
        for each in learned.parts
    ]
    before = "in the\nroster" if of_roster else "as\nassumed"
    shown = table(["part", "hours", "balls", "steps\nseen", before, "now", "90 % range"], [Block("", rows)])
    told = (
        "The plan uses what it says now. Tests move it little: days differ, and the steps seen are known to about "
        "three either way with 60 balls on either side."
    )
    return [f"{head}{shown}\n{paragraph(told)}"]
