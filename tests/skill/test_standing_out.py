"""What stands out is what the records are sure of, in strokes that a usual golfer's worths make of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rangework.estimate import unknown_bases
from rangework.skill.measures import PartEstimate
from rangework.skill.parts import PARTS
from rangework.skill.standing_out import standing_out, verdict
from rangework.skill.usual_worths import LEVELS, WORTHS, usual_worths

BASIS = "assumption.usual_worths"


def estimate(part: str, value: float, reference: float, half: float) -> PartEstimate:
    return PartEstimate(part, "m", value, value - half, value + half, reference, 50, "data", "measured")


@pytest.mark.parametrize(
    ("part", "value", "reference", "expected"),
    [
        ("bunker", 8.0, 6.0, "worse"),
        ("bunker", 5.0, 6.0, ""),
        ("bunker", 4.0, 6.0, "better"),
        ("tee.carry", 210.0, 200.0, "better"),
        ("tee.carry", 190.0, 200.0, "worse"),
        ("tee.bias", 2.0, 0.0, "right"),
        ("tee.bias", -2.0, 0.0, "left"),
    ],
)
def test_a_verdict_needs_an_interval_that_leaves_the_reference_outside(
    part: str, value: float, reference: float, expected: str
) -> None:
    assert verdict(estimate(part, value, reference, 1.5)) == expected


def test_ten_percent_wider_costs_one_step_and_five_metres_longer_saves_one() -> None:
    parts = [estimate("bunker", 6.6, 6.0, 0.1), estimate("tee.carry", 205.0, 200.0, 1.0)]
    wide, long = standing_out(parts, {"bunker": 0.2, "tee.carry": 0.4}, BASIS)
    assert wide.strokes.value == pytest.approx(0.2)
    assert long.strokes.value == pytest.approx(-0.4)
    assert not unknown_bases(wide.strokes.basis)


def test_steps_are_the_players_own_when_worths_are() -> None:
    part = [estimate("bunker", 8.0, 6.0, 0.1)]
    (seen,) = standing_out(part, {"bunker": 0.2}, "data+prior.reference_golfer", of_player=True)
    assert seen.strokes.value == pytest.approx(0.2 * 0.25 / 0.1)
    assert seen.strokes.basis == "data+prior.reference_golfer"


def test_what_is_only_assumed_does_not_stand_out() -> None:
    measured = estimate("bunker", 8.0, 6.0, 0.1)
    assumed = replace(measured, words="assumed, not measured")
    assert len(standing_out([measured, assumed], {"bunker": 0.2}, BASIS)) == 1


def test_biases_do_not_stand_out_in_strokes() -> None:
    assert standing_out([estimate("tee.bias", 3.0, 0.0, 1.0)], {"tee.bias": 0.0}, BASIS) == []


def test_usual_worths_cover_every_part_and_meet_the_table_at_its_levels() -> None:
    for column, level in enumerate(LEVELS):
        found = usual_worths(level)
        assert list(found) == [part.id for part in PARTS]
        assert all(found[part] == pytest.approx(row[column]) for part, row in WORTHS.items())
    assert all(found[part.id] == 0.0 for part in PARTS if part.kind == "bias")


@pytest.mark.slow
def test_usual_worths_are_those_of_a_reference_golfer_on_standard_holes() -> None:
    from rangework.course.standard_hole import standard_hole
    from rangework.play.lattice import lay_out
    from rangework.play.strategy import compile_player, solve_course
    from rangework.skill.reference import reference_golfer
    from rangework.skill.usual_worths import STANDARD_CARD_YD
    from rangework.units import YARD_M
    from rangework.worth.savings import WorthPoints, golfer_worths

    layouts = [
        lay_out(standard_hole(length * YARD_M, seed=number))
        for number, length in enumerate(STANDARD_CARD_YD, start=1)
    ]
    golfer = reference_golfer(15.0)
    strategies = solve_course(layouts, compile_player(golfer))
    found = golfer_worths(strategies, golfer, points=WorthPoints.many())
    kept = usual_worths(15.0)
    for part, worth in zip(PARTS, found.tolist(), strict=True):
        if part.kind != "bias":
            assert worth == pytest.approx(kept[part.id], rel=0.1, abs=0.03), part.id
