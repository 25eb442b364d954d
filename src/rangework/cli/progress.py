"""Progress on standard error: only on a terminal, only when the work takes more than a second."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

PATIENCE_S = 1.0
REDRAW_S = 0.1
TRACK = 30


class Progress:
    """A ball that rolls along a line of dots while work goes on.

    Give :meth:`report` to a function that takes a progress callback ``(done, total)``.
    """

    def __init__(self, label: str, stream: TextIO | None = None) -> None:
        self._label = label
        self._stream = sys.stderr if stream is None else stream
        self._due_s = time.monotonic() + PATIENCE_S if self._stream.isatty() else float("inf")
        self._drawn_width = 0

    def report(self, done: float, total: float) -> None:
        """Say that ``done`` of ``total`` is done."""
        if time.monotonic() < self._due_s:
            return
        share = min(max(done / total, 0.0), 1.0) if total > 0 else 1.0
        ball = round(share * TRACK)
        self._draw(f"{self._label}  {'.' * ball}o{' ' * (TRACK - ball)}|  {share:4.0%}")
        self._due_s = time.monotonic() + REDRAW_S

    def clear(self) -> None:
        """Wipe the line, if one was drawn."""
        if self._drawn_width:
            self._draw(" " * self._drawn_width)
            self._stream.write("\r")
            self._stream.flush()

    def _draw(self, line: str) -> None:
        self._stream.write("\r" + line)
        self._stream.flush()
        self._drawn_width = len(line)


@contextmanager
def progress(label: str) -> Iterator[Progress]:
    """A :class:`Progress` whose line is gone when the work ends, however it ends."""
    shown = Progress(label)
    try:
        yield shown
    finally:
        shown.clear()
