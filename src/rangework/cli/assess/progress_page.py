"""What `rangework assess progress` prints, and the same as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rangework.cli.assess.cell_words import cell_words
from rangework.cli.assess.interval_chart import CHART_WORDS, IntervalChart
from rangework.cli.playing import golfer_words
from rangework.cli.tables import Block, interval, number, paragraph, percent, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rangework.assessment.progress import Change
    from rangework.assessment.tested_player import TestedPlayer
    from rangework.units import Units

CHART, SERIES = 23, 34
KINDS = {"all": "", "band": "by distance", "pin": "by pin position", "cell": "by distance and pin position"}
LEARNT = (
    "Who hits the same card again gets better at the card itself: part of any rise may be that. Draw a new order "
    "and new pins, and let a third test on another day confirm a change."
)
NEW_ORDER = "Another --seed of `rangework assess design` draws them."


def progress_text(tested: TestedPlayer, found: Sequence[Change], who: str, units: Units) -> str:
    """The whole page, the answer first."""
    cards = tested.scored.cards
    head = f"{len(cards)} TESTS of {who}, {cards[0].day} to {cards[-1].day}, against {golfer_words(tested.level)}"
    parts = [
        f"{paragraph(head)}\n{paragraph(answer_of(found, units))}",
        f"THE CHANGE, strokes gained a ball from the first test to the last\n{_change_table(found, units)}",
        f"WHAT WOULD HAVE COME BY ITSELF on the last test, strokes gained a ball\n{_foretold_table(found, units)}",
        f"TEST BY TEST, usual strokes gained a ball\n{_series(found[0])}",
    ]
    fading = [change for change in found if change.fading]
    if fading:
        told = "; ".join(
            f"{cell_words(each.name, units)} ({percent(each.chance_real)} sure)"
            for each in fading
            if each.kind != "all"
        )
        if told:
            parts.append("STRENGTHS THAT FADE\n" + paragraph(told + ". A little of each keeps them."))
    parts.append("MIND\n" + paragraph(f"{LEARNT} {NEW_ORDER} {CHART_WORDS}"))
    return "\n\n".join(parts)


def answer_of(found: Sequence[Change], units: Units) -> str:
    """Whether any change is real, in a sentence."""
    real = [change for change in found if change.real]
    if real:
        told = "; ".join(
            f"{cell_words(each.name, units)} {'better' if each.change.value > 0 else 'worse'} by "
            f"{number(abs(each.change.value), 2)} ({percent(each.chance_real)})"
            for each in real[:4]
        )
        return f"Real with at least 90 %: {told}."
    every = found[0]
    way = "better" if every.change.value > 0 else "worse"
    return (
        "No change is real with 90 %. All balls together look "
        f"{way} by {number(abs(every.change.value), 2)} strokes a ball, and the probability that they are {way} at all "
        f"is {percent(every.chance_real)}: go on measuring, and do not change the plan for it."
    )


def _change_table(found: Sequence[Change], units: Units) -> str:
    chart = IntervalChart([change.change for change in found], CHART)
    blocks = [
        Block(
            heading,
            [
                [
                    cell_words(each.name, units),
                    f"{each.stages[0].balls}/{each.stages[-1].balls}",
                    number(each.change.value, 2, signed=True),
                    chart.line(each.change.value, each.change.low, each.change.high),
                    percent(each.chance_real),
                ]
                for each in found
                if each.kind == kind
            ],
        )
        for kind, heading in KINDS.items()
    ]
    return table(["", "balls", "change", f"90 % range\n{chart.scale()}", "is real"], blocks)


def _foretold_table(found: Sequence[Change], units: Units) -> str:
    rows = [
        [
            cell_words(each.name, units),
            number(each.stages[0].raw, 2, signed=True),
            number(each.foretold.value, 2, signed=True),
            interval(each.foretold.low, each.foretold.high, 2, signed=True),
            number(each.stages[-1].raw, 2, signed=True),
        ]
        for each in found
    ]
    return table(["", "first", "foretold", "90 % range", "came"], [Block("", rows)])


def _series(change: Change) -> str:
    chart = IntervalChart([stage.usual for stage in change.stages], SERIES)
    rows = [
        [
            f"{stage.day}",
            str(stage.balls),
            number(stage.raw, 2, signed=True),
            number(stage.usual.value, 2, signed=True),
            chart.line(stage.usual.value, stage.usual.low, stage.usual.high),
        ]
        for stage in change.stages
    ]
    return table(
        ["", "balls", "on the\nday", "usual", f"usual, 90 % range\n{chart.scale()}"], [Block("", rows)]
    )


def progress_results(tested: TestedPlayer, found: Sequence[Change]) -> dict[str, Any]:
    """The same numbers as plain values."""
    return {
        "against": tested.level,
        "assessments": [
            {"assessment": card.name, "date": card.day.isoformat(), "balls": int(means.balls.sum())}
            for card, means in zip(tested.scored.cards, tested.posterior.cards, strict=True)
        ],
        "changes": [
            {
                "part": each.name,
                "kind": each.kind,
                "change_a_ball": each.change,
                "chance_real": each.chance_real,
                "foretold_a_ball": each.foretold,
                "fading": each.fading,
                "series": [
                    {
                        "date": stage.day.isoformat(),
                        "balls": stage.balls,
                        "gained_a_ball": stage.raw,
                        "usual_a_ball": stage.usual,
                    }
                    for stage in each.stages
                ],
            }
            for each in found
        ],
    }
