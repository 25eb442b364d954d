"""What is told of how a roster's players answer to practice, where their tests and logged hours taught it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.results import plain
from rangework.cli.tables import Block, interval, number, paragraph, table
from rangework.cli.worth_page import name_in_units

if TYPE_CHECKING:
    from rangework.estimate import Estimate
    from rangework.plan.drills import Drill
    from rangework.plan.response import GroupResponse
    from rangework.roster.pooled_responses import PooledPart
    from rangework.units import Units

#: Parts that a plan names at most.
PARTS_NAMED = 6


def group_text(group: GroupResponse | None, trained: Sequence[str], units: Units) -> list[str]:
    """A section of a plan: by how much the roster's tests changed what is assumed of the parts ``trained``."""
    if group is None:
        return []
    from rangework.roster.pooled_responses import factor_of

    rows = []
    for part in trained[:PARTS_NAMED]:
        factor = factor_of(group, part)
        rows.append(
            [name_in_units(part, units), number(factor.value, 2), interval(factor.low, factor.high, 2)]
        )
    told = (
        f"{group.players} players were tested before and after hours that they logged. The plan takes what practice "
        "brings to a part as so many times what is assumed, and this player's own tests on top of that. `rangework "
        "roster learned` shows the evidence."
    )
    shown = table(["part of this plan", "times what\nis assumed", "90 % range"], [Block("", rows)])
    return [f"LEARNED FROM THE ROSTER\n{shown}\n{paragraph(told)}"]


def trained_parts(minutes: Mapping[str, float], drills: Sequence[Drill]) -> list[str]:
    """The parts that drills of so many ``minutes`` (by id) train, those first that get most."""
    trains = {drill.id: drill.trains for drill in drills}
    trained: dict[str, float] = {}
    for drill, given in minutes.items():
        for part, share in trains.get(drill, {}).items():
            trained[part] = trained.get(part, 0.0) + share * given
    return sorted(trained, key=lambda part: -trained[part])


def group_results(group: GroupResponse | None) -> dict[str, Any] | None:
    """The factors of all parts by their keys in the JSON file; None where nothing was learned from a roster."""
    if group is None:
        return None
    from rangework.roster.pooled_responses import factor_of
    from rangework.skill.parts import PART_IDS

    parts = [{"part": part, "factor": plain(factor_of(group, part))} for part in PART_IDS]
    return {"players": group.players, "parts": parts}


def pooled_text(parts: Sequence[PooledPart], players: int, units: Units) -> str:
    """The evidence: by part who speaks, what was seen, what is assumed, what is believed now."""
    rows = [
        [
            name_in_units(each.part, units),
            str(each.players),
            number(each.hours, 0),
            "" if each.seen is None else number(each.seen.value, 1, signed=True),
            "" if each.seen is None else number((each.seen.high or 0.0) - each.seen.value, 1),
            number(each.assumed, 2),
            number(each.now.value, 2),
            interval(each.now.low, each.now.high, 2),
        ]
        for each in parts
    ]
    headings = ["part", "players", "hours", "seen", "±", "assumed", "now", "90 % range"]
    told = (
        f"{players} players practised a part between two tests of it. Seen is what their tests show by themselves "
        "(± half of its 90 % range); now is what plans take: the assumption, moved as far as the tests are sure, each "
        "player drawn to the group. A step is 10 % less spread, or half of a bias. Changes that come to all players "
        f"alike, by season or place, are not taken for practice.{_far_off(parts, units)}"
    )
    return (
        "WHAT PRACTICE REALLY DOES HERE: steps that ten effective hours of a part bring\n"
        + table(headings, [Block("", rows)])
        + "\n"
        + paragraph(told)
    )


def _far_off(parts: Sequence[PooledPart], units: Units) -> str:
    """Where the tests show what the assumption does not think possible, and what to do about it."""
    far = [name_in_units(each.part, units) for each in parts if each.seen and _apart(each.seen, each.now)]
    if not far:
        return ""
    return (
        f" Far from what is assumed: {'; '.join(far)}. Are hours missing from the log, or were the tests not alike? If "
        "not, say so with a response of your own in a drills file (docs/reference/drills.md)."
    )


def _apart(one: Estimate, other: Estimate) -> bool:
    """Whether the ranges of two estimates do not meet."""
    lows, highs = (one.low or 0.0, other.low or 0.0), (one.high or 0.0, other.high or 0.0)
    return max(lows) > min(highs)
