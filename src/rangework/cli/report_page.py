"""What `rangework report` puts on its page: the words, tables and pictures of one player, the answer first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rangework.cli.day_words import day_words
from rangework.cli.group_page import done_part, trained_parts
from rangework.cli.plan_page import PLACES, answer, weeks
from rangework.cli.plan_results import assumptions
from rangework.cli.playing import WHERE_TO_SEE, decided_by_records, golfer_words
from rangework.cli.report_charts import (
    drills_picture,
    lost_picture,
    putting_picture,
    spread_picture,
    steps_picture,
)
from rangework.cli.rounds_page import NUMBERS, SHARES, rating_words
from rangework.cli.skill_levels import pieces_sentence
from rangework.cli.skill_page import handicap_text
from rangework.cli.tables import clock, interval, number, percent
from rangework.cli.worth_page import name_in_units
from rangework.report.document import Document, Grid, Part
from rangework.units import shot_unit

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.plan.drills import Drill
    from rangework.plan.limits import Limits
    from rangework.play.summary import RoundsSummary
    from rangework.roster.pooled_responses import PooledPart
    from rangework.skill.skill_report import SkillReport
    from rangework.units import Units

STEP_NOTE = (
    "Strokes a round that one step of a part saves, all else as it is; the range comes from what the records leave "
    "open. Steps of different parts are not equally hard: the hours of the week weigh them by what practice can do."
)
#: Numbers of a round that the page tells beside the score.
ROUND_SHOWN = ("fairways", "greens", "putts", "three_putts", "penalties")
UNOFFICIAL = "Differentials and indices from simulated rounds are unofficial."


@dataclass(frozen=True, slots=True)
class Told:
    """All that the page tells of. ``further``: parts from other work, such as the days of a week and hole notes.
    ``pooled``: what practice has done in the player's roster.
    """

    advice: Advice
    rounds: RoundsSummary
    skill: SkillReport
    drills: Sequence[Drill]
    limits: Limits
    doubts: Sequence[str]
    units: Units
    further: Sequence[Part] = field(default_factory=tuple)
    pooled: Sequence[PooledPart] = ()

    @property
    def who(self) -> str:
        """The player's name, or what stands for it within a sentence."""
        return self.skill.name or "the player"


def report_document(told: Told) -> Document:
    """The whole page."""
    prepared = told.advice.prepared
    tee = f"{prepared.tee.name} tees"
    return Document(
        title=told.skill.name or "The player",
        subtitle=f"Where the strokes are, and where an hour of practice pays most. {prepared.course.name}, {tee}.",
        facts=_facts(told),
        parts=[
            _answer(told),
            _week(told),
            _strokes(told),
            _steps(told),
            _drills(told),
            *_practice_done(told),
            *told.further,
            _spread(told),
            _putting(told),
            _rests_on(told),
            _care(told),
        ],
        foot=_foot(told),
    )


def _facts(told: Told) -> list[tuple[str, str]]:
    held, skill = told.skill.held, told.skill
    counted = [
        f"{held[key]} {words}"
        for key, words in (
            ("aimed", "balls with a target"),
            ("putts", "practice putts"),
            ("rounds", "logged rounds"),
        )
        if held[key]
    ]
    level = skill.level
    low, high = (handicap_text(end) for end in (level.low or 0.0, level.high or 0.0))
    facts = [
        ("measured", f"{', '.join(counted)}; {held['first_date']} to {held['last_date']}"),
        ("plays like", f"handicap {handicap_text(level.value)} ({low} to {high})"),
    ]
    if skill.stated_handicap is not None:
        facts.insert(0, ("handicap", handicap_text(skill.stated_handicap)))
    if day := day_words(told.advice.prepared.course, told.units):
        facts.append(("played in", day))
    if told.rounds.rating:
        facts.append(("rated", rating_words(told.rounds.rating)))
    return facts


def _answer(told: Told) -> Part:
    plan = told.advice.plan.plan
    names = {drill.id: drill.name for drill in told.drills}
    return Part("Where an hour pays most", lead=answer(plan, names, told.limits), kind="answer")


def _week(told: Told) -> Part:
    replayed = told.advice.plan
    plan, last = replayed.plan, replayed.last
    rows = [
        [each.name, PLACES[each.place], clock(each.minutes), str(each.balls)]
        for place in PLACES
        for each in plan.hours
        if each.place == place
    ]
    saved, none = plan.strokes_saved, plan.no_practice
    text = (
        f"Kept up for {weeks(plan)}, it saves about {number(saved.value)} strokes a round "
        f"({interval(saved.low, saved.high)}; simulated rounds show {number(last.replayed)}). "
        f"Without any practice the same rounds would come to {number(-none.value)} strokes more than today."
    )
    more = plan.one_more_hour.any.whole_hour
    return Part(
        f"The week: {clock(60 * told.limits.budget)} of practice",
        text=[text],
        grids=[Grid(["drill", "where", "time", "balls"], rows)],
        notes=[
            f"One more hour a week would save another {number(more, 2)} strokes a round. Full swings in this week: "
            f"{sum(each.full_swings for each in plan.hours)}."
        ],
    )


