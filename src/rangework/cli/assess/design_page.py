"""A designed practice test as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.playing import golfer_words
from rangework.cli.tables import Block, number, paragraph, percent, table
from rangework.units import METRES_PER

if TYPE_CHECKING:
    from rangework.assessment.balls_to_see import BallsToSee
    from rangework.assessment.design import AssessedBall, AssessmentDesign

#: A test of fewer balls shows no change that practice makes: the table of what would is not for it.
SHORT_TEST = 10
#: A putt longer than this, in the zone of a ball, is called any.
_ANY_PUTT_M = 30.0


def design_text(design: AssessmentDesign) -> str:
    """The card as plain text, where its balls come from, and what it can show."""
    return "\n\n".join([*_card(design), *_drawn(design), *_sight(design)])


def _card(design: AssessmentDesign) -> Iterator[str]:
    words, unit = design.words, design.words.unit
    where = "where it stops" if words.measured == "finish" else "where it lands"
    how = "paced" if words.measured_by == "paced" else "read from a device"
    balls = "1 ball" if len(design.balls) == 1 else f"{len(design.balls)} balls"
    yield paragraph(f"{words.name}: {balls} on {words.date}, at greens of {design.course.name}.")
    yield paragraph(
        f"Play every ball at its pin, in this order, and note {where}, in {unit} long (+) or short (-) and right (+) "
        f"or left (-) of the target; {how}."
    )
    yield _balls_table(design)
    margin = f", give or take {words.margin:+g} strokes" if words.margin else ""
    yield paragraph(
        f"Green: {unit} of it left, right, in front and behind the pin. Success: how far short, long, left and right a "
        f"ball may finish to gain on {golfer_words(words.reference, words.group)}{margin}, and the longest putt (in "
        f"{'ft' if unit == 'yd' else 'm'}) it may leave on this green."
    )


def _balls_table(design: AssessmentDesign) -> str:
    landing = design.words.measured == "carry"
    headings = ["ball", "pin at", *(["land at"] if landing else []), "hole, pin", "green\nL/R/F/B", "short\nside",
                "sand", "success\n-/+/L/R", "putt"]  # fmt: skip
    return table(headings, [Block("", [_ball_row(design, ball, landing) for ball in design.balls])])


def _ball_row(design: AssessmentDesign, ball: AssessedBall, landing: bool) -> list[str]:
    green, unit_m = design.greens[ball.green], METRES_PER["m" if design.words.unit == "m" else "yd"]

    def whole(*lengths_m: float) -> str:
        return "/".join(f"{length / unit_m:.0f}" for length in lengths_m)

    pin, zone = ball.pin, ball.zone
    return [
        f"{ball.number} {ball.drawn.lie.name.lower()}",
        whole(ball.drawn.distance_m),
        *([whole(ball.target_m)] if landing else []),
        f"{green.hole.number} {green.pin}"[:16],
        whole(pin.from_left_m, pin.from_right_m, pin.from_front_m, pin.from_back_m),
        _dash(pin.short_side),
        _dash(pin.bunker),
        whole(zone.short_m, zone.long_m, zone.left_m, zone.right_m),
        putt_words(zone.putt_m, design.words.unit),
    ]


def _dash(word: str) -> str:
    return "-" if word == "none" else word


def putt_words(length_m: float, unit: str) -> str:
    """The longest putt that a success may leave: feet beside yards, metres beside metres."""
    if length_m > _ANY_PUTT_M:
        return "any"
    return f"{length_m / METRES_PER['m' if unit == 'm' else 'ft']:.0f}"


def _drawn(design: AssessmentDesign) -> Iterator[str]:
    unit = design.words.unit
    unit_m = METRES_PER["m" if unit == "m" else "yd"]
    rows = [
        [_band(band.low_m / unit_m, band.high_m / unit_m, unit), number(band.a_round), str(band.balls)]
        for band in design.asked
    ]
    how = (
        "in proportion to these" if design.wish.as_asked
        else "at the targets there are" if design.wish.available_m
        else "evenly over the range"
    )  # fmt: skip
    yield paragraph(
        f"Shots at a green that this course asks of this player, tee shots of par 3s among them, and the test's balls, "
        f"drawn {how}:"
    )
    yield table(["to the pin", "shots\na round", "balls of\nthis test"], [Block("", rows)])
    if design.alike:
        yield paragraph(
            f"{design.alike} balls follow one of the same distance: there are too few distances to part them."
        )


def _band(low: float, high: float, unit: str) -> str:
    return f"{low:.0f} {unit} and more" if high > 300.0 else f"{low:.0f} to {high:.0f} {unit}"


def _sight(design: AssessmentDesign) -> Iterator[str]:
    seen, balls = design.sight, len(design.balls)
    yield paragraph(
        f"As the records have this player on a course: {number(seen.now.gained, 2, signed=True)} strokes gained a "
        f"ball, with a standard deviation of {number(seen.now.sd, 2)}; {percent(seen.now.success)} of balls a success."
    )
    if balls < SHORT_TEST:
        yield paragraph(_too_short(seen.rows, balls))
        return
    yield paragraph(
        "Balls before and as many after, the same test both times, to see all spreads shrink, 80 times in 100:"
    )
    rows = [[percent(row.change), f"{row.normal_formula:,}", f"{row.spread:,}", f"{row.gained:,}", str(row.days)]
            for row in seen.rows]  # fmt: skip
    headings = [
        "change",
        "normal\nformula",
        "spread of\nlengths",
        "strokes\ngained",
        "over days\n(each time)",
    ]
    yield table(headings, [Block("", rows)])
    yield paragraph(
        "The normal formula takes every strike for a solid one, which is far too kind: poor strikes make a spread "
        "unsteady. Days differ too, by 10 % in spread (common practice, no source): balls of a single day see no less."
    )
    yield paragraph(_verdict(seen.rows, seen.least_change, balls))


def _too_short(rows: Sequence[BallsToSee], balls: int) -> str:
    """What a handful of balls cannot show, without the table of what would."""
    easiest = min(rows, key=lambda row: row.gained)
    days = f", spread over {easiest.days} days each time," if easiest.days > 1 else ""
    return (
        f"Not with {balls} balls: a change of {' or '.join(percent(row.change) for row in rows)}. Even all spreads "
        f"{percent(easiest.change)} smaller take {easiest.gained:,} balls before and as many after{days} to be seen 80 "
        f"times in 100. What {balls} balls do show is what each of them cost."
    )


def _verdict(rows: tuple[BallsToSee, ...], least: float | None, balls: int) -> str:
    unseen = [percent(row.change) for row in rows if row.gained > balls]
    if not unseen:
        return f"{balls} balls show any of these changes."
    text = f"Not with {balls} balls: a change of {' or '.join(unseen)}. "
    if least is None:
        return text + "Even spreads 60 % smaller would not be seen 80 times in 100."
    return text + f"What {balls} balls before and after would show is a change of {percent(least)} or more."


def design_results(design: AssessmentDesign) -> dict[str, Any]:
    """The same numbers under the keys of docs/reference/results.md."""
    return {
        "name": design.words.name,
        "date": design.words.date,
        "course": design.course.name,
        "reference": design.words.reference,
        "reference_group": design.words.group,
        "margin": design.words.margin,
        "balls": [_ball_results(design, ball) for ball in design.balls],
        "asked": [
            {"from_m": band.low_m, "to_m": band.high_m, "shots_a_round": band.a_round, "balls": band.balls}
            for band in design.asked
        ],
        "balls_following_one_alike": design.alike,
        "expected": {
            "gained": design.sight.now.gained,
            "sd": design.sight.now.sd,
            "success": design.sight.now.success,
        },
        "balls_to_see": list(design.sight.rows),
        "least_change_seen": design.sight.least_change,
    }


def _ball_results(design: AssessmentDesign, ball: AssessedBall) -> dict[str, Any]:
    zone = ball.zone
    return {
        "ball": ball.number,
        "lie": ball.drawn.lie,
        "place": ball.drawn.place,
        "pin_distance_m": ball.drawn.distance_m,
        "target_m": ball.target_m,
        "hole": design.greens[ball.green].hole.number,
        "pin": design.greens[ball.green].pin,
        "pin_seen": ball.pin,
        "expected_strokes": ball.values.strokes,
        "success": {
            "short_m": zone.short_m,
            "long_m": zone.long_m,
            "left_m": zone.left_m,
            "right_m": zone.right_m,
            "putt_m": zone.putt_m,
            "lines_m": list(zone.lines_m),
        },
    }
