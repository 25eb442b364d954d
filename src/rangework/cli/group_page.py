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
    from rangework.report.document import Part
    from rangework.roster.pooled_responses import PooledPart
    from rangework.units import Units

#: Parts that a plan names at most.
PARTS_NAMED = 8
DONE_HEADINGS = ("part", "ten hours bring", "90 % range", "as\nassumed", "retests")


def group_text(
    group: GroupResponse | None, pooled: Sequence[PooledPart], trained: Sequence[str], units: Units
) -> list[str]:
    """A section of a plan: what practice has done by the roster's tests, the parts that the plan trains first."""
    if group is None:
        return []
    rows = done_rows(pooled, trained, units)
    head = "WHAT PRACTICE HAS DONE IN THIS ROSTER: what ten hours of a part bring\n"
    told = (
        f"{done_words(group.players, len(pooled) - len(rows))} `rangework roster learned` shows the evidence."
    )
    return [head + table(DONE_HEADINGS, [Block("", rows)]) + "\n" + paragraph(told)]


def done_words(players: int, left_out: int) -> str:
    """What the table of ``done_rows`` rests on; ``left_out``: parts that it has no line for."""
    more = f" Not shown: {left_out} of the parts that were tested." if left_out else ""
    return (
        f"{players} players were tested, practised, and were tested again. Ten hours that act on a part brought so "
        "much less spread, less bias or fewer poor strikes, over everybody, also those for whom a drill did nothing. "
        "The plan takes that in, and this player's own tests on top; where retests are few it stays near what is "
        f"assumed.{more}"
    )


def done_rows(pooled: Sequence[PooledPart], trained: Sequence[str], units: Units) -> list[list[str]]:
    """By part what ten hours bring, with range, assumption and retests; those first that are ``trained``."""
    place = {part: number for number, part in enumerate(trained)}
    ordered = sorted(pooled, key=lambda each: place.get(each.part, len(place)))
    return [_done_row(each, units) for each in ordered[:PARTS_NAMED]]


def done_part(players: int, pooled: Sequence[PooledPart], trained: Sequence[str], units: Units) -> Part:
    """The part of a page that says what practice has done by the roster's tests."""
    from rangework.report.document import Grid, Part

    rows = done_rows(pooled, trained, units)
    return Part(
        "What practice has done in this roster",
        text=[done_words(players, len(pooled) - len(rows))],
        grids=[Grid([" ".join(heading.split()) for heading in DONE_HEADINGS], rows)],
    )


def _done_row(each: PooledPart, units: Units) -> list[str]:
    from rangework.skill.parts import PART_BY_ID
    from rangework.units import shot_unit

    now, kind = each.now, PART_BY_ID[each.part].kind
    shown = [
        _change(each.part, steps or 0.0, units) for steps in (now.value, now.low, now.high, each.assumed)
    ]
    unit = shot_unit(units)
    digits, mark = (1, f" {unit}") if kind == "carry" else (0, " %")
    middle, assumed = (f"{number(shown[at], digits, signed=kind == 'carry')}{mark}" for at in (0, 3))
    return [
        name_in_units(each.part, units),
        middle if kind == "carry" else f"{middle} {'fewer' if kind == 'poor_strikes' else 'less'}",
        interval(shown[1], shown[2], digits),
        assumed,
        str(each.retests),
    ]


def _change(part: str, steps: float, units: Units) -> float:
    """What steps change: a length in the user's units, or per cent less of what there was."""
    from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M, STEP_FACTOR
    from rangework.units import METRES_PER, shot_unit

    kind = PART_BY_ID[part].kind
    if kind == "carry":
        return steps * STEP_CARRY_M / METRES_PER[shot_unit(units)]
    return 100.0 * float(1.0 - STEP_FACTOR[kind] ** steps)


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
        "player drawn to the group. All three are over everybody, also those for whom a drill does nothing. A step is "
        "10 % less spread, or half of a bias. Changes that come to all players alike, by season or place, are not "
        f"taken for practice.{_far_off(parts, units)}"
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
