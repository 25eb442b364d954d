"""What `rangework habits` prints, and its numbers by their keys in the JSON file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.habit_words import rule_text
from rangework.cli.playing import golfer_words
from rangework.cli.tables import Block, interval, item, number, paragraph, percent, table

if TYPE_CHECKING:
    from rangework.aim.habits.advising import HabitAdvice
    from rangework.aim.habits.free_strokes import FreeStrokes
    from rangework.aim.habits.rules import Rule
    from rangework.aim.habits.seen import SeenHabit, SeenHabits
    from rangework.aim.habits.telling import ToldRule
    from rangework.estimate import Estimate
    from rangework.units import Units

KIND_WORDS = {
    "tee": "tee shots of par 4s and par 5s",
    "approach": "approaches, par-3 tee shots among them",
    "long": "shots with the green out of reach",
}
HOW_TO_FIND_OUT = (
    "How the player aims is not known, so free strokes are not counted: `rangework habits --aims pin` tells what "
    "aiming at every pin costs, and a file of habits (docs/how-to/find-free-strokes.md) what this player's aims do. A "
    "column `aim` in logged rounds tells it too."
)
SAFETY = (
    "Never toward people: no rule aims over ground that is out of bounds, but the tool cannot see who stands where. "
    "Wait, call, or play another way; local rules and the facility's staff decide."
)
HOW_TO_READ = (
    "In the order of what each saves alone, an exception (But ...) after the rule it is taken from: where several "
    "fit a shot, the last of them holds. What no rule fits is played as before; shots of less than "
    "{nearest}, putts, and shots from among trees are not spoken of."
)


def habits_text(
    advice: HabitAdvice,
    seen: SeenHabits | None,
    where: str,
    level: float | str,
    units: Units,
    clubs: Mapping[str, float],
) -> str:
    """The whole page, the answer first."""
    parts = [
        f"FREE STROKES for {where}\n" + paragraph(free_sentence(advice.free)),
        "THE RULES, strokes a round that each saves alone\n" + rules_text(advice, units, clubs),
        f"WHERE THE STROKES GO beside {golfer_words(level)}, strokes a round\n" + split_text(advice.free),
        "WHICH SHOTS COST THEM, strokes a round\n" + kinds_text(advice.free),
        (
            "HOW THE PLAYER AIMS NOW, as stated\n"
            if seen is None
            else "HOW THE PLAYER AIMS NOW, as the log shows\n"
        )
        + aims_now_text(advice.habits, seen, units, clubs),
        "TAKE CARE\n" + paragraph(SAFETY),
    ]
    return "\n\n".join(parts)


def free_sentence(free: FreeStrokes) -> str:
    """What another aim would save, in a sentence."""
    saved = free.decisions
    return (
        f"Another aim would save about {number(saved.value, 2)} strokes a round ({_ends(saved)}) with no practice: "
        "that is what these habits cost beside the best targets for the same shots."
    )


def rules_text(advice: HabitAdvice, units: Units, clubs: Mapping[str, float]) -> str:
    """The rules with what each saves, and what they save together."""
    if not advice.rules:
        return paragraph("No rule of a few words saves enough to be worth remembering.", indent="  ")
    rows = []
    for count, told_rule in enumerate(_told_rules(advice), start=1):
        each = advice.rules[told_rule.place]
        text = rule_text(each.rule, units, clubs, exception=told_rule.exception)
        rows.append([f"{count}. {text}", number(each.alone.value, 2), _ends(each.alone)])
    rows.append(["all together", number(advice.together.value, 2), _ends(advice.together)])
    told = HOW_TO_READ.format(nearest=_nearest_shot(units))
    if advice.share is not None:
        kept = advice.share
        told = f"Together they win back {percent(kept.value)} of the free strokes ({_percents(kept)}). {told}"
    told += (
        " The figures come from pins and plausible players that did not choose the rules; their standard error in the "
        f"simulated rounds is at most {number(_largest_error(advice), 3)}."
    )
    return table(["rule", "saves", "90 % range"], [Block("", rows)]) + "\n" + paragraph(told)


def _nearest_shot(units: Units) -> str:
    from rangework.play.kernels import WALK_BELOW_M
    from rangework.units import METRES_PER, shot_unit

    unit = shot_unit(units)
    return f"{WALK_BELOW_M / METRES_PER[unit]:.0f} {unit}"


def _told_rules(advice: HabitAdvice) -> list[ToldRule]:
    from rangework.aim.habits.telling import in_telling_order

    rules = advice.rules
    return list(in_telling_order([each.rule for each in rules], [each.alone.value for each in rules]))


def _largest_error(advice: HabitAdvice) -> float:
    return max([advice.together_error, *(each.standard_error for each in advice.rules)])


def split_text(free: FreeStrokes) -> str:
    """Decisions and execution, which sum to the whole."""
    rows = [["decisions: these habits, not the best targets", *_row(free.decisions)]]
    if free.execution and free.total:
        rows.append(["execution: the best targets, but this player's shots", *_row(free.execution)])
        rows.append(["together", *_row(free.total)])
    told = (
        f"For the player in the middle of the range, rounds under the same luck say {number(free.in_rounds, 2)} of the "
        f"decisions (standard error {number(free.standard_error, 3)}); computed without luck they are "
        f"{number(free.expected, 2)}."
    )
    return table(["lost to", "strokes", "90 % range"], [Block("", rows)]) + "\n" + paragraph(told)


def kinds_text(free: FreeStrokes) -> str:
    """The decisions by kind of shot."""
    rows = [[KIND_WORDS[kind.value], number(each.value, 2)] for kind, each in free.by_kind.items()]
    return table(["", "strokes"], [Block("", rows)])


def aims_now_text(
    habits: Sequence[Rule], seen: SeenHabits | None, units: Units, clubs: Mapping[str, float]
) -> str:
    """The habits, and what could not be seen of them."""
    told = [rule_text(rule, units, clubs) for rule in habits]
    told += [not_identified(each) for each in (seen.habits if seen else ()) if each.why_not]
    return "\n".join(item(text) for text in told)


def not_identified(habit: SeenHabit) -> str:
    """Why the records do not show how a kind of shot is aimed, in a sentence."""
    words = KIND_WORDS[habit.kind.value]
    which, rest = ("not wholly", "the rest counts") if habit.rules else ("not", "counted")
    return f"{words[0].upper()}{words[1:]}: {which} identified, {habit.why_not}; {rest} as aimed best."


def unknown_text(seen: SeenHabits | None) -> str:
    """How to find out how the player aims, and why the records do not show it."""
    told = [not_identified(each) for each in seen.habits if each.why_not] if seen else []
    return "\n".join([paragraph(HOW_TO_FIND_OUT), *(["", *map(item, told)] if told else [])])


def _row(estimate: Estimate) -> list[str]:
    return [number(estimate.value, 2), _ends(estimate)]


def _ends(estimate: Estimate) -> str:
    return interval(estimate.low, estimate.high, 2)


def _percents(estimate: Estimate) -> str:
    low, high = (None if end is None else 100.0 * end for end in (estimate.low, estimate.high))
    return f"{interval(low, high, 0)} %"


def habits_results(
    advice: HabitAdvice, seen: SeenHabits | None, units: Units, clubs: Mapping[str, float]
) -> dict[str, Any]:
    """Everything that the command tells."""
    told = {each.place: count for count, each in enumerate(_told_rules(advice), start=1)}
    return {
        "free_strokes": free_results(advice.free),
        "habits": [rule_results(rule, units, clubs) for rule in advice.habits],
        "seen": seen_results(seen, units, clubs),
        "rules": [
            {
                **rule_results(each.rule, units, clubs),
                "saves_alone": each.alone,
                "standard_error": each.standard_error,
                "told": told[place],
            }
            for place, each in enumerate(advice.rules)
        ],
        "together": advice.together,
        "together_standard_error": advice.together_error,
        "share": advice.share,
    }


def unknown_results(seen: SeenHabits | None, units: Units) -> dict[str, Any]:
    """The same where no habit is stated or seen."""
    return {"free_strokes": None, "habits": [], "rules": [], "seen": seen_results(seen, units, {})}


def free_results(free: FreeStrokes) -> dict[str, Any]:
    """The split as plain values."""
    return {
        "decisions": free.decisions,
        "execution": free.execution,
        "total": free.total,
        "in_rounds": free.in_rounds,
        "standard_error": free.standard_error,
        "without_luck": free.expected,
        "by_kind": {kind.value: each for kind, each in free.by_kind.items()},
    }


def rule_results(rule: Rule, units: Units, clubs: Mapping[str, float]) -> dict[str, Any]:
    """A rule as plain values, distances in metres; unbounded ones null."""
    shots, target = rule.shots, rule.target
    return {
        "text": rule_text(rule, units, clubs),
        "shots": shots.kind.value,
        "holes": shots.holes,
        "par": shots.pars,
        "lie": shots.lie,
        "from_m": shots.from_m,
        "to_m": shots.to_m,
        "pin": shots.pin and shots.pin.value,
        "target": target and {
            "base": target.base.value,
            "length_m": target.length_m,
            "right_m": target.right_m,
            "long_m": target.long_m,
            "inward": rule.inward,
            "best_line": rule.best_line,
        },
    }  # fmt: skip


def seen_results(
    seen: SeenHabits | None, units: Units, clubs: Mapping[str, float]
) -> list[dict[str, Any]] | None:
    """What the records show by kind of shot; None where the aim is stated."""
    return None if seen is None else [_seen_results(each, units, clubs) for each in seen.habits]


def _seen_results(each: SeenHabit, units: Units, clubs: Mapping[str, float]) -> dict[str, Any]:
    return {
        "shots": each.kind.value,
        "logged": each.shots,
        "identified": not each.why_not,
        "why_not": each.why_not or None,
        "habits": [rule_results(rule, units, clubs) for rule in each.rules],
    }
