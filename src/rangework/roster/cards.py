"""Filled cards of practice tests into the roster, and out of it as the commands that score them want them."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from rangework.assessment.card import Card, read_card
from rangework.errors import InputError, Problem
from rangework.records.table import read_bytes
from rangework.store.cards import KeptCard, cards_of, keep_card
from rangework.store.players import find_player
from rangework.store.roster_file import Roster, open_roster

Became = Literal["kept", "gone on with", "there already"]


@dataclass(frozen=True, slots=True, eq=False)
class ReadCard:
    """A card that was read, with the bytes of its file."""

    path: Path
    card: Card
    content: bytes


def read_card_file(path: Path, *, leave_out_faulty: bool) -> ReadCard:
    """Read a filled card to be kept. Raises InputError for a fault, unless such balls are left out."""
    return ReadCard(path, read_card(path, leave_out_faulty=leave_out_faulty), read_bytes(path))


def keep_cards(roster: Roster, name: str, cards: Sequence[ReadCard]) -> list[Became]:
    """Keep cards of a player, all or none, each once.

    A card of the same test and day that holds all balls of one that is there goes on with it and takes its place; one
    whose balls are all there changes nothing.
    """
    with roster.writing():
        player = find_player(roster, name).id
        return [_keep(roster, player, each) for each in cards]


def _keep(roster: Roster, player: int, read: ReadCard) -> Became:
    card, day = read.card, read.card.day.isoformat()
    balls = _balls(card)
    earlier = None
    for kept in cards_of(roster, player):
        if (kept.day, kept.name) == (day, card.name):
            there = _balls(card_of(kept))
            if balls <= there:
                return "there already"
            if there <= balls:
                earlier = kept.id
    new = keep_card(
        roster, player, day=day, name=card.name, balls=len(card.balls), file_name=read.path.name,
        content=read.content, instead_of=earlier,
    )  # fmt: skip
    return "there already" if not new else "kept" if earlier is None else "gone on with"


def _balls(card: Card) -> Counter[tuple[Hashable, ...]]:
    """The balls of a card, each with where it was played to and went; what is not known is None."""
    columns = ("date", "lie", "hole", "pin", "target_m", "long_m", "right_m", "misread", "holed")
    rows = zip(*(card.balls[name].tolist() for name in columns), strict=True)
    return Counter(tuple(None if value != value else value for value in row) for row in rows)


def card_of(kept: KeptCard) -> Card:
    """A kept card, read as its file would be; faulty balls were left out when it came in, and are again."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "card.csv"
        path.write_bytes(kept.content)
        return replace(read_card(path, leave_out_faulty=True), source=kept.file_name)


def kept_cards(path: Path, name: str) -> list[Card]:
    """All cards of a player of the roster at ``path``, by day."""
    with open_roster(path) as roster:
        return [card_of(kept) for kept in cards_of(roster, find_player(roster, name).id)]


def no_cards(path: Path, name: str, least: int, there: int) -> InputError:
    """The player has fewer cards than are needed."""
    expected = "a filled card" if least == 1 else f"{least} filled cards or more"
    remedy = f"Import some: `rangework roster import {name!r} CARD`, or name them before --player."
    return InputError(Problem(str(path), f"player {name}", "", f"{expected}, and {there} are kept", remedy))
