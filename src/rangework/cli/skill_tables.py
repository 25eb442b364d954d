"""What `rangework skill` prints: parts, spread by distance and lie, putts and clubs, in the user's units."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from rangework.cli.tables import Block, interval, number, paragraph, percent, table
from rangework.estimate import Estimate
from rangework.units import METRES_PER, Units, putt_unit, shot_unit

if TYPE_CHECKING:
    from rangework.skill.club_carries import ClubCarry
    from rangework.skill.dispersion_table import DispersionRow, PuttRow
    from rangework.skill.measures import PartEstimate

FAMILIES = {"tee": "Tee shots", "approach": "Approach", "short_game": "Short game", "putting": "Putting"}
LIES = {"tee": "From the tee", "fairway": "From the fairway", "rough": "From rough", "sand": "From sand"}
#: How sure, as short as a column; LEGEND says it in full.
SHORT_WORDS = {
    "measured": "measured",
    "leans on the prior": "leaning",
    "assumed, not measured": "assumed",
    "from neighbours": "neighbours",
    "measured on the range, course level assumed": "range only",
}
LEGEND = (
    "measured: the records decide. leaning: records and the usual golfer of this level share. "
    "assumed: hardly more than the usual golfer. neighbours: fewer than 15 balls, known from shots of other "
    "distances. range only: measured on the range, its level on the course assumed. "
    "Ranges hold the truth nine times in ten. Right and long are positive."
)


def parts_text(parts: Sequence[PartEstimate], units: Units) -> str:
    """The 24 parts by family: estimate, range, the reference golfer's, balls, how sure."""
    from rangework.skill.parts import PART_BY_ID

    blocks = [
        Block(
            heading,
            [
                [_below(heading, PART_BY_ID[part.part].name), *_part_cells(part, units)]
                for part in parts
                if PART_BY_ID[part.part].family == family
            ],
        )
        for family, heading in FAMILIES.items()
    ]
    shown = table(["part", "is", "90 % range", "reference", "balls", "how sure"], blocks)
    return f"{shown}\n\n{paragraph(LEGEND)}"


def _below(heading: str, name: str) -> str:
    """A part's name without the words that its heading has said."""
    return name.removeprefix(heading.lower()).removeprefix(",").strip()


def _part_cells(part: PartEstimate, units: Units) -> list[str]:
    factor, decimals, unit = {
        "m": (1.0 / METRES_PER[shot_unit(units)], 1, shot_unit(units)),
        "degrees": (1.0, 1, "deg"),
        "share": (100.0, 1, "%"),
    }[part.unit]
    signed = part.part.endswith("bias")
    return [
        f"{number(part.estimate * factor, decimals, signed=signed)} {unit}",
        interval(part.low * factor, part.high * factor, decimals, signed=signed),
        number(part.reference * factor, decimals, signed=signed),
        str(part.shots),
        SHORT_WORDS.get(part.words, part.words),
    ]


def dispersion_text(rows: Sequence[DispersionRow], units: Units) -> str:
    """Spread in depth and direction, and poor strikes, by lie and distance."""
    unit = shot_unit(units)
    metres = METRES_PER[unit]
    blocks = [
        Block(
            heading,
            [
                [
                    _shot_name(row, f"{number(row.target_m / metres, 0)} {unit}"),
                    *_ranged(row.depth, lambda value: number(value / metres)),
                    *_ranged(row.direction, number),
                    *_ranged(row.poor_strikes, lambda value: number(100.0 * value, 0)),
                ]
                for row in rows
                if row.lie.name.lower() == lie
            ],
        )
        for lie, heading in LIES.items()
    ]
    return table(
        ["shot", f"depth\n{unit}", "90 % range", "direction\ndeg", "90 % range", "poor\n%", "90 % range"],
        blocks,
    )


def _shot_name(row: DispersionRow, distance: str) -> str:
    return distance if row.shot.startswith("approach") else f"{distance}, {row.shot.replace('tee', 'drive')}"


def putts_text(rows: Sequence[PuttRow], units: Units) -> str:
    """Chances of holing and of three putts or more, by length."""
    unit = putt_unit(units)
    shown = [
        [
            f"{number(row.length_m / METRES_PER[unit], 0 if unit == 'ft' else 1)} {unit}",
            *_ranged(row.make, percent),
            *_ranged(row.three_putt, percent),
        ]
        for row in rows
    ]
    return table(["putt", "holed", "90 % range", "three putts\nor more", "90 % range"], [Block("", shown)])


def clubs_text(clubs: Iterable[ClubCarry], units: Units) -> str:
    """Carry by club, longest first, with the gap to the next."""
    unit = shot_unit(units)
    metres = METRES_PER[unit]
    rows = [
        [
            club.club,
            *_ranged(club.carry, lambda value: number(value / metres, 0)),
            number(club.sd_m / metres),
            "" if club.gap_m is None else number(club.gap_m / metres, 0),
            str(club.balls),
        ]
        for club in clubs
    ]
    return table(
        ["club", f"carry\n{unit}", "90 % range", "spread", "gap to\nnext", "balls"], [Block("", rows)]
    )


def _ranged(estimate: Estimate, shown: Callable[[float], str]) -> list[str]:
    if estimate.low is None or estimate.high is None:
        return [shown(estimate.value), "?"]
    return [shown(estimate.value), f"{shown(estimate.low)} to {shown(estimate.high)}"]
