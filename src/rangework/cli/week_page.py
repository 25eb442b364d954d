"""What `rangework week` prints: the days first, then what they are for and what they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from rangework.cli.group_page import group_text, trained_parts
from rangework.cli.learned_page import learned_text
from rangework.cli.plan_page import PLACES
from rangework.cli.tables import WIDTH, Block, clock, interval, item, number, paragraph, percent, table
from rangework.cli.week_results import assumptions

if TYPE_CHECKING:
    from rangework.plan.drills import Drill
    from rangework.plan.week.availability import Availability
    from rangework.plan.week.rehearsing import AimToSettle, AskedMore
    from rangework.plan.week.week_plan import PlannedBlock, PlannedDay, Session, WeekPlan, WeekVolume
    from rangework.roster.pooled_responses import PooledPart
    from rangework.units import Units
    from rangework.week_advice import WeekAdvice

EFFECTS = {
    "tuning": "tuning what is there",
    "building": "new skill that has settled by then",
    "keeping": "not fading meanwhile",
    "training": "practice like this for eight weeks",
}
PHASES = {"build": "build", "sharpen": "sharpen", "taper": "taper", "training": ""}
#: Asked shots fewer than this in a round are left out of the page.
_FEWEST_ASKED = 0.2
#: Bands of distance that are told in a sentence.
ASKED_SENTENCES = 2


def week_text(
    advice: WeekAdvice,
    availability: Availability,
    drills: Sequence[Drill],
    who: str,
    units: Units,
    *,
    pooled: Sequence[PooledPart] = (),
) -> str:
    """The whole page. ``pooled``: what practice has done in the player's roster."""
    from rangework.course import day_basis

    plan, day = advice.plan, day_basis(advice.prepared.course)
    where = f"{advice.prepared.course.name}, {advice.prepared.tee.name} tees"
    parts = [
        f"{_title(plan, availability)}\n" + paragraph(f"{_line(who)} on {where}. {answer(plan)}"),
        *_days_text(plan),
        *_event_text(plan, availability),
        "THE LOAD beside the usual\n" + load_text(plan.weeks),
        *_asked_text(advice),
        *_aims_text(advice.aims, units),
        "THE DRILLS of these days\n" + drills_text(plan, drills),
        "HOW GOOD THE PLAN IS\n" + proof_text(plan),
        *group_text(advice.group, pooled, trained_parts(_minutes(plan), drills), units),
        *learned_text(advice.learned, units, of_roster=advice.group is not None),
        "WHAT THIS RESTS ON\n"
        + "\n".join(item(f"{each['text']} ({each['status']})") for each in assumptions(plan, day)),
        "TAKE CARE\n" + "\n".join(item(text) for text in advice.cautions),
    ]
    return "\n\n".join(parts)


def _title(plan: WeekPlan, availability: Availability) -> str:
    if plan.first_round is None:
        return "A WEEK OF PRACTICE"
    return f"THE DAYS BEFORE {_line(availability.event).upper() or 'THE EVENT'}"


def answer(plan: WeekPlan) -> str:
    """The days in a sentence or two, and what they save."""
    minutes = sum(day.minutes for day in plan.days)
    saved = plan.strokes_saved
    counted = f"{_counted(len(plan.sessions), 'session')}, {clock(minutes)} of practice"
    amount = f"{number(saved.value, 2)} strokes a round ({interval(saved.low, saved.high, 2)})"
    if plan.first_round is None:
        return f"{counted}. Eight weeks like this one save about {amount} against no practice."
    rounds = sum(day.practice_round is not None for day in plan.days)
    also = f" and {_counted(rounds, 'practice round')}" if rounds else ""
    return (
        f"{counted}{also} until the first round on {plan.first_round:%A %d %B}. On that day they save about "
        f"{amount} against the same days without practice."
    )


def _days_text(plan: WeekPlan) -> Iterator[str]:
    """The days in order; what is said beside a drill, once."""
    said: set[str] = set()
    for day in plan.days:
        yield day_text(day, said)
        said |= {block.note for session in day.sessions for block in session.blocks}


