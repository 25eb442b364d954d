"""Hole notes in words: a card for each hole, the same for print, for a page and for plain text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rangework.aim import target_text
from rangework.aim.hole_notes import WORTH_A_NOTE, Approach, HoleNote, NotedShot, WayShot
from rangework.course.drawn_green import green_of
from rangework.units import METRES_PER, Units, shot_unit

#: Pins as they lie on a green seen by the player who arrives, the back on top.
GRID = (
    ("back-left", "back", "back-right"),
    ("left", "middle", "right"),
    ("front-left", "front", "front-right"),
)

GRID_WORDS = "Each table is a green as you arrive, its back on top: where to aim when the pin stands there. "
SAFETY = (
    "Never toward people: before you play, be sure that nobody is where the ball may go, the poor strike and the "
    "widest miss among them, and call out when one goes astray. The map does not know who stands on it."
)
LOCAL_RULES = (
    "In competition ask the committee what may be carried: Rule 4.3 limits material that helps to read greens, and a "
    "local rule may allow only what the committee approves. These notes hold no slopes. The .txt form holds nothing "
    "of the greens but the side on which a pin stands."
)


@dataclass(frozen=True, slots=True)
class NoteTable:
    """Targets by pin: three rows of three as the pins lie, or a row for each pin."""

    heading: str
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class NoteCard:
    """One hole: its heading, the size of its green, what to do until the green is in reach, and the approaches."""

    number: int
    heading: str
    green: str
    way: tuple[str, ...]
    tables: tuple[NoteTable, ...]


@dataclass(frozen=True, slots=True)
class NoteSheet:
    """All cards, with what stands above and below them."""

    title: str
    about: str
    cards: tuple[NoteCard, ...]
    cautions: tuple[str, ...]
    credit: str

    def nines(self) -> list[tuple[NoteCard, ...]]:
        """The cards of each nine: what goes on one page."""
        return [self.cards[start : start + 9] for start in range(0, len(self.cards), 9)]


def note_sheet(
    notes: Sequence[HoleNote],
    *,
    course: str,
    tee: str,
    player: str,
    attribution: str,
    units: Units,
    day: str = "",
) -> NoteSheet:
    """The notes in words; ``day`` are the conditions that they were made for, empty for a neutral day."""
    unit, made_for = shot_unit(units), f"Made for a day of {day}. " if day else ""
    nine = any(len(table.rows[0]) == 3 for note in notes for table in _card(note, units).tables)
    about = (
        f"For {player}. {made_for}{GRID_WORDS if nine else ''}Targets in {unit} as seen from the ball: left or "
        f"right of the pin, short of it or long. Where it says pin, nothing else saves {WORTH_A_NOTE:g} strokes. "
        "Approaches are from where most of the shots before leave you; the length is to a pin in the middle."
    )
    return NoteSheet(
        f"{course}, {tee} tees", about, tuple(_card(note, units) for note in notes), (SAFETY, LOCAL_RULES),
        f"Map data: {attribution}" if attribution else "",
    )  # fmt: skip


def _card(note: HoleNote, units: Units) -> NoteCard:
    unit, green = shot_unit(units), green_of(note.hole)
    size = f"green {_whole(green.width_m, units)} wide, {_whole(green.depth_m, units)} deep"
    heading = f"par {note.hole.par}, {_whole(note.length_m, units)} {unit}"
    tables = tuple(_table(approach, units) for approach in note.approaches)
    return NoteCard(note.hole.number, heading, size, tuple(_way(each, units) for each in note.way), tables)


def _way(each: WayShot, units: Units) -> str:
    place = "Tee" if each.from_m is None else f"From {_whole(each.from_m, units)}"
    told = _target(each.shot, units)
    club = f" ({each.shot.club.words})" if each.shot.club else ""
    finish = {"sand": each.shot.finish.bunker, "penalty": each.shot.finish.penalty}
    risks = [f"{name} {100 * share:.0f}" for name, share in finish.items() if share >= 0.005]
    return f"{place}: {told}{club}" + (f"; of 100: {', '.join(risks)}" if risks else "")


def _table(approach: Approach, units: Units) -> NoteTable:
    shots = approach.by_pin
    place = "From the tee" if approach.from_m is None else f"From {_whole(approach.from_m, units)}"
    told = _told(max((noted.saved for noted in shots.values() if noted.saved is not None), default=None))
    club = _club(shots)
    heading = f"{place}{f', {club}' if club else ''}: {told}"
    if set(shots) == {pin for row in GRID for pin in row}:
        return NoteTable(heading, tuple(tuple(_target(shots[pin], units) for pin in row) for row in GRID))
    return NoteTable(heading, tuple((pin, _target(noted, units)) for pin, noted in shots.items()))


def _told(saved: float | None) -> str:
    if saved is None:
        return "no pin is in reach"
    return f"saves up to {saved:.2f} beside the pin" if saved >= WORTH_A_NOTE else "the pin is as good as any"


def _club(shots: Mapping[str, NotedShot]) -> str:
    """The club for most of the pins, where there is one."""
    clubs = [noted.club.name for noted in shots.values() if noted.club]
    return max(dict.fromkeys(clubs), key=clubs.count) if len(clubs) * 2 > len(shots) else ""


def _target(noted: NotedShot, units: Units) -> str:
    if noted.at_pin:
        return "pin"
    if noted.off_pin_m is None:
        return target_text(noted.target, units)
    (right, long), ways = noted.off_pin_m, (("right", "left"), ("long", "short"))
    moves = [
        f"{abs(amount)} {more if amount > 0 else less}"
        for off_m, (more, less) in zip((right, long), ways, strict=True)
        if (amount := _whole(off_m, units))
    ]
    return ", ".join(moves) or "pin"


def _whole(length_m: float, units: Units) -> int:
    return round(length_m / METRES_PER[shot_unit(units)])
