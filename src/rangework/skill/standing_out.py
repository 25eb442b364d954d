"""What stands out: parts whose 90 % interval leaves the reference golfer outside, and roughly what that costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from rangework.estimate import Estimate
from rangework.skill.measures import WORDS, PartEstimate
from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M, STEP_FACTOR

ASSUMED = WORDS[0]

Verdict = Literal["", "worse", "better", "right", "left"]


@dataclass(frozen=True, slots=True)
class StandingOut:
    """A part that differs from the reference golfer's, and the strokes a round this costs (negative: saves)."""

    part: str
    verdict: Verdict
    strokes: Estimate


def verdict(part: PartEstimate) -> Verdict:
    """How a part compares with the reference golfer's: empty while the interval leaves it open."""
    if part.low <= part.reference <= part.high:
        return ""
    above = part.estimate > part.reference
    if PART_BY_ID[part.part].kind == "bias":
        return "right" if above else "left"
    return "better" if above == (PART_BY_ID[part.part].kind == "carry") else "worse"


def standing_out(
    parts: Sequence[PartEstimate],
    strokes_saved: Mapping[str, float],
    basis: str,
    *,
    of_player: bool = False,
) -> list[StandingOut]:
    """Parts that stand out, the costliest first; biases are left out, since aim can allow for them,
    and so is what is only assumed.

    ``strokes_saved``: what one step of each part saves the reference golfer (``of_player``: the player), taken
    as the same all the way between the two; ``basis``: what these rest on.
    """
    found = [
        StandingOut(part.part, verdict(part), _strokes(part, strokes_saved[part.part], basis, of_player))
        for part in parts
        if verdict(part) in ("worse", "better") and part.words != ASSUMED
    ]
    return sorted(found, key=lambda each: -each.strokes.value)


def _strokes(part: PartEstimate, saved: float, basis: str, of_player: bool) -> Estimate:
    values = (part.estimate, part.low, part.high)
    at = [saved * _steps_away(part, value, of_player) for value in values]
    return Estimate(at[0], min(at), max(at), "strokes a round", "+".join(_once(part.basis, basis)))


def _steps_away(part: PartEstimate, value: float, of_player: bool) -> float:
    """Steps that the player is behind, of the reference golfer's size or of the player's own."""
    kind = PART_BY_ID[part.part].kind
    if kind == "carry":
        return (part.reference - value) / STEP_CARRY_M
    one = part.estimate if of_player else part.reference
    return (value - part.reference) / one / (1.0 - STEP_FACTOR[kind])


def _once(*bases: str) -> list[str]:
    """The ids of several bases, each once."""
    return list(dict.fromkeys(id_ for basis in bases for id_ in basis.split("+")))
