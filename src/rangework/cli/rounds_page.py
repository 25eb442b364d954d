"""What `rangework rounds` prints and writes: scores, strokes beside a reference golfer, logged rounds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from rangework.cli.playing import golfer_words
from rangework.cli.skill_page import handicap_text
from rangework.cli.tables import Block, interval, number, paragraph, percent, table
from rangework.cli.worth_page import name_in_units

if TYPE_CHECKING:
    from rangework.estimate import Estimate
    from rangework.play.rating import RatingUsed
    from rangework.play.summary import RoundsSummary
    from rangework.strokes_gained.logged import LoggedComparison, LoggedFamily
    from rangework.units import Units

SHARES = ("fairways", "greens")
#: What each number of a round is called, and its decimals.
NUMBERS = {
    "mean": ("score", 1),
    "sd": ("spread of scores (standard deviation)", 1),
    "fairways": ("fairways hit", 0),
    "greens": ("greens in regulation", 0),
    "putts": ("putts", 1),
    "three_putts": ("three-putts", 2),
    "penalties": ("penalty strokes", 2),
    "differential": ("differential, simulated, unofficial", 1),
    "index": ("handicap index, simulated, unofficial", 1),
}
FAMILIES = {"tee": "Tee shots", "approach": "Approach", "short_game": "Short game", "putting": "Putting"}
LOGGED = {
    "tee": "tee shots",
    "approach": "approach",
    "short_game": "short game",
    "putting": "putts",
    "penalties": "penalty strokes",
}
SIGNS = (
    "Strokes a round: + gained on that golfer, - lost to him or her. Tee shots are those of par 4s and 5s."
)
TOO_FEW = "No handicap index: it takes 20 rounds of eighteen holes."
ESTIMATED = "estimated here, unofficial"


def rounds_results(
    summary: RoundsSummary,
    level: float | str,
    logged: LoggedComparison | None = None,
    parts: Mapping[str, float] | None = None,
) -> dict[str, Any]:
    """Every number of the command by its key in the JSON file."""
    numbers = {key: estimate.value if estimate else None for key, estimate in summary.numbers.items()}
    families = {family: estimate.value for family, estimate in summary.gained_by_family.items()}
    rating = _rating_results(summary.rating)
    return {
        "rounds": summary.rounds,
        "par": summary.par,
        **numbers,
        "standard_error": summary.standard_error,
        "quantiles": {f"{share:g}": score for share, score in summary.quantiles.items()},
        "unofficial": ["differential", "index", *(["rating"] if rating and rating["estimated"] else [])],
        "rating": rating,
        "reference": level,
        "reference_mean": summary.reference_mean,
        "against_reference": {**families, "total": summary.gained.value},
        "against_reference_by_group": {
            group: estimate.value for group, estimate in summary.gained_by_group.items()
        },
        "against_reference_by_part": parts,
        "estimates": {
            **summary.numbers,
            "against_reference": {**summary.gained_by_family, "total": summary.gained},
            "against_reference_by_group": summary.gained_by_group,
            "rating": summary.rating and summary.rating.estimate,
        },
        "logged": _logged_results(logged),
    }


def rounds_text(summary: RoundsSummary, who: str, where: str, level: float | str, units: Units) -> str:
    """The page of simulated rounds."""
    beside = golfer_words(level, summary.rating.group if summary.rating else "men")
    parts = [
        f"{summary.rounds:,} ROUNDS on {where} (par {summary.par})\n"
        + paragraph(_score_sentence(summary, who)),
        "A ROUND\n" + _ranged_table(summary, [Block("", _number_rows(summary))]),
        paragraph(_rating_sentence(summary)),
        f"STROKES BESIDE {beside.upper()}\n" + gained_text(summary, units),
    ]
    return "\n\n".join(part for part in parts if part)


def gained_text(summary: RoundsSummary, units: Units) -> str:
    """Strokes gained by family and group, with their sum."""
    blocks = [Block(heading, _gained_rows(summary, family, units)) for family, heading in FAMILIES.items()]
    blocks.append(Block("Together", [_gained_row("sum of all", summary.gained)]))
    told = (
        f"{SIGNS} The sum is that golfer's expected score here, {number(summary.reference_mean, 2)}, "
        f"less {number(_mean(summary).value, 2)}."
    )
    return _ranged_table(summary, blocks) + "\n\n" + paragraph(told)


def parts_text(parts: Mapping[str, float], units: Units) -> str:
    """The same strokes shared out among the parts of the game."""
    from rangework.skill.parts import PART_BY_ID

    blocks = [
        Block(
            heading,
            [
                [name_in_units(part, units), number(gained, 2, signed=True)]
                for part, gained in parts.items()
                if PART_BY_ID[part].family == family
            ],
        )
        for family, heading in FAMILIES.items()
    ]
    blocks.append(Block("Together", [["sum of all", number(sum(parts.values()), 2, signed=True)]]))
    told = "Parts differ from shots: a long drive gains its strokes on the approach that it shortens."
    return "THE SAME STROKES BY PART\n" + table(["", "strokes"], blocks) + "\n\n" + paragraph(told)


def logged_text(logged: LoggedComparison) -> str:
    """Logged strokes by family beside the predicted ones, and what may lie behind each gap."""
    rows = [
        [
            LOGGED[each.family],
            number(each.logged, 1),
            number(each.predicted.value, 1),
            interval(each.predicted.low, each.predicted.high, 1),
            "" if each.inside else "outside",
        ]
        for each in logged.families
    ]
    heading = f"{logged.rounds} LOGGED ROUNDS beside what this player would need on {logged.course}"
    shown = table(["strokes a round", "logged", "expected", "90 % range", ""], [Block("", rows)])
    return "\n\n".join([paragraph(heading) + "\n" + shown, *map(paragraph, _gaps(logged.families))])


def _ranged_table(summary: RoundsSummary, blocks: Sequence[Block]) -> str:
    """A table of numbers and ranges; without a player there is nothing to be unsure of, and no ranges."""
    if _mean(summary).low is not None:
        return table(["", "", "90 % range"], blocks)
    return table(["", ""], [Block(block.heading, [row[:2] for row in block.rows]) for block in blocks])


def _score_sentence(summary: RoundsSummary, who: str) -> str:
    mean, quantiles = _mean(summary), summary.quantiles
    span = f" ({interval(mean.low, mean.high)})" if mean.low is not None else ""
    return (
        f"{who} scores {number(mean.value)} on average{span}. Half of the rounds lie from "
        f"{quantiles[0.25]:.0f} to {quantiles[0.75]:.0f}; one in twenty is {quantiles[0.05]:.0f} or better, "
        f"one in twenty {quantiles[0.95]:.0f} or worse."
    )


def rating_words(used: RatingUsed) -> str:
    """Course rating and slope as golfers write them; an estimate says that it is one."""
    shown = f"{number(used.rating.course_rating)}/{used.rating.slope}"
    return f"{shown} ({ESTIMATED})" if used.estimate else shown


def _rating_sentence(summary: RoundsSummary) -> str:
    """What differential and index are taken against."""
    used = summary.rating
    too_few = TOO_FEW if summary.numbers["index"] is None else ""
    rated = f"For {used.group} these tees are rated {rating_words(used)}." if used else ""
    return " ".join(part for part in (rated, too_few) if part)


def _rating_results(used: RatingUsed | None) -> dict[str, Any] | None:
    if used is None:
        return None
    return {
        "golfers": used.group,
        "course_rating": used.rating.course_rating,
        "slope": used.rating.slope,
        "estimated": used.estimate is not None,
    }


def _mean(summary: RoundsSummary) -> Estimate:
    mean = summary.numbers["mean"]
    assert mean is not None
    return mean


def _number_rows(summary: RoundsSummary) -> list[list[str]]:
    rows = []
    for key, (words, decimals) in NUMBERS.items():
        if (estimate := summary.numbers[key]) is None:
            continue
        if key in SHARES:
            cells = [percent(estimate.value), _percents(estimate)]
        elif key == "index":
            cells = [handicap_text(estimate.value), _indices(estimate)]
        else:
            cells = [number(estimate.value, decimals), interval(estimate.low, estimate.high, decimals)]
        rows.append([words, *cells])
    return rows


def _indices(estimate: Estimate) -> str:
    if estimate.low is None or estimate.high is None:
        return interval(None, None)
    return f"{handicap_text(estimate.low)} to {handicap_text(estimate.high)}"


def _percents(estimate: Estimate) -> str:
    if estimate.low is None or estimate.high is None:
        return interval(None, None)
    return f"{100 * estimate.low:.0f} to {100 * estimate.high:.0f} %"


def _gained_rows(summary: RoundsSummary, family: str, units: Units) -> list[list[str]]:
    from rangework.play.rounds import GROUP_FAMILY, GROUPS

    groups = [group for group, of in zip(GROUPS, GROUP_FAMILY, strict=True) if of == family]
    if len(groups) == 1:
        return [_gained_row("all", summary.gained_by_family[family])]
    names = group_names(units)
    return [
        *(_gained_row(names[group], summary.gained_by_group[group]) for group in groups),
        _gained_row("all", summary.gained_by_family[family]),
    ]


def _gained_row(name: str, estimate: Estimate) -> list[str]:
    return [
        name,
        number(estimate.value, 2, signed=True),
        interval(estimate.low, estimate.high, 2, signed=True),
    ]


def group_names(units: Units) -> dict[str, str]:
    """Groups of approach and short shots by their distances."""
    from rangework.skill.model import BAND_EDGES_M, CHIP_LIMIT_M, SHORT_LIMIT_M
    from rangework.units import METRES_PER, shot_unit

    unit = shot_unit(units)
    *edges, _ = (f"{edge / METRES_PER[unit]:.0f}" for edge in BAND_EDGES_M)
    chip, short = (f"{limit / METRES_PER[unit]:.0f}" for limit in (CHIP_LIMIT_M, SHORT_LIMIT_M))
    bands = [f"{low}-{high} {unit}" for low, high in pairwise(edges)]
    bands.append(f"{edges[-1]} {unit} and more")
    ids = ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")
    return {
        **dict(zip(ids, bands, strict=True)),
        "chip": f"chips, under {chip} {unit}",
        "pitch": f"pitches, {chip}-{short} {unit}",
        "bunker": "greenside bunker",
    }


def _gaps(families: Sequence[LoggedFamily]) -> list[str]:
    outside = [each for each in families if not each.inside]
    if not outside:
        return ["Every logged figure lies inside its range: the fitted player plays like the logged one."]
    return [
        f"Look at {LOGGED[each.family]}: {number(each.logged)} logged, "
        f"{interval(each.predicted.low, each.predicted.high)} expected. It may be chance (one range in ten is "
        f"missed); else likely causes are {each.causes}."
        for each in outside
    ]


def _logged_results(logged: LoggedComparison | None) -> dict[str, Any] | None:
    if logged is None:
        return None
    families = [
        {
            "family": each.family,
            "logged": each.logged,
            "predicted": each.predicted.value,
            "low": each.predicted.low,
            "high": each.predicted.high,
            "basis": each.predicted.basis,
            "inside": each.inside,
            "causes": each.causes or None,
        }
        for each in logged.families
    ]
    return {"rounds": logged.rounds, "course": logged.course, "families": families}