def day_text(day: PlannedDay, said: Collection[str] = ()) -> str:
    """One day: its heading, and under it what happens when; notes of blocks that were ``said`` are left out."""
    lines = [_heading(day)]
    events = [(span.start, [_timed(span.start, "Travel, " + clock(span.minutes))]) for span in day.travel]
    if day.practice_round:
        told = f"Practice round, {clock(day.practice_round.minutes)}; warm up for 10 minutes before it"
        events.append((day.practice_round.start, [_timed(day.practice_round.start, told)]))
    events += [(session.span.start, list(_session_lines(session, said))) for session in day.sessions]
    if not day.sessions and not day.practice_round:
        lines.append("  Missed." if day.missed else "  Rest.")
    for _, told_lines in sorted(events, key=lambda event: event[0]):
        lines += told_lines
    if day.heat != "open":
        lines.append(
            "  Heat: " + ("no practice outdoors." if day.heat == "closed" else "half of the time is rest.")
        )
    return "\n".join(lines + ([paragraph(day.note, indent="  ")] if day.note else []))


def _heading(day: PlannedDay) -> str:
    told = [f"{day.date:%A %d %B}"]
    if day.days_left is not None:
        told.append("the day before" if day.days_left == 1 else f"{day.days_left} days before")
    told += [text for text in (PHASES[day.phase],) if text and day.days_left and day.phase != "taper"]
    if day.minutes:
        swings = f", {day.full_swings} full swings" if day.full_swings else ""
        told.append(f"{clock(day.minutes)}{swings}")
    return " | ".join(told)


def _session_lines(session: Session, said: Collection[str]) -> Iterator[str]:
    done = " (done)" if session.done else ""
    yield _timed(session.warm_up.start, f"Warm up, {clock(session.warm_up.minutes)}{done}")
    place = ""
    for block in session.blocks:
        here = f" [{PLACES[block.place]}]" if block.place != place else ""
        place = block.place
        yield _timed(block.span.start, _block_words(block) + here)
        if block.note and block.note not in said:
            yield paragraph(block.note, indent=" " * 11)


def _block_words(block: PlannedBlock) -> str:
    balls = f", {block.balls} balls" if block.balls else ""
    return f"{_line(block.name)}, {clock(block.minutes)}{balls}"


def _timed(minute: int, words: str) -> str:
    from rangework.plan.week.availability import clock_time

    first, *rest = paragraph(words, width=WIDTH - 9).splitlines()
    return "\n".join([f"  {clock_time(minute)}  {first}", *(" " * 11 + line for line in rest)])


def _event_text(plan: WeekPlan, availability: Availability) -> list[str]:
    if plan.first_round is None:
        return []
    name = _line(availability.event) or "The event"
    return [
        f"{plan.first_round:%A %d %B} | {name}\n  First round: warm up as in all these sessions, and no new thoughts."
    ]


def load_text(weeks: Sequence[WeekVolume]) -> str:
    """Minutes and swings of every week beside the usual ones."""
    rows = [
        [
            f"{week.first:%d %b} to {week.last:%d %b}" + (f", {week.phase}" if PHASES[week.phase] else ""),
            clock(week.minutes),
            _against(week.minutes, week.usual_minutes),
            str(week.full_swings),
            _against(week.full_swings, week.usual_swings),
        ]
        for week in weeks
    ]
    told = "Swings of practice rounds are counted. "
    if any(week.usual_minutes is None for week in weeks):
        told += "Give usual_hours_a_week in the availability, so that the hours can be measured by it. "
    if any(week.usual_swings is None for week in weeks):
        told += "Give swings_a_week in the profile, so that the swings can be measured by it."
    headings = ["", "time", "of the\nusual", "full\nswings", "of the\nusual"]
    return table(headings, [Block("", rows)]) + "\n" + paragraph(told)


def _against(amount: float, usual: float | None) -> str:
    return percent(amount / usual) if usual else "?"


