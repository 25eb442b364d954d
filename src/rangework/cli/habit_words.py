"""Habits and rules in words that a player can remember."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rangework.units import METRES_PER, Units, shot_unit

if TYPE_CHECKING:
    from rangework.aim.habits.rules import Rule
    from rangework.aim.habits.shots import Shots


def rule_text(rule: Rule, units: Units, clubs: Mapping[str, float]) -> str:
    """A rule as a sentence; ``clubs`` are carries in metres."""
    shots, aim = shots_text(rule.shots, units), aim_text(rule, units, clubs)
    return f"{shots}: {aim}."


def shots_text(shots: Shots, units: Units) -> str:
    """Which shots a rule is about."""
    from rangework.aim.habits.shots import Kind

    if shots.kind is Kind.APPROACH:
        words = [_distance_text(shots, units)]
    elif shots.kind is Kind.TEE:
        words = ["Off the tee"]
    else:
        words = ["With the green out of reach"]
    if shots.lie:
        words.append({"fairway": "from tee or fairway", "off the fairway": "off the fairway"}.get(
            shots.lie, f"from {'the ' if shots.lie == 'rough' else ''}{shots.lie}"))  # fmt: skip
    if shots.pars:
        words.append("on " + " and ".join(f"par {par}s" for par in shots.pars))
    if shots.holes:
        words.append(_holes_text(shots.holes))
    if shots.pin:
        words.append(_PIN_WORDS[shots.pin.value])
    text = ", ".join(filter(None, words)) or "On every approach"
    return text[0].upper() + text[1:]


_PIN_WORDS = {
    "right": "pin on the right half",
    "left": "pin on the left half",
    "front": "pin on the front half",
    "back": "pin on the back half",
    "tucked": "pin within 6 yd of the edge",
    "open": "pin 6 yd or more from the edge",
}


def _holes_text(holes: tuple[int, ...]) -> str:
    if len(holes) == 1:
        return f"on hole {holes[0]}"
    return f"on holes {', '.join(map(str, holes[:-1]))} and {holes[-1]}"


def _distance_text(shots: Shots, units: Units) -> str:
    unit_m = METRES_PER[shot_unit(units)]
    low, high = round(shots.from_m / unit_m), shots.to_m / unit_m
    unit = shot_unit(units)
    if math.isinf(high):
        return f"approaches from {low} {unit} on" if low else "approaches"
    return f"from {low} to {high:.0f} {unit}" if low else f"approaches under {high:.0f} {unit}"


def aim_text(rule: Rule, units: Units, clubs: Mapping[str, float]) -> str:
    """Where a rule aims."""
    from rangework.aim.habits.shots import Kind
    from rangework.aim.target_words import target_text
    from rangework.aim.targets import Base

    target = rule.target
    if target is None:
        return "aimed best, as far as is known"
    if target.base in (Base.PIN, Base.MIDDLE):
        text = target_text(target, units)
        if rule.inward:
            text = text.replace("at the pin", "at halfway from pin to middle")
            text = text.replace("of the pin", "of halfway from pin to middle")
        return f"aim {text}"
    if target.base is Base.LONGEST:
        moved = target_text(target, units).removeprefix("longest").removeprefix(", ")
        name = "driver" if rule.shots.kind is Kind.TEE else "as far as you can"
        if rule.best_line:
            return f"{name} (line not known)"
        return f"{name}, aimed {moved} of the line of play" if moved else f"{name}, along the line of play"
    text = target_text(target, units)
    club = _club(target.length_m or 0.0, clubs) if target.base is Base.CARRY else None
    return f"{text} ({club})" if club else text


def _club(carry_m: float, clubs: Mapping[str, float]) -> str | None:
    from rangework.aim.club_names import club_for

    club = club_for(clubs, carry_m)
    return club and club.words
