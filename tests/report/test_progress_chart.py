"""The picture of tests over time: no text on another, nothing cut off, figures and lines those of the tests."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from matplotlib.figure import Figure
from measured_texts import outside, overlapping, shown_texts

from rangework.report.progress_chart import PlayedTest, Track, progress_chart

REAL, LUCK = "better by 0.42: real, 95 % sure", "not shown to be real (worse: 62 %)"


def track(name: str, after: list[int], first: float, step: float, *, real: bool) -> Track:
    """A test after each of so many days; some days' own balls above the usual, some below, some none."""
    days = []
    for number, passed in enumerate(after):
        usual = first + step * number
        seen = [usual + 0.15, usual - 0.2, None, usual][number % 4]
        days.append(
            PlayedTest(date(2025, 12, 1) + timedelta(days=passed), usual, usual - 0.1, usual + 0.1, seen)
        )
    return Track(name, days, REAL if real else LUCK, real)


def drawn(after: list[int]) -> Figure:
    return progress_chart(
        [
            track("all balls", after, -0.2, 0.05, real=True),
            track("200 yd and more", after, 0.0, 0.0, real=False),
            track("sand, under 50 yd", after, -1.6, 0.1, real=True),
        ],
        "a golfer of handicap +2.5",
    )


@pytest.mark.parametrize(
    "after", [[0, 1], [0, 30], [0, 1, 2, 3, 60, 61, 240], list(range(0, 70, 7))], ids=str
)
def test_no_text_covers_another(after: list[int]) -> None:
    figure = drawn(after)
    assert not overlapping(figure)
    assert not outside(figure)


def test_first_and_last_test_are_named_with_their_figures_however_many_lie_between() -> None:
    words = {text.get_text() for text in shown_texts(drawn(list(range(0, 120, 3))))}
    last = date(2025, 12, 1) + timedelta(days=117)
    assert {"1 Dec 2025", f"{last.day} {last:%b} {last.year}"} <= words
    assert {"-0.20", "+1.75", "+0.00", "-1.60", REAL, LUCK} <= words


def test_a_real_change_is_a_full_line_and_luck_a_dashed_one() -> None:
    figure = drawn([0, 30, 61])
    panels = [axes for axes in figure.axes if axes.lines]
    ways = []
    for axes in panels:
        (line,) = [each for each in axes.lines if len(each.get_xdata()) == 3]  # type: ignore[arg-type]
        ways.append(line.get_linestyle())
    assert ways == ["-", "--", "-"]
    assert len({axes.get_ylim() for axes in panels}) == 1


def test_bars_are_the_ranges_at_their_days() -> None:
    axes = drawn([0, 30]).axes[0]
    bars = [line for line in axes.lines if line.get_alpha() == 0.45]
    assert [bar.get_xdata()[0] for bar in bars] == [date(2025, 12, day).toordinal() for day in (1, 31)]  # type: ignore[index]
    assert bars[0].get_ydata() == pytest.approx([-0.3, -0.1])
