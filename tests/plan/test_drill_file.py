"""Drills files: what they may say, and that every fault is told with its place and a remedy."""

from __future__ import annotations

import contextlib
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.errors import InputError
from rangework.plan.drill_file import parse_drills, read_drills
from rangework.plan.drills import PLACES, drill_catalogue, shares, untrained_parts
from rangework.skill.parts import PART_IDS

GOOD = """
[drill.my_gate]
name = "My gate"
place = "putting_green"
trains = { "putt.line" = 0.7 }
balls_per_hour = 100
least_block_minutes = 15

[response."putt.line"]
most_percent = 19
half_hours = 12
"""


def problems_of(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_drills(text, "mine.toml")
    return [str(problem) for problem in caught.value.problems]


def test_catalogue_covers_every_part_and_place() -> None:
    drills = drill_catalogue()
    assert len(drills) >= 16
    assert {drill.place for drill in drills} == set(PLACES)
    assert {part for drill in drills for part in drill.trains} == set(PART_IDS)
    assert all(0.0 < total <= 1.0 for total in shares(drills).sum(axis=1))
    assert all(drill.cautions for drill in drills if "tee.carry" in drill.trains)


def test_a_putting_green_trains_putting_only() -> None:
    untrained = untrained_parts(drill_catalogue())
    assert "tee.carry" in untrained["putting_green"]
    assert not {"putt.line", "putt.pace"} & set(untrained["putting_green"])


def test_own_drills_replace_the_catalogue_unless_it_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "drills.toml"
    path.write_text(GOOD, "utf-8")
    read = read_drills(path)
    assert [drill.id for drill in read.drills] == ["my_gate"]
    # two steps of 10 % leave 0.81 of a spread
    assert read.responses["putt.line"].most_steps == pytest.approx(2.0)
    assert read.responses["putt.line"].half_hours == 12.0
    path.write_text("add_to_catalogue = true\n" + GOOD, "utf-8")
    assert len(read_drills(path).drills) == len(drill_catalogue()) + 1


def test_responses_alone_keep_the_catalogue() -> None:
    read = parse_drills('[response."tee.carry"]\nmost_yd = 10\n', "mine.toml")
    assert read.drills == drill_catalogue()
    assert read.responses["tee.carry"].most_steps == pytest.approx(10 * 0.9144 / 5.0)


def test_every_fault_is_told_at_once() -> None:
    told = problems_of(
        """
        colour = "red"
        [drill.one]
        name = ""
        place = "puting_green"
        trains = { "putt.lin" = 0.7, "putt.pace" = 1.4 }
        balls_per_hour = -3
        least_block_minutes = 12
        equipement = "x"
        [drill.two]
        name = "Two"
        place = "home"
        trains = { "putt.line" = 0.7, "putt.pace" = 0.6 }
        balls_per_hour = 10
        least_block_minutes = 10
        [response."tee.carry"]
        most_percent = 10
        """
    )
    expected = (
        "colour",
        "drill.one.name",
        "Did you mean 'putting_green'?",
        "Did you mean 'putt.line'?",
        "drill.one.trains.\"putt.pace\" is '1.4'",
        "drill.one.balls_per_hour is '-3'",
        "drill.one.least_block_minutes is '12'",
        "Did you mean 'equipment'?",
        "drill.two.trains is '1.3'",
        'response."tee.carry".most_percent',
    )
    assert len(told) == len(expected)
    for words in expected:
        assert any(words in problem for problem in told), words


def test_an_unquoted_part_is_explained() -> None:
    told = problems_of(GOOD.replace('"putt.line" = 0.7', "putt.line = 0.7"))
    assert len(told) == 1
    assert "Quote" in told[0]
    assert "Quote" in problems_of("[response.putt.line]\nhalf_hours = 3")[0]


@pytest.mark.parametrize("text", ["drill = 3", "[drill]\none = 1", "response = []", "not toml", "[drill.x]"])
def test_wrong_shapes_are_input_errors(text: str) -> None:
    assert problems_of(text)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(InputError):
            read_drills(path)
    broken = tmp_path / "latin.toml"
    broken.write_bytes(b'[drill.x]\nname = "\xe9"')
    with pytest.raises(InputError, match="UTF-8"):
        read_drills(broken)


@given(share=st.floats(allow_nan=True, allow_infinity=True))
def test_a_share_is_taken_or_refused(share: float) -> None:
    written = "nan" if math.isnan(share) else repr(share)
    text = GOOD.replace("0.7", written)
    if 0.0 < share <= 1.0:
        assert parse_drills(text, "mine.toml").drills[0].trains["putt.line"] == share
    else:
        assert problems_of(text)


@given(st.text(max_size=80))
def test_no_text_raises_anything_but_input_errors(text: str) -> None:
    with contextlib.suppress(InputError):
        parse_drills(text, "mine.toml")


def test_the_documented_example_reads() -> None:
    page = Path(__file__).parents[2] / "docs" / "reference" / "drills.md"
    text = page.read_text("utf-8")
    read = parse_drills(text.split("```toml\n")[1].split("```")[0], "example")
    assert len(read.drills) == len(drill_catalogue()) + 1
    assert f"rangework brings {len(drill_catalogue())} drills" in text
    assert all(f"`{part}`" in text or part.startswith("approach_") for part in PART_IDS)
