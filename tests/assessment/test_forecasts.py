"""Forecasts are kept as they were made, matched with what came, and judged by a proper score."""

from __future__ import annotations

from datetime import date
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
import pytest

from rangework.assessment.forecasts import (
    Forecast,
    Outcome,
    forecasts_text,
    outcomes,
    read_forecasts,
    records_before,
    round_forecasts,
    rounds_played,
    verdict,
)
from rangework.errors import InputError
from rangework.records import read_records


def forecast(
    value: float = 85.0, half: float = 5.0, last: float | None = None, day: str = "2026-06-01"
) -> Forecast:
    return Forecast("2026-05-30", day, "round", "score", value, value - half, value + half, last)


def test_records_of_the_day_and_later_are_left_out() -> None:
    with as_file(files("rangework.demo").joinpath("files", "rounds.csv")) as path:
        records = read_records([path])
    days = sorted(records.log["date"].dt.date.unique())
    kept, left_out = records_before(records, days[2])
    assert sorted(kept.log["date"].dt.date.unique()) == days[:2]
    assert left_out == records.n_balls - kept.n_balls > 0
    assert records_before(records, date(2199, 1, 1))[1] == 0


def test_the_interval_score_by_hand() -> None:
    """Gneiting and Raftery 2007, equation 43, at 90 %: the width, and 20 times what is missed."""
    found = verdict([Outcome(forecast(), 85.0), Outcome(forecast(), 93.0)])
    assert found is not None
    assert (found.inside, found.width, found.error) == (0.5, 10.0, 4.0)
    assert found.penalty == pytest.approx((10.0 + 10.0 + 20.0 * 3.0) / 2)
    assert found.last_error is None


def test_the_same_as_last_time_gets_a_range_of_the_same_width() -> None:
    found = verdict([Outcome(forecast(last=80.0), 86.0), Outcome(forecast(), 85.0)])
    assert found is not None
    assert (found.with_last, found.last_error, found.last_inside) == (1, 6.0, 0.0)
    assert found.last_penalty == pytest.approx(10.0 + 20.0 * 1.0)
    assert found.error_where_last == 1.0


def test_an_honest_range_holds_nine_of_ten_and_a_narrow_one_does_not() -> None:
    rng = np.random.default_rng(4)
    scores = rng.normal(85.0, 4.0, 2000)
    honest, narrow = (
        verdict([Outcome(forecast(half=1.645 * sd), score) for score in scores]) for sd in (4.0, 2.0)
    )
    assert honest is not None
    assert narrow is not None
    assert honest.inside == pytest.approx(0.9, abs=0.02)
    assert narrow.inside < 0.7
    assert honest.penalty < narrow.penalty


def test_the_first_round_on_the_day_or_after_is_the_outcome() -> None:
    kept = [forecast(day="2026-06-01"), forecast(day="2026-07-01")]
    came = [
        (date(2026, 5, 20), {"score": 99.0}),
        (date(2026, 6, 3), {"score": 84.0}),
        (date(2026, 6, 9), {"score": 90.0}),
    ]
    found = outcomes(kept, "round", came)
    assert [each.came for each in found] == [84.0]
    assert outcomes(kept, "test", came) == []


def test_a_file_comes_back_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "kept.json"
    assert read_forecasts(file, may_be_new=True) == []
    with pytest.raises(InputError):
        read_forecasts(file)
    kept = [forecast(last=80.0), forecast()]
    file.write_text(forecasts_text(kept), encoding="utf-8")
    assert read_forecasts(file) == kept


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        '{"forecasts": [1]}',
        '{"forecasts": [{"day": "2026-06-01"}]}',
        forecasts_text([forecast(half=-1.0)]),
    ],
)
def test_another_file_is_refused(tmp_path: Path, text: str) -> None:
    file = tmp_path / "kept.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="forecasts that rangework has kept"):
        read_forecasts(file)


def test_rounds_of_the_demo_are_counted() -> None:
    with as_file(files("rangework.demo").joinpath("files", "rounds.csv")) as path:
        played = rounds_played(read_records([path]).log)
    assert len(played) == 8
    assert [day for day, _ in played] == sorted(day for day, _ in played)
    for _, values in played:
        assert values["score"] == sum(values[name] for name in values if name != "score")
        assert 70 < values["score"] < 120
        assert 14 <= values["tee"] <= 18


def test_a_forecast_is_the_spread_of_simulated_rounds_with_last_time_beside() -> None:
    with as_file(files("rangework.demo").joinpath("files", "rounds.csv")) as path:
        log = read_records([path]).log
    last_day, last = rounds_played(log)[-1]
    by_family = np.tile([14, 20, 18, 34, 1], (1000, 1)) + np.random.default_rng(1).integers(0, 3, (1000, 5))
    made = round_forecasts(by_family, date(2026, 6, 1), date(2026, 6, 2), log)
    assert made[0].quantity == "score"
    assert made[0].last == last["score"]
    assert made[0].low < made[0].value < made[0].high
    before = round_forecasts(by_family, date(2026, 1, 1), last_day, log)[0]
    assert before.last != made[0].last
