"""What the command line asks of a ladder, read with all its faults at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rangework.assessment.ladder import LEAST_CHANCE, MOST_RUNGS
from rangework.assessment.number_words import NumberWords
from rangework.errors import InputError, Problem

#: Seconds for a ball on a ladder, where nobody says: it is set up, hit, judged and noted (common practice, no source).
SECONDS_A_BALL = 30.0


@dataclass(frozen=True, slots=True)
class LadderWish:
    """Chances of the rungs, first to last, and what else was said.

    ``cap`` and ``seen`` are balls, ``minutes`` a time to fill; None where nothing was said.
    """

    chances: tuple[float, ...]
    cap: int | None
    seen: float | None
    minutes: float | None
    seconds_a_ball: float


def read_ladder_wish(
    chances: Sequence[str],
    rungs: str | None,
    *,
    cap: str | None = None,
    seen: str | None = None,
    minutes: str | None = None,
    seconds_a_ball: str | None = None,
    of_player: bool = False,
) -> LadderWish:
    """The wish behind the texts of the options; no chances ``of_player``. Raises InputError with every fault."""
    words = NumberWords()
    chance = f"a chance from {LEAST_CHANCE} to 1, such as 0.6"
    values = [words.number("--chance", text, LEAST_CHANCE, 1.0, chance) for text in chances]
    count = f"a whole number from 1 to {MOST_RUNGS}"
    number = words.number("--rungs", rungs, 1, MOST_RUNGS, count, whole=True)
    whole_cap = words.number(
        "--cap", cap, 1, 1_000_000, "a whole number of balls from 1 to 1,000,000", whole=True
    )
    n_seen = words.number("--seen", seen, 1.0, 1e6, "a number of balls from 1 to 1,000,000")
    time = words.number("--minutes", minutes, 0.5, 600.0, "minutes from 0.5 to 600")
    pace = words.number("--seconds-per-ball", seconds_a_ball, 1.0, 600.0, "seconds from 1 to 600")
    words.problems += (
        _beside_rungs(chances, rungs, seen) if of_player else _unlike_counts(len(values), number, rungs)
    )
    if words.problems:
        raise InputError(words.problems)
    known = [value for value in values if value is not None]
    every = known * int(number or 1) if len(known) == 1 else known
    return LadderWish(
        tuple(every), None if whole_cap is None else int(whole_cap), n_seen, time, pace or SECONDS_A_BALL
    )


def _beside_rungs(chances: Sequence[str], rungs: str | None, seen: str | None) -> list[Problem]:
    """What says the same as --rung does, another way."""
    given = {"--chance": chances[0] if chances else None, "--rungs": rungs, "--seen": seen}
    return [
        Problem(option, "", text, "nothing beside --rung: the records say how likely each rung is")
        for option, text in given.items()
        if text is not None
    ]


def _unlike_counts(chances: int, rungs: float | None, written: str | None) -> list[Problem]:
    if chances == 0:
        return [Problem("--chance", "", "", "the chance to make a rung, such as --chance 0.6")]
    if chances > MOST_RUNGS:
        return [Problem("--chance", "", f"{chances} times", f"at most {MOST_RUNGS} rungs")]
    if chances == 1 and written is None:
        return [Problem("--rungs", "", "", "how many rungs have that chance, such as --rungs 5")]
    if chances > 1 and rungs is not None and rungs != chances:
        return [Problem("--rungs", "", str(written), f"{chances}, or one --chance for all rungs")]
    return []
