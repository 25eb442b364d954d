"""Rules as sentences that a player can remember."""

from __future__ import annotations

import math

import pytest

from rangework.aim import Target
from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import Kind, PinPlace, Shots
from rangework.aim.targets import Base
from rangework.cli.habit_words import rule_text
from rangework.units import YARD_M

APPROACH, TEE, LONG = Kind.APPROACH, Kind.TEE, Kind.LONG
HALFWAY = "halfway between the pin and the middle of the green"


def yd(length: float) -> float:
    return length * YARD_M


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (Rule(Shots(APPROACH), Target(), 0.5), f"Every approach: aim {HALFWAY}."),
        (
            Rule(Shots(APPROACH, holes=(7,)), Target(long_m=yd(5)), 0.5),
            f"Approaches on hole 7: aim 5 yd long of {HALFWAY}.",
        ),
        (
            Rule(Shots(APPROACH, from_m=yd(130), to_m=yd(170), pin=PinPlace.RIGHT), Target(Base.MIDDLE)),
            "From 130 to 170 yd, with the pin on the right half: aim at the middle of the green.",
        ),
        (
            Rule(Shots(APPROACH, from_m=yd(170), lie="off the fairway"), Target(Base.MIDDLE, long_m=yd(-10))),
            "From 170 yd or more, from rough or sand: aim 10 yd short of the middle of the green.",
        ),
        (
            Rule(Shots(APPROACH, to_m=yd(100), pin=PinPlace.TUCKED), Target(right_m=yd(-5))),
            "From less than 100 yd, with the pin within 6 yd of the edge: aim 5 yd left of the pin.",
        ),
        (
            Rule(Shots(TEE, holes=(2, 9, 17)), Target(Base.LONGEST, right_m=yd(-15))),
            "Off the tee on holes 2, 9 and 17: driver, aimed 15 yd left of the line of play.",
        ),
        (
            Rule(Shots(TEE, pars=(5,)), Target(Base.CARRY, yd(190))),
            "Off the tee on par 5s: iron, carry 190 yd.",
        ),
        (
            Rule(Shots(TEE, holes=(6,)), Target(Base.CARRY, yd(190)), best_line=True),
            "Off the tee on hole 6: carry about 190 yd (line not known).",
        ),
        (
            Rule(Shots(LONG, holes=(13,)), Target(Base.LAY_UP, yd(120))),
            "With the green out of reach, on hole 13: lay up to leave 120 yd.",
        ),
        (
            Rule(Shots(LONG, lie="fairway"), Target(Base.LONGEST)),
            "With the green out of reach, from the fairway: as far as you can, along the line of play.",
        ),
        (Rule(Shots(TEE), None), "Off the tee: aimed best, as far as is known."),
    ],
)
def test_rules_in_words(rule: Rule, text: str) -> None:
    assert rule_text(rule, "yards", {"iron": yd(191)}) == text


def test_an_exception_and_metres() -> None:
    rule = Rule(Shots(APPROACH, to_m=math.inf, from_m=155.0, pin=PinPlace.OPEN), Target(Base.MIDDLE))
    told = rule_text(rule, "metres", {}, exception=True)
    assert (
        told
        == "But from 155 m or more, with the pin 5.5 m or more from the edge: aim at the middle of the green."
    )
