"""Habits and rules in words that a player can remember."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from rangework.units import METRES_PER, Units, shot_unit

if TYPE_CHECKING:
    from rangework.aim.habits.rules import Rule
    from rangework.aim.habits.shots import Shots


def rule_text(rule: Rule, units: Units, clubs: Mapping[str, float], *, exception: bool = False) -> str:
    """A rule as a sentence; ``clubs`` are carries in metres. An exception begins with *but*."""
    shots, aim = shots_text(rule.shots, units), aim_text(rule, units, clubs)
    text = f"{shots}: {aim}."
    return f"But {text[0].lower()}{text[1:]}" if exception else text


def shots_text(shots: Shots, units: Units) -> str:
    """Which shots a rule is about."""
    from rangework.aim.habits.shots import Kind

    told = [_LIE_WORDS[shots.lie]] if shots.lie else []
    if shots.lie == "fairway" and shots.kind is Kind.APPROACH:
        told = ["from the fairway or the tee of a par 3"]
    if shots.pars:
        told.append("on " + " and ".join(f"par {par}s" for par in shots.pars))
    if shots.holes:
        told.append(_holes_text(shots.holes))
    if shots.pin:
        told.append(_pin_text(shots.pin.value, units))
    if shots.kind is Kind.TEE:
        return " ".join(["Off the tee", *told])
    if shots.kind is Kind.LONG:
        return ", ".join(["With the green out of reach", *told])
    distance = _distance_text(shots, units)
    if distance:
        return ", ".join([distance, *told])
    return " ".join(["Approaches", *told]) if told else "Every approach"


_LIE_WORDS = {
    "fairway": "from the fairway",
    "rough": "from the rough",
    "sand": "from sand",
    "off the fairway": "from rough or sand",
}


def _pin_text(place: str, units: Units) -> str:
    from rangework.aim.habits.shots import TUCKED_M

    unit = shot_unit(units)
    edge = f"{round(TUCKED_M / METRES_PER[unit], 1):g} {unit}"
    words = {"tucked": f"within {edge} of the edge", "open": f"{edge} or more from the edge"}
    return f"with the pin {words.get(place, f'on the {place} half')}"


def _holes_text(holes: tuple[int, ...]) -> str:
    if len(holes) == 1:
        return f"on hole {holes[0]}"
    return f"on holes {', '.join(map(str, holes[:-1]))} and {holes[-1]}"


def _distance_text(shots: Shots, units: Units) -> str:
    """How far from the pin; empty for any distance."""
    unit = shot_unit(units)
    low, high = round(shots.from_m / METRES_PER[unit]), shots.to_m / METRES_PER[unit]
    if math.isinf(high):
        return f"From {low} {unit} or more" if low else ""
    return f"From {low} to {high:.0f} {unit}" if low else f"From less than {high:.0f} {unit}"


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
            between = "halfway between the pin and the middle of the green"
            text = text.replace("at the pin", between).replace("of the pin", f"of {between}")
        return f"aim {text}"
    if target.base is Base.LONGEST:
        moved = target_text(target, units).removeprefix("longest").removeprefix(", ")
        name = "driver" if rule.shots.kind is Kind.TEE else "as far as you can"
        if rule.best_line:
            return f"{name} (line not known)"
        return f"{name}, aimed {moved} of the line of play" if moved else f"{name}, along the line of play"
    if target.base is Base.LAY_UP:
        lengths = target_text(target, units).removeprefix("lay up to ").split(", ")
        return ", ".join(
            [f"lay up to leave {lengths[0]}", *(f"{move} of the line of play" for move in lengths[1:])]
        )
    if rule.best_line:  # seen in a log, whose lengths are no better known than that
        unit = shot_unit(units)
        return f"carry about {(target.length_m or 0.0) / METRES_PER[unit]:.0f} {unit} (line not known)"
    club, text = _club(target.length_m or 0.0, clubs), target_text(target, units)
    return f"{club}, {text}" if club else text


def _club(carry_m: float, clubs: Mapping[str, float]) -> str | None:
    from rangework.aim.club_names import club_for

    club = club_for(clubs, carry_m)
    return club and club.words
