"""Numbers written on the command line, read so that all faults can be told together."""

from __future__ import annotations

from rangework.errors import Problem


class NumberWords:
    """Reads numbers; what cannot be read becomes a problem."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def number(
        self, option: str, text: str | None, low: float, high: float, expected: str, *, whole: bool = False
    ) -> float | None:
        """The number written, or None where there is none."""
        if text is None:
            return None
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not low <= value <= high or (whole and value != int(value)):
            self.problems.append(Problem(option, "", text, expected))
            return None
        return value
