"""Targets are read and written in plain golf words, and every fault is told with its remedy."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.aim import Base, Target, parse_targets, target_text
from rangework.errors import InputError
from rangework.units import YARD_M, Units


@pytest.mark.parametrize(
    ("text", "target"),
    [
        ("pin", Target()),
        ("straight at the pin", Target()),
        ("middle", Target(Base.MIDDLE)),
        ("the centre of the green", Target(Base.MIDDLE)),
        ("8 right", Target(right_m=8 * YARD_M)),
        ("8 yd right of the pin", Target(right_m=8 * YARD_M)),
        ("8yd left, 3 yards short", Target(right_m=-8 * YARD_M, long_m=-3 * YARD_M)),
        ("6 m left and 9 ft long of the middle", Target(Base.MIDDLE, None, -6.0, 9 * YARD_M / 3)),
        ("longest", Target(Base.LONGEST)),
        ("the longest shot, 12 left", Target(Base.LONGEST, None, -12 * YARD_M)),
        ("lay up to 90", Target(Base.LAY_UP, 90 * YARD_M)),
        ("Lay-up to 90 yd and 10 left", Target(Base.LAY_UP, 90 * YARD_M, -10 * YARD_M)),
        ("carry 165 m", Target(Base.CARRY, 165.0)),
        ("carry 165 m 4 right", Target(Base.CARRY, 165.0, 4 * YARD_M)),
        ("pin, high", Target(height=2)),
        ("2 short of the pin, low", Target(long_m=-2 * YARD_M, height=0)),
    ],
)
def test_plain_words_are_understood(text: str, target: Target) -> None:
    (read,) = parse_targets([text], "yards")
    assert read.base is target.base
    assert read.height == target.height
    for name in ("length_m", "right_m", "long_m"):
        assert getattr(read, name) == pytest.approx(getattr(target, name)), name


def test_numbers_are_in_the_units_of_the_command() -> None:
    assert parse_targets(["8 right"], "metres") == [Target(right_m=8.0)]


TENTHS = st.integers(1, 4000).map(lambda tenths: tenths / 10)


@given(
    base=st.sampled_from(Base),
    length=TENTHS,
    right=st.one_of(st.just(0.0), TENTHS),
    left=st.booleans(),
    long=st.one_of(st.just(0.0), TENTHS),
    short=st.booleans(),
    height=st.sampled_from([None, 0, 1, 2]),
    units=st.sampled_from(["yards", "metres"]),
)
def test_what_is_written_reads_back(
    base: Base,
    length: float,
    right: float,
    left: bool,
    long: float,
    short: bool,
    height: int | None,
    units: Units,
) -> None:
    unit_m = YARD_M if units == "yards" else 1.0
    target = Target(
        base,
        length * unit_m if base in (Base.LAY_UP, Base.CARRY) else None,
        (-right if left else right) * unit_m,
        (-long if short else long) * unit_m,
        height,
    )
    (read,) = parse_targets([target_text(target, units)], units)
    assert (read.base, read.height) == (target.base, target.height)
    assert read.length_m == pytest.approx(target.length_m)
    assert (read.right_m, read.long_m) == pytest.approx((target.right_m, target.long_m))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("8 rihgt", ["'rihgt'", "Did you mean right?", "'8'"]),
        ("8", ["expected a side after the length"]),
        ("right", ["expected a length before it", "5 right"]),
        ("yd right", ["expected a number before the unit"]),
        ("3 left, 4 right", ["one length to the side"]),
        ("3 short 4 short", ["one length to the side and one short or long"]),
        ("lay up to", ["expected a length above 0", "lay up to 90"]),
        ("carry 0", ["expected a length above 0", "carry 90"]),
        ("pin middle", ["expected one thing to count from", "Give --target once for each"]),
        ("pin low high", ["expected one height"]),
        ("-5 right", ["Say left or short in place of a sign"]),
        ("", ["expected pin, middle"]),
        ("flagstick", ["'flagstick'", "A target is"]),
    ],
)
def test_faults_are_told_with_their_remedy(text: str, told: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        parse_targets([text], "yards")
    assert all(part in str(caught.value) for part in told), str(caught.value)


def test_all_faults_of_all_targets_are_told_together() -> None:
    with pytest.raises(InputError) as caught:
        parse_targets(["8 rihgt", "pin", "carry"], "yards")
    assert len(caught.value.problems) == 3


@given(st.text(max_size=40))
def test_any_text_is_read_or_told(text: str) -> None:
    with suppress(InputError):
        assert len(parse_targets([text], "yards")) == 1