def _strokes(told: Told) -> Part:
    mean = told.rounds.numbers["mean"]
    assert mean is not None
    quantiles = told.rounds.quantiles
    beside = golfer_words(told.skill.reference, told.advice.prepared.profile.reference)
    text = (
        f"{number(mean.value)} strokes on average here ({interval(mean.low, mean.high)}); one round in twenty is "
        f"{quantiles[0.05]:.0f} or better, one in twenty {quantiles[0.95]:.0f} or worse. "
        f"{pieces_sentence(told.skill)}"
    )
    return Part(
        f"Where the strokes are, beside {beside}",
        text=[text],
        pictures=[lost_picture(told.rounds, told.units, beside)],
        grids=[_round_grid(told)],
        notes=[UNOFFICIAL],
        new_sheet=True,
    )


def _round_grid(told: Told) -> Grid:
    rows = []
    for key in ROUND_SHOWN:
        if (estimate := told.rounds.numbers[key]) is None:
            continue
        words, (value, low, high) = NUMBERS[key][0], (estimate.value, estimate.low, estimate.high)
        if key in SHARES:
            rows.append([words, percent(value), _percents(low, high)])
        else:
            rows.append([words, number(value), interval(low, high)])
    return Grid(["in simulated rounds here", "", "90 % range"], rows)


def _percents(low: float | None, high: float | None) -> str:
    return interval(low and 100 * low, high and 100 * high, 0)


def _steps(told: Told) -> Part:
    return Part(
        "What one step of each part is worth",
        pictures=[steps_picture(told.advice, told.units)],
        notes=[STEP_NOTE],
    )


def _drills(told: Told) -> Part:
    plan = told.advice.plan.plan
    note = (
        f"Strokes a round after {weeks(plan)} by one hour a week of a drill alone, against no practice at all; in "
        "brackets the chance that no other drill pays more. Nobody has measured well what an hour of practice does: "
        "the ranges are wide for that reason too."
    )
    return Part(
        "An hour of each drill, and how sure that is",
        pictures=[drills_picture(plan, told.drills)],
        notes=[note],
    )


def _practice_done(told: Told) -> list[Part]:
    group, hours = told.advice.group, told.advice.plan.plan.hours
    if group is None:
        return []
    trained = trained_parts({each.drill: each.minutes for each in hours}, told.drills)
    return [done_part(group.players, told.pooled, trained, told.units)]


def _spread(told: Told) -> Part:
    note = "From the fairway and, for the driver, the tee. Poor strikes finish elsewhere, most of them short."
    return Part(
        "How far apart the balls finish",
        pictures=[spread_picture(told.skill, told.units)],
        grids=[_spread_grid(told)],
        notes=[note],
        new_sheet=True,
    )


def _spread_grid(told: Told) -> Grid:
    unit = shot_unit(told.units)
    from rangework.cli.report_charts import spread_name, spread_rows
    from rangework.units import METRES_PER

    scale = METRES_PER[unit]
    rows = [
        [
            f"{spread_name(row)}, {row.target_m / scale:.0f} {unit}",
            f"{number(row.direction.value)}°",
            f"{number(row.depth.value / scale)} {unit}",
            percent(row.poor_strikes.value),
            str(row.shots),
        ]
        for row in spread_rows(told.skill)
    ]
    return Grid(
        ["shot", "direction", "depth", "poor strikes", "balls"],
        rows,
        "One standard deviation of solid strikes",
    )


def _putting(told: Told) -> Part:
    beside = golfer_words(told.skill.reference, told.advice.prepared.profile.reference)
    return Part("How often putts are holed", pictures=[putting_picture(told.skill, told.units, beside)])


def _rests_on(told: Told) -> Part:
    from rangework.course import day_basis

    plan, course = told.advice.plan.plan, told.advice.prepared.course
    return Part(
        "What this rests on",
        items=[
            decided_by_records(told.advice.prepared.posterior).removesuffix(WHERE_TO_SEE),
            *(f"{each['text']} ({each['status']})" for each in assumptions(plan, day_basis(course))),
            *(f"Look at {doubt}" for doubt in told.doubts),
            *_untrainable(told),
        ],
    )


def _untrainable(told: Told) -> list[str]:
    parts = told.advice.plan.plan.untrainable
    named = "; ".join(name_in_units(part, told.units) for part in parts)
    return [f"Not to be trained at this week's places: {named}."] if parts else []


def _care(told: Told) -> Part:
    return Part("Take care", items=list(told.advice.cautions), kind="care")


def _foot(told: Told) -> list[str]:
    said = ["Ranges hold the truth nine times in ten, as far as records and assumptions go."]
    attribution = told.advice.prepared.course.attribution
    return [*said, f"Map data: {attribution}"] if attribution else said
