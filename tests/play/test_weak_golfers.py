"""A weak golfer finds a way round a forced carry instead of trying it for ever."""

from __future__ import annotations

from pathlib import Path

import pytest

from rangework.course import ground_grid, read_course
from rangework.demo.scenario import demo_files
from rangework.play.lattice import lay_out
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.reference import reference_golfer


@pytest.mark.parametrize("handicap", [36.0, 54.0])
def test_every_hole_is_finished_as_valued(handicap: float, tmp_path: Path) -> None:
    file = next(file for file in demo_files() if file.name == "course.toml")
    (tmp_path / "course.toml").write_bytes(file.read_bytes())
    holes = read_course(tmp_path / "course.toml").holes
    # holes 3, 7, 13 and 18 of the demo have water to carry
    layouts = [lay_out(ground_grid(holes[number - 1], "middle", "tucked")) for number in (3, 7, 13, 18)]
    player = compile_player(reference_golfer(handicap))
    strategies = solve_course(layouts, player)
    mean = play_rounds(strategies, player, 20_000).strokes.mean(axis=0)
    assert mean == pytest.approx([strategy.expected_strokes for strategy in strategies], abs=0.12)