def _asked_text(advice: WeekAdvice) -> list[str]:
    if advice.plan.first_round is None:
        return []
    more = {each.name: each for each in advice.more}
    rows = [
        [
            kind.name,
            number(kind.a_round, 1),
            *((number(more[kind.name].usual, 1), _ratio(more[kind.name])) if kind.name in more else ("", "")),
        ]
        for kind in advice.asked
        if kind.a_round >= _FEWEST_ASKED
    ]
    if not more:
        shown = table(["by distance aimed at", "in 18 holes"], [Block("", [row[:2] for row in rows])])
        return ["THE SHOTS THIS COURSE ASKS FOR\n" + shown]
    shown = table(
        ["by distance aimed at", "in 18\nholes", "on the usual\ncourse", "times\nas many"],
        [Block("", rows)],
    )
    told = " ".join(_asked_sentence(each) for each in _plain_bands(advice.more)[:ASKED_SENTENCES])
    blank = "Rows without a figure for the usual course do not surely differ."
    return [
        "THE SHOTS THIS COURSE ASKS FOR\n"
        + "\n".join(filter(None, (paragraph(told), shown, paragraph(blank))))
    ]


def _plain_bands(more: Sequence[AskedMore]) -> list[AskedMore]:
    """The approaches by distance that are asked for more often here."""
    return [each for each in more if each.name[0].isdigit() and each.low > 1.0]


def _asked_sentence(more: AskedMore) -> str:
    return (
        f"You will face {_times(more.ratio)} {more.name} shots as on the usual course: "
        f"{number(more.here)} for {number(more.usual)}."
    )


def _ratio(more: AskedMore) -> str:
    return f"{number(more.ratio)} ({interval(more.low, more.high)})"


def _times(ratio: float) -> str:
    return "twice as many" if 1.8 <= ratio <= 2.2 else f"{number(ratio)} times as many"


def _aims_text(aims: Sequence[AimToSettle], units: Units) -> list[str]:
    from rangework.cli.aim_words import length_text

    if not aims:
        return []
    rows = [
        [
            f"Hole {aim.hole}, par {aim.par}",
            length_text(aim.distance_m, units),
            _side(aim.right_of_line_m, units),
            number(aim.over_par, 1, signed=True),
            number(aim.penalties, 2),
        ]
        for aim in aims
    ]
    told = (
        "Where most is lost on these tees. Stand there, pick the club and a mark for the target, and write them down. "
        "`rangework aim` compares other targets."
    )
    headings = ["tee shot", "target", "off the line\nof play", "over\npar", "penalty\nstrokes"]
    return [
        "AIMS TO SETTLE in the practice round\n" + table(headings, [Block("", rows)]) + "\n" + paragraph(told)
    ]


def _side(right_m: float, units: Units) -> str:
    from rangework.cli.aim_words import length_text

    if abs(right_m) < 1.5:
        return "on it"
    return f"{length_text(abs(right_m), units)} {'right' if right_m > 0 else 'left'}"


def drills_text(plan: WeekPlan, drills: Sequence[Drill]) -> str:
    """How each drill of the plan is done, once."""
    used = {block.drill for session in plan.sessions for block in session.blocks}
    told = [f"{drill.name}: {drill.how or 'as your coach says.'}" for drill in drills if drill.id in used]
    return "\n".join(item(text) for text in told) if told else "  None."


def _minutes(plan: WeekPlan) -> Counter[str]:
    minutes: Counter[str] = Counter()
    for session in plan.sessions:
        for block in session.blocks:
            minutes[block.drill] += block.span.minutes
    return minutes


def proof_text(plan: WeekPlan) -> str:
    """What the saving is made of, and how near the plan is to the best."""
    rows = [
        [EFFECTS[name], number(saved, 2)]
        for name, saved in sorted(plan.saved_by.items(), key=lambda item: -item[1])
    ]
    told = (
        f"Within these limits no plan saves more than {number(plan.bound, 3)} strokes: at most "
        f"{percent(plan.gap, 1)} are missing, which is proven. Without whole blocks the bound is "
        f"{number(plan.relaxed, 3)}."
    )
    return table(["strokes a round saved by", ""], [Block("", rows)]) + "\n" + paragraph(told)


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def _line(text: str) -> str:
    """Text without line breaks or control characters, so that nothing in a name can command a terminal."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
