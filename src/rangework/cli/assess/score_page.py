"""What `rangework assess score` prints, and the same as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rangework.cli.assess.cell_words import cell_words
from rangework.cli.assess.interval_chart import CHART_WORDS, IntervalChart
from rangework.cli.playing import golfer_words
from rangework.cli.tables import Block, interval, number, paragraph, percent, table

if TYPE_CHECKING:
    from rangework.assessment.leaks import Leaks
    from rangework.assessment.tested_player import TestedPlayer
    from rangework.units import Units

CHART = 15
#: From this probability on the weakest cell is called so without a reserve.
SURE, EVEN = 0.9, 0.5


def score_text(tested: TestedPlayer, found: Leaks, who: str, units: Units, *, each_ball: bool) -> str:
    """The whole page, the answer first."""
    card = tested.scored.cards[-1]
    head = f"WHERE {who.upper() if who == 'the player' else who} LEAKS STROKES: {card.name}, {card.day}"
    parts = [
        f"{paragraph(head)}\n{paragraph(_answer(found, tested.known_from, units))}",
        f"STROKES GAINED on {golfer_words(tested.level)}\n{_total(tested, found)}",
        f"DISTANCE AND PIN, lowest first, strokes gained a ball\n{_leak_table(found, units)}",
    ]
    if each_ball:
        parts.append(f"BALL BY BALL\n{_balls(tested, units)}")
    parts.append("HOW TO READ IT\n" + paragraph(_reading(found)))
    return "\n\n".join(parts)


def _answer(found: Leaks, known_from: str, units: Units) -> str:
    if len(found.cells) == 1:
        return "The card has one distance and pin position only, so that nothing can be compared."
    weakest = found.weakest
    told = f"Most probably weakest: {cell_words(weakest.cell, units)}, with a probability of {percent(weakest.weakest)}"
    if weakest.weakest >= SURE:
        told += "."
    elif weakest.weakest >= EVEN:
        told += ". Test it again before the week is built on it."
    else:
        told += f". That is no more than a hint with {found.balls} balls{_near(found, units)}."
    return f"{told} {_moved_by_card(found, known_from)}"


def _near(found: Leaks, units: Units) -> str:
    weakest = found.weakest
    others = [leak for leak in found.cells if leak is not weakest and leak.weakest >= 0.5 * weakest.weakest]
    near = "; ".join(f"{cell_words(leak.cell, units)} {percent(leak.weakest)}" for leak in others[:3])
    return f". Nearly as likely: {near}" if near else ""


def _moved_by_card(found: Leaks, known_from: str) -> str:
    """How much of the belief was there before the card, and how much its balls added."""
    weakest = found.weakest
    before, now = (round(100.0 * each) for each in (weakest.weakest_before, weakest.weakest))
    source = "The records before it" if known_from == "records" else "The handicap alone"
    there = "1 ball" if weakest.balls == 1 else f"{weakest.balls} balls"
    told = f"{source} said {before} %, and this card ({there} there, {found.balls} in all) "
    if now == before:
        return f"{told}leaves it at that: the belief is not the card's."
    told += f"moves that {'up' if now > before else 'down'} to {now} %"
    return told + (
        ": most of the belief was there before a ball was hit." if before > abs(now - before) else "."
    )


def _total(tested: TestedPlayer, found: Leaks) -> str:
    card = tested.scored.cards[-1]
    n = found.balls
    usual = found.usual
    ends = [None if end is None else end / n for end in (usual.low, usual.high)]
    rows = [
        [f"all {n} balls", number(found.gained, 1, signed=True), number(usual.value, 1, signed=True),
         interval(usual.low, usual.high, 1, signed=True)],
        ["a ball", number(found.gained / n, 2, signed=True), number(usual.value / n, 2, signed=True),
         interval(ends[0], ends[1], 2, signed=True)],
    ]  # fmt: skip
    misread = int(card.balls["misread"].sum())
    told = []
    if card.to_come:
        told.append(f"{card.to_come} balls of the card are still to come: this is the score so far.")
    if misread:
        told.append(
            f"{misread} balls were misread and are not scored: the score is kinder than the player was."
        )
    shown = table(["", "on the day", "usual", "90 % range"], [Block("", rows)])
    return shown + ("\n" + paragraph(" ".join(told)) if told else "")


def _leak_table(found: Leaks, units: Units) -> str:
    chart = IntervalChart([leak.usual for leak in found.cells], CHART)
    rows = [
        [
            cell_words(leak.cell, units),
            str(leak.balls),
            number(leak.raw, 2, signed=True),
            number(leak.usual.value, 2, signed=True),
            chart.line(leak.usual.value, leak.usual.low, leak.usual.high),
            percent(leak.weakest_before),
            percent(leak.weakest),
        ]
        for leak in found.cells
    ]
    return table(
        ["", "balls", "on the\nday", "usual", f"usual, 90 %\n{chart.scale()}", "weakest:\nbefore", "now"],
        [Block("", rows)],
    )


def _balls(tested: TestedPlayer, units: Units) -> str:
    from rangework.lie import Lie
    from rangework.units import METRES_PER, shot_unit

    unit = shot_unit(units)
    scored = tested.scored.balls
    own = scored[scored["card"] == len(tested.scored.cards) - 1].to_dict("records")
    rows = [
        [
            f"{place}: {ball['pin_distance_m'] / METRES_PER[unit]:.0f} {unit}, {Lie(ball['lie']).name.lower()}, "
            f"hole {ball['hole']}, {ball['pin']}",
            *(["holed", ""] if ball["holed"] else
              [number(ball[side] / METRES_PER[unit], 1, signed=True) for side in ("long_m", "right_m")]),
            number(ball["gained"], 2, signed=True),
        ]
        for place, ball in enumerate(own, 1)
    ]  # fmt: skip
    return table(["", "long", "right", "gained"], [Block("", rows)])


def _reading(found: Leaks) -> str:
    return (
        "On the day is what these balls did. Usual is what to expect of the player there on any day: few balls are "
        "drawn toward what was known before and toward the other cells, so a low cell of few balls is mostly luck. "
        f"With {found.balls} balls a ball's usual figure is known to about "
        f"{number(((found.usual.high or 0) - (found.usual.low or 0)) / 2 / found.balls, 2)} strokes either way; the "
        "balls are records: give the card to skill and plan beside the others. "
        "Weakest: the probability that no other is weaker, before the card and with it. "
        f"{CHART_WORDS}"
    )


def score_results(tested: TestedPlayer, found: Leaks) -> dict[str, Any]:
    """The same numbers as plain values."""
    scored, card = tested.scored, tested.scored.cards[-1]
    own = scored.balls[scored.balls["card"] == len(scored.cards) - 1].to_dict("records")
    names = ("hole", "pin", "target_m", "pin_distance_m", "long_m", "right_m", "holed", "misread")
    return {
        "assessment": card.name,
        "date": card.day.isoformat(),
        "against": tested.level,
        "balls": found.balls,
        "balls_to_come": card.to_come,
        "gained": found.gained,
        "usual": found.usual,
        "known_before_from": tested.known_from,
        "cells": [
            {
                **dict(zip(("band", "pin"), leak.cell.split("."), strict=True)),
                "balls": leak.balls,
                "gained_a_ball": leak.raw,
                "usual_a_ball": leak.usual,
                "chance_weakest": leak.weakest,
                "usual_a_ball_before": leak.usual_before,
                "chance_weakest_before": leak.weakest_before,
                "share_from_card": leak.from_card,
            }
            for leak in found.cells
        ],
        "each_ball": [
            {**{name: ball[name] for name in names}, "row": ball["row"], "expected_strokes": ball["expected"],
             "gained": ball["gained"], "cell": scored.cells.names[ball["cell"]]}
            for ball in own
        ],
    }  # fmt: skip
