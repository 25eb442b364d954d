"""Where the seconds of `rangework plan` go: by the clock and of processor time, stage by stage.

`python benchmarks/plan.py --where` runs it. A stage whose processor time is that of the clock runs on one processor
while others are idle; one with twice as much keeps two busy. Stages that run inside another are indented.
"""

from __future__ import annotations

import contextlib
import functools
import importlib
import io
import sys
import threading
import time
from collections.abc import Callable
from typing import Any

START_S = time.perf_counter()

#: Where a function is called from, its name there, and what it does.
STAGES = (
    ("rangework.cli.commands.plan", "read_given", "reading files"),
    ("rangework.advice", "prepare", "preparing the player"),
    ("rangework.advice", "fit_player", "fit (the course is laid out beside it)"),
    ("rangework.advice", "solve_course", "strategy"),
    ("rangework.advice", "value_parts", "worths"),
    ("rangework.worth.table", "golfer_worths", "the mean golfer"),
    ("rangework.worth.table", "coarsened", "coarse layouts"),
    ("rangework.worth.table", "in_threads", "draws"),
    ("rangework.advice", "learned_responses", "learning from tests and hours"),
    ("rangework.advice", "make_plan", "the week's hours"),
    ("rangework.advice", "Rehearsal", "rounds today"),
    ("rangework.plan.replay", "allocate_hours", "linear programs"),
    ("rangework.plan.rehearsal", "refine_course", "targets after practice"),
    ("rangework.cli.commands.plan", "free_strokes_first", "free strokes"),
    ("rangework.cli.commands.plan", "plan_text", "writing the page"),
)


class Stages:
    """Seconds by stage, in the order in which they begin; only what the main thread calls is a stage."""

    def __init__(self) -> None:
        self.spent: dict[str, list[float]] = {}
        self._depth = 0

    def watch(self, module: str, name: str, words: str) -> None:
        """Count what the function ``name`` of ``module`` takes, under ``words``."""
        home = importlib.import_module(module)
        setattr(home, name, self._watched(getattr(home, name), words))

    def _watched(self, work: Callable[..., Any], words: str) -> Callable[..., Any]:
        @functools.wraps(work)
        def timed(*given: Any, **named: Any) -> Any:
            if threading.current_thread() is not threading.main_thread():
                return work(*given, **named)
            spent = self.spent.setdefault("  " * self._depth + words, [0.0, 0.0])
            start = (time.perf_counter(), time.process_time())
            self._depth += 1
            try:
                return work(*given, **named)
            finally:
                self._depth -= 1
                spent[0] += time.perf_counter() - start[0]
                spent[1] += time.process_time() - start[1]

        return timed


def tell_stages(arguments: list[str]) -> None:
    """Run `rangework` with these arguments in this process and print where its seconds went."""
    stages = Stages()
    for stage in STAGES:
        stages.watch(*stage)
    stages.spent["loading the program"] = [time.perf_counter() - START_S, time.process_time()]
    from rangework.cli.main import rangework

    with contextlib.redirect_stdout(io.StringIO()):
        rangework(arguments, standalone_mode=False)
    stages.spent["all"] = [time.perf_counter() - START_S, time.process_time()]
    print(f"{'seconds':45s} clock  processor")
    for words, (clock, processor) in stages.spent.items():
        print(f"{words:45s} {clock:5.2f}  {processor:9.2f}")


if __name__ == "__main__":
    tell_stages(sys.argv[1:])
