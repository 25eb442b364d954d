"""The tables of `rangework skill`: parts, spread, middle of the pattern, putts, clubs, more balls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rangework.cli.tables import UNKNOWN, Block, interval, number, percent, table
from rangework.estimate import Estimate
from rangework.units import METRES_PER, Units, putt_unit, shot_unit

if TYPE_CHECKING:
    from rangework.skill.dispersion_table import DispersionRow
    from rangework.skill.measures import PartEstimate
    from rangework.skill.skill_report import SkillReport

FAMILIES = {"tee": "Tee shots", "approach": "Approach", "short_game": "Short game", "putting": "Putting"}
LIES = {"tee": "From the tee", "fairway": "From the fairway", "rough": "From rough", "sand": "From sand"}
#: How sure, as short as a column; the page's legend says it in full.
SHORT_WORDS = {
    "measured": "measured",
    "leans on the prior": "leaning",
    "assumed, not measured": "assumed",
    "from neighbours": "nearby",
    "measured on the range, course level assumed": "on range",
}
BANDS_YD = {
    "approach_50_100": (50, 100),
    "approach_100_150": (100, 150),
    "approach_150_200": (150, 200),
    "approach_200_up": (200, None),
}
#: What a row is called where no distance says it.
NAMES = {
    "tee.carry": "driver length",
    "tee.direction": "direction",
    "tee.bias": "bias",
    "tee.poor_strikes": "poor strikes",
    "approach.poor_strikes": "poor strikes",
    "approach.rough": "rough, extra spread",
    "chip": "chips, depth",
    "pitch": "pitches, depth",
    "bunker": "bunker, depth",
    "short_game.poor_strikes": "poor strikes",
    "putt.line": "line",
    "putt.pace": "pace",
}
SHOTS = {"tee": "driver", "chip": "chip", "pitch": "pitch", "bunker": "bunker"}
MORE_BALLS = {
    "driver": "drives",
    "chip": "chips",
    "pitch": "pitches",
    "bunker": "bunker shots",
    "putts_short": "putts of 4 to 10 ft",
    "putts_long": "putts of 20 to 40 ft",
}
#: Lengths below this are shown with a decimal.
_SMALL = 4.95


def band_name(band: str, units: Units) -> str:
    """The distances of a band, such as ``100-150 yd``."""
    low, high = BANDS_YD[band]
    metre = METRES_PER["yd"] if units == "metres" else 1.0
    unit = shot_unit(units)
    return f"{low * metre:.0f}-{high * metre:.0f} {unit}" if high else f"{low * metre:.0f}+ {unit}"


def part_name(part: str, units: Units) -> str:
    """A part below its family's heading."""
    band, _, what = part.partition(".")
    return f"{band_name(band, units)}, {what}" if band in BANDS_YD else NAMES[part]


def full_name(part: str, units: Units) -> str:
    """A part where no heading says its family."""
    family = part.partition(".")[0]
    heading = {
        "tee": "tee shots, ",
        "approach": "approach, ",
        "short_game": "short game, ",
        "putt": "putting, ",
    }
    return ("" if part == "tee.carry" else heading.get(family, "")) + part_name(part, units)


def part_value(part: PartEstimate, value: float, units: Units) -> str:
    """A part's quantity in the user's units, with its unit."""
    if part.unit == "degrees":
        return f"{number(value, 1, signed=part.part.endswith('bias') and value != 0.0)}°"
    if part.unit == "share":
        return percent(value, 1)
    length = value / METRES_PER[shot_unit(units)]
    return f"{number(length, 0 if part.part == 'tee.carry' else 1)} {shot_unit(units)}"


def parts_table(report: SkillReport, units: Units) -> str:
    """The 24 parts by family: what it is, range, the usual golfer's, verdict, balls, how sure."""
    from rangework.skill.parts import PART_BY_ID
    from rangework.skill.standing_out import verdict

    blocks = [
        Block(
            heading,
            [
                [
                    part_name(part.part, units),
                    part_value(part, part.estimate, units),
                    _part_range(part, units),
                    _bare(part, part.reference, units),
                    verdict(part),
                    str(part.shots),
                    SHORT_WORDS[part.words],
                ]
                for part in report.parts
                if PART_BY_ID[part.part].family == family
            ],
        )
        for family, heading in FAMILIES.items()
    ]
    return table(["part", "is", "90 % range", "usual", "", "balls", "how sure"], blocks)


def _bare(part: PartEstimate, value: float, units: Units) -> str:
    return part_value(part, value, units).split(" ")[0].removesuffix("°")


def _part_range(part: PartEstimate, units: Units) -> str:
    return f"{_bare(part, part.low, units)} to {_bare(part, part.high, units)}"


def spread_table(report: SkillReport, units: Units) -> str:
    """Depth, sideways and poor strikes by lie and distance, up to the longest shot from each lie."""
    unit = shot_unit(units)
    blocks = [
        Block(
            heading,
            [
                _spread_row(row, units)
                for row in report.dispersion
                if row.lie.name.lower() == lie and (row.shots or _within_reach(row, report))
            ],
        )
        for lie, heading in LIES.items()
    ]
    heads = ["shot", f"short or long\n{unit}", f"left or right\n{unit}", "\nangle", "poor\nstrikes %"]
    return table([*heads, "how sure"], blocks)


