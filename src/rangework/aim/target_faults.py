"""What is told of targets that cannot be aimed at."""

from __future__ import annotations

from collections.abc import Sequence

from rangework.aim.target_words import target_text
from rangework.aim.targets import Aiming, Fault, Target
from rangework.errors import InputError, Problem
from rangework.units import METRES_PER, Units, shot_unit


def check_targets(aiming: Aiming, targets: Sequence[Target], units: Units) -> None:
    """Raise InputError with every target that cannot be aimed at from here."""
    problems = []
    for target in targets:
        fault = aiming.fault(target)
        if fault is not None:
            expected, remedy = _told(fault, aiming, units)
            problems.append(Problem("--target", "", target_text(target, units), expected, remedy))
    if problems:
        raise InputError(problems)


def _told(fault: Fault, aiming: Aiming, units: Units) -> tuple[str, str]:
    """What was expected in place of a target with this fault, and what to do."""
    unit = shot_unit(units)
    longest = f"{aiming.longest_m / METRES_PER[unit]:.0f} {unit}"
    to_pin = f"{aiming.to_pin_m / METRES_PER[unit]:.0f} {unit}"
    return {
        Fault.OUT_OF_REACH: (
            f"a target within reach: the longest shot of this player from here is {longest}",
            "Lay up, or say longest.",
        ),
        Fault.BEHIND: (f"a lay-up that leaves less than the {to_pin} from here", ""),
        Fault.OFF_THE_MAP: ("a target on the map of the hole", "Is a length in the wrong unit?"),
        Fault.TOO_NEAR: ("a target away from the ball", ""),
        Fault.NO_HEIGHT: ("no height: low, standard and high are for shots around the green", ""),
        Fault.NOT_OPEN: (
            "a target open from among trees: at least 30 yd short of the pin, or half the way to it",
            "Name a shorter shot, such as carry 60.",
        ),
    }[fault]
