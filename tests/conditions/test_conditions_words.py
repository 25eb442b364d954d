"""Conditions read from words, options and a file, and told again."""

from __future__ import annotations

import math
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.conditions import NEUTRAL, Conditions, conditions_from
from rangework.conditions.words import COMPASS, parse_altitude, parse_temperature, parse_wind, told
from rangework.errors import InputError


def test_winds() -> None:
    wind = parse_wind("10 mph from SW")
    assert (wind.speed_m_s, wind.compass) == (pytest.approx(4.4704), True)
    assert math.degrees(wind.from_rad) == pytest.approx(225.0)
    assert parse_wind("10mph from the south-west") == wind
    clock = parse_wind("18 km/h from 2:30 o'clock")
    assert (clock.speed_m_s, clock.compass) == (pytest.approx(5.0), False)
    assert math.degrees(clock.from_rad) == pytest.approx(75.0)
    assert parse_wind("5 m/s from the right") == parse_wind("5 m/s from 3 o'clock")
    for wrong in (
        "10 mph",
        "SW",
        "10 mph from 13 o'clock",
        "50 mph from N",
        "10 mph from 400",
        "-5 mph from N",
    ):
        with pytest.raises(ValueError, match="such as"):
            parse_wind(wrong)


def test_quantities() -> None:
    assert parse_temperature("50F") == pytest.approx(10.0)
    assert parse_altitude("4000 ft") == pytest.approx(1219.2)
    for wrong in ("warm", "50", "400C"):
        with pytest.raises(ValueError, match="temperature"):
            parse_temperature(wrong)


@given(st.integers(0, 40), st.integers(0, 15))
def test_what_is_told_reads_back(mph: int, point: int) -> None:
    wind = parse_wind(f"{mph} mph from {COMPASS[point]}")
    assert told(Conditions(wind=wind), "yards") == f"wind {mph} mph from {COMPASS[point]}"


def test_told_in_a_line() -> None:
    assert told(NEUTRAL, "yards") == ""
    assert not NEUTRAL.stated
    day = conditions_from(
        None,
        wind="5 m/s from 2:30 o'clock",
        temperature="10C",
        altitude="1200m",
        ground="firm",
        green_speed="9.5",
    )
    expected = "wind 11 mph from 2:30 o'clock, 50 °F, 3,937 ft up, firm ground, green speed 9.5 ft"
    assert told(day, "yards") == expected
    assert day.stated["green_speed_m"] == pytest.approx(2.8956)


def test_file_and_options(tmp_path: Path) -> None:
    file = tmp_path / "day.toml"
    file.write_text('wind = "10 mph from W"\ngreen_speed = 10\n[wind_by_hole]\n4 = "6 mph from N"\n')
    day = conditions_from(file, wind="12 mph from E", ground=None)
    assert day.wind == parse_wind("12 mph from E")
    assert day.wind_on(4) == parse_wind("6 mph from N")
    assert (day.green_speed_ft, day.ground) == (10.0, "normal")


def test_every_fault_at_once(tmp_path: Path) -> None:
    file = tmp_path / "day.toml"
    file.write_text(
        'wnd = "10 mph from W"\naltitude = true\n[wind_by_hole]\n4 = "strong"\n99 = "6 mph from N"\n'
    )
    with pytest.raises(InputError) as caught:
        conditions_from(file, temperature="hot", ground="wet")
    text = str(caught.value)
    assert len(caught.value.problems) == 6
    for part in (
        "Did you mean 'wind'?",
        "altitude",
        "wind_by_hole.4",
        "wind_by_hole.99",
        "--temperature",
        "--ground",
    ):
        assert part in text


@given(st.binary(max_size=80))
def test_any_bytes_give_conditions_or_a_clear_error(data: bytes) -> None:
    from tempfile import NamedTemporaryFile

    with NamedTemporaryFile(suffix=".toml") as file:
        Path(file.name).write_bytes(data)
        with suppress(InputError):
            assert isinstance(conditions_from(Path(file.name)), Conditions)