def _within_reach(row: DispersionRow, report: SkillReport) -> bool:
    low_yd = BANDS_YD.get(row.shot, (0, None))[0]
    return low_yd * METRES_PER["yd"] < report.longest_m[row.lie.name.lower()]


def _spread_row(row: DispersionRow, units: Units) -> list[str]:
    metres = METRES_PER[shot_unit(units)]
    return [
        _shot_name(row, units),
        around(row.depth, 1.0 / metres),
        around(sideways(row.direction, row.target_m), 1.0 / metres),
        f"{number(row.direction.value)}°",
        around(row.poor_strikes, 100.0, decimals=0),
        SHORT_WORDS[row.words],
    ]


def _shot_name(row: DispersionRow, units: Units) -> str:
    at = f"{row.target_m / METRES_PER[shot_unit(units)]:.0f}"
    if row.shot in BANDS_YD:
        return f"{band_name(row.shot, units)}, at {at}"
    return f"{SHOTS[row.shot]}, at {at}"


def sideways(direction: Estimate, target_m: float) -> Estimate:
    """A direction in degrees as metres sideways at a distance."""
    low, high = direction.low or 0.0, direction.high or 0.0
    middle, left, right = (target_m * math.tan(math.radians(value)) for value in (direction.value, low, high))
    return Estimate(middle, left, right, "m", direction.basis)


def around(estimate: Estimate, factor: float, *, decimals: int | None = None) -> str:
    """A value that is never negative with its range, such as ``12 (10-14)``; small ones get a decimal."""
    if decimals is None:
        decimals = 1 if estimate.value * factor < _SMALL else 0
    if estimate.low is None or estimate.high is None:
        return number(estimate.value * factor, decimals)
    ends = [number(end * factor, decimals) for end in (estimate.low, estimate.high)]
    return f"{number(estimate.value * factor, decimals)} ({'-'.join(ends)})"


def middle_table(report: SkillReport, units: Units) -> str:
    """Where the middle of the pattern lies: sideways and in depth, for the driver and the bands."""
    unit = shot_unit(units)
    metres = METRES_PER[unit]
    rows = []
    for row in report.dispersion:
        if row.bias is None or row.lie.name not in ("TEE", "FAIRWAY"):
            continue
        if not (row.shots or _within_reach(row, report)):
            continue
        side = sideways(row.bias, row.target_m)
        rows.append(
            [
                _shot_name(row, units),
                number(side.value / metres, 0, signed=True),
                _signed_range(side, metres),
                UNKNOWN if row.bias_depth is None else number(row.bias_depth.value / metres, 0, signed=True),
                UNKNOWN if row.bias_depth is None else _signed_range(row.bias_depth, metres),
            ]
        )
    return table(["shot", f"right\n{unit}", "90 % range", f"long\n{unit}", "90 % range"], [Block("", rows)])


def _signed_range(estimate: Estimate, metres: float) -> str:
    low, high = (None if end is None else end / metres for end in (estimate.low, estimate.high))
    return interval(low, high, 0, signed=True)


def putts_table(report: SkillReport, units: Units) -> str:
    """Chances of holing and of three putts or more by length, beside the usual golfer's."""
    unit = putt_unit(units)
    rows = [
        [
            f"{number(row.length_m / METRES_PER[unit], 0 if unit == 'ft' else 1)} {unit}",
            around(row.make, 100.0),
            number(100.0 * row.make_reference.value, 0),
            around(row.three_putt, 100.0),
            number(100.0 * row.three_putt_reference.value, 0),
        ]
        for row in report.putts
    ]
    return table(["putt", "holed\n%", "usual", "three putts\n%", "usual"], [Block("", rows)])


def clubs_table(report: SkillReport, units: Units) -> str:
    """Carry by club, longest first, with the gap to the next and the carry that the profile states."""
    unit = shot_unit(units)
    metres = METRES_PER[unit]
    rows = [
        [
            club.club,
            around(club.carry, 1.0 / metres),
            number(club.sd_m / metres),
            "" if club.gap_m is None else number(club.gap_m / metres, 0),
            number(report.stated_m[club.club] / metres, 0) if club.club in report.stated_m else "",
            f"{club.solid} of {club.balls}",
        ]
        for club in report.clubs
    ]
    heads = ["club", f"carry\n{unit}", "spread", "gap to\nnext", "profile\nsays", "solid\nballs"]
    if not report.stated_m:
        heads, rows = [*heads[:4], heads[5]], [[*row[:4], row[5]] for row in rows]
    return table(heads, [Block("", rows)])


def more_balls_table(report: SkillReport, units: Units, *, most: int = 4) -> str:
    """The kinds of ball that would narrow the total most."""
    rows: Sequence[Sequence[str]] = [
        [
            f"{need.balls} {MORE_BALLS.get(need.kind) or _approaches(need.kind, units)}",
            f"{number(need.half_width_now, 2)}",
            f"{number(need.half_width_then, 2)}",
            percent(need.narrower),
        ]
        for need in report.more_balls[:most]
    ]
    return table(["more balls", "now\n±", "then\n±", "narrower by"], [Block("", rows)])


def _approaches(kind: str, units: Units) -> str:
    return f"approaches of {band_name(kind, units)}"
