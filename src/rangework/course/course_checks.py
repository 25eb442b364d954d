"""What must, and what usually does, hold for a whole course."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rangework.course.findings import Findings
from rangework.course.geometry import Hole, TeeSet
from rangework.units import YARD_M

#: Shortest and longest hole of a par in yards: Rules of Handicapping, Appendix F.
PAR_YARDS = {
    "men": {3: (0, 260), 4: (240, 490), 5: (450, 710), 6: (670, 1000)},
    "women": {3: (0, 220), 4: (200, 420), 5: (370, 600), 6: (570, 1000)},
}

#: A usual length of a par, yards, to order holes by difficulty: common practice, no source.
_MIDDLE_YARDS = {3: 165, 4: 385, 5: 515, 6: 680}


def check_lengths(
    hole: Hole, place: str, lengths_m: dict[str, float], tees: Iterable[TeeSet], findings: Findings
) -> None:
    """Warn of a length that suits the hole's par for none of the players its tee is rated for."""
    for tee in tees:
        yards = lengths_m[tee.name] / YARD_M
        players = [who for who, rating in (("men", tee.men), ("women", tee.women)) if rating] or list(
            PAR_YARDS
        )
        ranges = {who: PAR_YARDS[who][hole.par] for who in players}
        if not any(low <= round(yards) <= high for low, high in ranges.values()):
            usual = " or ".join(f"{low}-{high} yd ({who})" for who, (low, high) in ranges.items())
            expected = f"{usual} for a par {hole.par}, by Rules of Handicapping, Appendix F"
            findings.warning(f"{place}, {tee.name} tee", f"{yards:.0f} yd", expected, "It is used as it is.")


def stroke_indexes(
    holes: Sequence[Hole], lengths_m: Sequence[dict[str, float]], findings: Findings
) -> list[int]:
    """The holes' stroke indexes: as given, or by length for the par where none is given."""
    given = [hole.stroke_index for hole in holes]
    if not any(given):
        findings.assume("stroke indexes by length for the par, as none is given")
        return _by_length(holes, lengths_m)
    for hole, index in zip(holes, given, strict=True):
        if index and given.index(index) < hole.number - 1:
            place = f"holes[{hole.number}].stroke_index"
            findings.problem(place, index, f"one that hole {given.index(index) + 1} does not have")
        elif not index:
            place = f"holes[{hole.number}].stroke_index"
            findings.problem(place, None, "a stroke index, as other holes have one", "Give all or none.")
    if all(given) and len(set(given)) == len(given) and sorted(given) not in _allowed_indexes(len(holes)):
        findings.problem("stroke_index", sorted(given), _expected_indexes(len(holes)))
    return given


def filled_order(holes: Sequence[Hole], lengths_m: Sequence[dict[str, float]]) -> list[int] | None:
    """The holes' stroke indexes, those that are 0 filled in by length; None where the others are no order."""
    given = [hole.stroke_index for hole in holes]
    known = [index for index in given if index]
    orders = [order for order in _allowed_indexes(len(holes)) if set(known) <= set(order)]
    if not orders or len(set(known)) < len(known):
        return None
    left = iter(sorted(set(orders[0]) - set(known)))
    filled = list(given)
    for hole in sorted(range(len(holes)), key=_by_length(holes, lengths_m).__getitem__):
        filled[hole] = filled[hole] or next(left)
    return filled


def _by_length(holes: Sequence[Hole], lengths_m: Sequence[dict[str, float]]) -> list[int]:
    relative = [
        max(lengths.values()) / YARD_M / _MIDDLE_YARDS[hole.par]
        for hole, lengths in zip(holes, lengths_m, strict=True)
    ]
    order = sorted(range(len(holes)), key=lambda i: -relative[i])
    return [order.index(i) + 1 for i in range(len(holes))]


def _allowed_indexes(holes: int) -> list[list[int]]:
    """1 to the number of holes; nine holes may also hold the odd or the even ones of eighteen."""
    straight = list(range(1, holes + 1))
    return [straight, list(range(1, 19, 2)), list(range(2, 19, 2))] if holes == 9 else [straight]


def _expected_indexes(holes: int) -> str:
    extra = ", or the odd or the even numbers to 18," if holes == 9 else ""
    return f"every number from 1 to {holes}{extra} once"
