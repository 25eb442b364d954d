"""What each piece of a player's game looks like, as a handicap: a sentence and a table of `rangework skill`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rangework.cli.skill_tables import BANDS_YD, SHORT_WORDS, band_name
from rangework.cli.tables import Block, paragraph, table
from rangework.units import METRES_PER, Units

if TYPE_CHECKING:
    from rangework.skill.level_by_piece import PieceLevel
    from rangework.skill.skill_report import SkillReport

NAMES = {
    "tee": "driving",
    "tee.length": "length",
    "tee.straightness": "straightness",
    "approach": "approach",
    "short_game": "short game",
    "chip": "chips",
    "pitch": "pitches",
    "bunker": "bunker",
    "putting": "putting",
}
DOES = {
    "tee": "drives",
    "approach": "plays approaches",
    "short_game": "plays the short game",
    "putting": "putts",
}
#: Whole numbers that the ends of the levels are shown for.
TOUR, HIGHEST = -5, 54
NOTE = (
    "Like: the handicap at which the usual golfer needs as many strokes there as the player. Straightness counts "
    "bias and poor strikes, the rows by distance and kind of shot solid strikes only."
)


def level_text(level: float) -> str:
    """A level in whole strokes of handicap: better than scratch with a plus, ``tour`` or ``54+`` at the ends."""
    whole = round(level)
    if whole <= TOUR:
        return "tour"
    return f"{HIGHEST}+" if whole >= HIGHEST else f"+{-whole}" if whole < 0 else str(whole)


def pieces_sentence(report: SkillReport) -> str:
    """The two families that stand apart, such as ``Putts like a golfer of 6, drives like one of 14.``; or that
    none do; or the only one that is measured. Empty when the records say nothing of any.
    """
    whole = [each for each in report.level_by_piece.pieces if each.piece == each.family and each.measured]
    by_family = {each.family: each for each in whole}
    apart = report.level_by_piece.apart
    if apart:
        best, worst = by_family[apart.best], by_family[apart.worst]
        other = _golfer(worst).replace("a golfer", "one")
        return f"{_does(best)} like {_golfer(best)}, {DOES[worst.family]} like {other}."
    if len(whole) > 1:
        *others, last = [NAMES[each.piece] for each in whole]
        return f"None of {', '.join(others)} and {last} is surely better than another."
    return f"{_does(whole[0])} like {_golfer(whole[0])}; nothing else is measured." if whole else ""


def _does(piece: PieceLevel) -> str:
    return DOES[piece.family].capitalize()


def _golfer(piece: PieceLevel) -> str:
    level = level_text(piece.level or 0.0)
    named = {
        "tour": "a tour golfer",
        "0": "a scratch golfer",
        f"{HIGHEST}+": f"a golfer of {HIGHEST} or more",
    }
    return named.get(level, f"a golfer of {level}")


def pieces_table(report: SkillReport, units: Units) -> str:
    """Every piece: what handicap it looks like, its range, and how sure; with what the words mean."""
    rows = [_row(each, units) for each in report.level_by_piece.pieces if _shown(each, report)]
    shown = table(["piece", "like", "90 % range", "balls", "how sure"], [Block("", rows)])
    return f"{shown}\n\n{paragraph(NOTE + _stands_in(report) + _ends(rows))}"


def _row(piece: PieceLevel, units: Units) -> list[str]:
    band = piece.piece in BANDS_YD
    name = band_name(piece.piece, units) if band else NAMES[piece.piece]
    head = name if piece.piece == piece.family else f"  {name}"
    if piece.level is None or piece.low is None or piece.high is None:
        return [head, "", "", str(piece.shots), "not measured"]
    ends = f"{level_text(piece.low)} to {level_text(piece.high)}"
    return [head, level_text(piece.level), ends, str(piece.shots), SHORT_WORDS[piece.words]]


def _shown(piece: PieceLevel, report: SkillReport) -> bool:
    """Whole families always; what they are made of where any of it is measured, distances within reach only."""
    if piece.piece == piece.family:
        return True
    if not any(each.measured for each in report.level_by_piece.pieces if each.family == piece.family):
        return False
    if piece.piece not in BANDS_YD or piece.shots:
        return True
    return BANDS_YD[piece.piece][0] * METRES_PER["yd"] < report.longest_m["fairway"]


def _stands_in(report: SkillReport) -> str:
    if all(each.measured for each in report.level_by_piece.pieces):
        return ""
    stated = report.stated_handicap is not None
    return f" Not measured: {'the stated handicap' if stated else 'the level of the whole'} stands in."


def _ends(rows: list[list[str]]) -> str:
    told = " ".join(cell for row in rows for cell in row[1:3]).split()
    means = {"tour": "tour or better", f"{HIGHEST}+": f"{HIGHEST} or more"}
    seen = [f"{word} means {meant}" for word, meant in means.items() if word in told]
    return f" {' and '.join(seen).capitalize()}." if seen else ""
