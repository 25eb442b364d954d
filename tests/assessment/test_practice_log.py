"""The log of practice: hours by drill or part, all faults at once."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from rangework.assessment.practice_log import read_practice_log
from rangework.errors import InputError
from rangework.plan.drills import drill_catalogue
from rangework.skill.parts import PART_IDS


def written(folder: Path, text: str) -> Path:
    file = folder / "practice.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_hours_act_by_the_shares_of_a_drill(tmp_path: Path) -> None:
    drill = drill_catalogue()[0]
    file = written(
        tmp_path,
        f"date,drill,minutes\n2026-06-02,{drill.id},30\n2026-06-09,{drill.name},60\n2026-06-10,chip,20\n",
    )
    log = read_practice_log(file, drill_catalogue())
    hours = log.between(date(2026, 6, 1), date(2026, 6, 9))
    for part, share in drill.trains.items():
        assert hours[PART_IDS.index(part)] == pytest.approx(1.5 * share)
    every = log.between(date(2026, 6, 1), date(2026, 7, 1))
    assert every[PART_IDS.index("chip")] - hours[PART_IDS.index("chip")] == pytest.approx(1 / 3)


def test_the_export_of_a_roster_is_read(tmp_path: Path) -> None:
    drill = drill_catalogue()[0].id
    log = read_practice_log(
        written(tmp_path, f"day,drill,hours,note\n2026-06-02,{drill},1.5,windy\n"), drill_catalogue()
    )
    assert log.days == (date(2026, 6, 2),)
    assert log.hours.sum() == pytest.approx(1.5 * sum(drill_catalogue()[0].trains.values()))


def test_every_fault_is_told(tmp_path: Path) -> None:
    file = written(
        tmp_path,
        "date,drill,minutes\nsoon,chip,20\n2026-06-02,chips,20\n2026-06-03,chip,-5\n,chip,20\n2026-06-04,chip,\n",
    )
    with pytest.raises(InputError) as error:
        read_practice_log(file, drill_catalogue())
    places = {problem.place for problem in error.value.problems}
    assert places == {
        "row 2, column date",
        "row 3, column drill",
        "row 4, column minutes",
        "row 5, column date",
        "row 6, column minutes",
    }


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("date,minutes\n2026-06-01,20\n", "a column drill"),
        ("date,drill\n2026-06-01,chip\n", "hours"),
        ("", "empty"),
    ],
)
def test_what_is_no_log(tmp_path: Path, text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read_practice_log(written(tmp_path, text), drill_catalogue())


def test_hours_of_a_drill_that_does_not_work_do_not_count(tmp_path: Path) -> None:
    drill = drill_catalogue()[0]
    text = f"date,drill,hours\n2026-03-01,{drill.id},5\n2026-06-02,{drill.name},1\n2026-06-03,chip,2\n"
    log = read_practice_log(written(tmp_path, text), drill_catalogue())
    assert log.drills == (drill.id, drill.id, "")
    working = {drill.id: np.array([1.0, 0.0])}
    works, fails = log.between_draws(date(2026, 6, 1), date(2026, 6, 9), working)
    assert works == pytest.approx(log.between(date(2026, 6, 1), date(2026, 6, 9)))
    assert fails.sum() == pytest.approx(2.0)
    # hours of March are too long ago to count as practised
    assert log.recent({})[0] == pytest.approx(works)
