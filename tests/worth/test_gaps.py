"""Gaps to a reference golfer: every quantity has its part, and the parts add up."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from rangework.play.lattice import Layout
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.parts import PART_IDS
from rangework.skill.reference import reference_golfer
from rangework.worth.gaps import blended, fields_without_part, part_gaps


def test_every_field_but_the_correlation_has_a_part() -> None:
    assert fields_without_part() == {"correlation"}


def test_all_parts_together_lead_from_the_player_to_the_reference(faulty: Golfer) -> None:
    player, reference = replace(faulty, correlation=0.0), reference_golfer(3)
    stays = blended(player, reference, dict.fromkeys(PART_IDS, 0.0))
    arrives = blended(player, reference, dict.fromkeys(PART_IDS, 1.0))
    for field in (field.name for field in fields(Golfer) if field.name != "base_m"):
        assert getattr(stays, field) == pytest.approx(getattr(player, field)), field
        assert getattr(arrives, field) == pytest.approx(getattr(reference, field)), field
    assert arrives.clubs_from_m == pytest.approx(reference.clubs_from_m)


def test_parts_add_up_to_the_whole_gap(
    layouts: list[Layout], three_holes: list[Strategy], faulty: Golfer
) -> None:
    holes = [layouts[hole] for hole in (0, 6, 12)]
    reference = replace(reference_golfer(3), correlation=faulty.correlation)
    theirs = solve_course(holes, compile_player(reference))
    total = sum(
        ours.expected_strokes - their.expected_strokes
        for ours, their in zip(three_holes, theirs, strict=True)
    )
    gaps = part_gaps(holes, faulty, reference, total)
    assert gaps.lost.sum() == pytest.approx(total, abs=1e-12)
    assert abs(gaps.unexplained) <= 0.06 * total
    spreads = [
        PART_IDS.index(part) for part in ("tee.carry", "putt.line", "chip", "approach_100_150.direction")
    ]
    assert np.all(gaps.lost[spreads] > 0.0)
