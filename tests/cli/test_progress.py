"""Progress is for people at a terminal who have waited a second."""

from __future__ import annotations

import io

import pytest

from rangework.cli import progress as progress_module
from rangework.cli.progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    clock = [100.0]
    monkeypatch.setattr(progress_module.time, "monotonic", lambda: clock[0])
    return clock


def test_nothing_is_drawn_off_a_terminal(now: list[float]) -> None:
    stream = io.StringIO()
    shown = Progress("Playing", stream)
    now[0] += 5.0
    shown.report(1, 2)
    shown.clear()
    assert stream.getvalue() == ""


def test_nothing_is_drawn_within_the_first_second(now: list[float]) -> None:
    stream = Terminal()
    shown = Progress("Playing", stream)
    now[0] += 0.9
    shown.report(1, 2)
    shown.clear()
    assert stream.getvalue() == ""


def test_the_ball_rolls_and_the_line_is_wiped(now: list[float]) -> None:
    stream = Terminal()
    shown = Progress("Playing", stream)
    for done in (1, 2):
        now[0] += 1.1
        shown.report(done, 2)
    half, whole = stream.getvalue().split("\r")[1:]
    assert half.index("o") < whole.index("o") < whole.index("|")
    assert half.endswith(" 50%")
    assert whole.endswith("100%")
    shown.clear()
    assert stream.getvalue().endswith("\r" + " " * len(whole) + "\r")


def test_it_is_not_drawn_more_than_ten_times_a_second(now: list[float]) -> None:
    stream = Terminal()
    shown = Progress("Playing", stream)
    now[0] += 1.1
    for done in range(1000):
        shown.report(done, 1000)
    assert stream.getvalue().count("\r") == 1
