"""Values with their intervals drawn as one line of text each."""

from __future__ import annotations

from collections.abc import Sequence

from rangework.estimate import Estimate

#: What the lines show, for the foot of a page.
CHART_WORDS = "In the lines dashes are the range, o is the figure itself, and | is zero."


class IntervalChart:
    """Lines of equal scale: the interval as dashes, the value as ``o``, zero as ``|``.

    >>> chart = IntervalChart(
    ...     [Estimate(-0.2, -0.4, 0.0, "", "data"), Estimate(0.3, 0.1, 0.5, "", "data")], 11
    ... )
    >>> [chart.line(-0.2, -0.4, 0.0), chart.line(0.3, 0.1, 0.5)]
    ['--o-|      ', '    | --o--']
    """

    def __init__(self, estimates: Sequence[Estimate], width: int) -> None:
        ends = [end for each in estimates for end in (each.low, each.high, each.value) if end is not None]
        self._low, self._high = min([0.0, *ends]), max([0.0, *ends])
        self._width = width

    def scale(self) -> str:
        """The two ends of the lines, for a heading."""
        low, high = f"{self._low:+.2f}", f"{self._high:+.2f}"
        return low + high.rjust(self._width - len(low))

    def line(self, value: float, low: float | None, high: float | None) -> str:
        """One value with its interval."""
        cells = [" "] * self._width
        if low is not None and high is not None:
            first, last = self._place(low), self._place(high)
            cells[first : last + 1] = "-" * (last + 1 - first)
        cells[self._place(0.0)] = "|"
        cells[self._place(value)] = "o"
        return "".join(cells)

    def _place(self, value: float) -> int:
        reach = self._high - self._low
        return round((value - self._low) / reach * (self._width - 1)) if reach > 0.0 else 0
