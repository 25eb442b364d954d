"""What practice has done in a roster, as plans and pages tell it."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from rangework.cli.group_page import PARTS_NAMED, done_rows, group_text
from rangework.cli.report_page import _practice_done
from rangework.estimate import Estimate
from rangework.plan.response import GroupResponse, group_covariance
from rangework.roster.pooled_responses import PooledPart
from rangework.skill.parts import PART_IDS

GROUP = GroupResponse(np.zeros(len(PART_IDS)), group_covariance(), 9)


def pooled(part: str, retests: int = 7) -> PooledPart:
    """One step in ten hours, half a step to two; as assumed half a step."""
    now = Estimate(1.0, 0.5, 2.0, "steps", "data")
    return PooledPart(part, 5, 30.0, retests, None, 0.5, now, Estimate(2.0, 1.0, 4.0, "times", "data"))


def test_steps_are_told_as_what_they_change() -> None:
    parts = [pooled(part) for part in ("chip", "tee.carry", "tee.bias", "tee.poor_strikes")]
    rows = done_rows(parts, ["tee.carry"], "yards")
    assert rows == [
        ["driver length", "+5.5 yd", "2.7 to 10.9", "+2.7 yd", "7"],
        ["chips (under 20 yd)", "10 % less", "5 to 19", "5 %", "7"],
        ["tee shots, bias", "50 % less", "29 to 75", "29 %", "7"],
        ["tee shots, poor strikes", "25 % fewer", "13 to 44", "13 %", "7"],
    ]
    assert done_rows(parts, ["tee.carry"], "metres")[0][1] == "+5.0 m"


def test_the_plan_tells_its_own_parts_first_and_nothing_where_nothing_is_known() -> None:
    parts = [pooled(part) for part in PART_IDS]
    assert group_text(None, parts, [], "yards") == []
    (text,) = group_text(GROUP, parts, ["putt.pace", "chip"], "yards")
    lines = text.splitlines()
    assert [line.split(" .")[0].strip() for line in lines[3:5]] == ["putting, pace", "chips (under 20 yd)"]
    assert "9 players were tested" in text
    assert f"Not shown: {len(PART_IDS) - PARTS_NAMED} of the parts" in " ".join(text.split())
    assert max(map(len, lines)) <= 80


def test_the_page_to_take_home_tells_it_or_leaves_it_out() -> None:
    plan = SimpleNamespace(plan=SimpleNamespace(hours=()))
    told = SimpleNamespace(
        advice=SimpleNamespace(group=GROUP, plan=plan), pooled=[pooled("chip")], drills=(), units="yards"
    )
    (part,) = _practice_done(told)
    assert part.title == "What practice has done in this roster"
    assert "9 players" in part.text[0]
    assert part.grids[0].rows[0][-1] == "7"
    told.advice.group = None
    assert _practice_done(told) == []
