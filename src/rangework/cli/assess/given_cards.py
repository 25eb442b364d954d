"""What score and progress are given: cards, records of before, the course."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

import click

from rangework.cli.kept import KeptPlayer
from rangework.cli.options import (
    FILE,
    course_option,
    handicap_option,
    kept_player_option,
    mapping_option,
    named_player,
    profile_option,
    roster_option,
)
from rangework.cli.reading import ReadTogether, chosen_course, player_profile, player_shots
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.assessment.card import Card
    from rangework.assessment.tested_player import TestedPlayer
    from rangework.course.geometry import Course
    from rangework.records.profile import PlayerProfile
    from rangework.records.shots import ShotRecords

Command = TypeVar("Command", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class GivenCards:
    """Everything read: the cards, the records that say what to expect, who the player is, and the course."""

    cards: tuple[Card, ...]
    records: ShotRecords
    profile: PlayerProfile
    course: Course

    @property
    def name(self) -> str:
        """The player's name, or what stands for it within a sentence."""
        return self.profile.name or "the player"

    def read_together(self, against: float | str | None, pins: Any, seed: int) -> TestedPlayer:
        """The cards scored."""
        from rangework.assessment.tested_player import read_together

        return read_together(
            self.cards, self.course, self.records, profile=self.profile, against=against, pins=pins, seed=seed
        )

    def before(self, day: date) -> tuple[GivenCards, int, int]:
        """What was known before a day; how many balls of records and how many cards are left out. Raises InputError."""
        from rangework.assessment.forecasts import records_before

        cards = tuple(card for card in self.cards if card.day < day)
        if self.cards and not cards:
            told = f"a day after that of a card; the first one is of {min(card.day for card in self.cards)}"
            raise InputError(Problem("--on", "", str(day), told))
        records, balls = records_before(self.records, day)
        return replace(self, cards=cards, records=records), balls, len(self.cards) - len(cards)

    @property
    def doubts(self) -> list[str]:
        """What is odd about the files and used all the same, and balls that were left out."""
        odd = [str(each) for card in self.cards for each in card.warnings]
        out = [f"{each} That ball is left out." for card in self.cards for each in card.left_out]
        return [*odd, *out, *(str(each) for each in self.records.warnings)]


def card_options(command: Command) -> Command:
    """Options of the commands that read filled cards."""
    for option in (
        click.option(
            "--leave-out-faulty",
            is_flag=True,
            help="Score the other balls of a card with faults, and say which were left out.",
        ),
        click.option(
            "--pins-by",
            "pins",
            type=click.Choice(["side", "depth", "short-side"]),
            default="side",
            show_default=True,
            help="What pins are told apart by: third of the width, third of the depth, or the side with little green.",
        ),
        click.option(
            "--against",
            metavar="LEVEL",
            callback=_level,
            help="The golfer that strokes are gained on: a handicap index, or `tour`. Without it the card's own "
            "reference golfer, or the player's handicap.",
        ),
        course_option,
        profile_option,
        handicap_option,
        mapping_option,
    ):
        command = option(command)
    return command


def _level(_ctx: click.Context, _parameter: click.Parameter, written: str | None) -> float | str | None:
    from rangework.records.profile import parse_handicap

    if written is None or written == "tour":
        return written
    try:
        return parse_handicap(written)
    except ValueError as error:
        raise click.BadParameter(f"{error}.") from error


#: Cards, and records of the time before them.
files_argument = click.argument("files", nargs=-1, required=True, type=FILE, metavar="CARD... [RECORDS...]")


def cards_or_player(command: Command) -> Command:
    """Cards and records, or a player of the roster with the cards kept there."""
    files = click.argument(
        "files", nargs=-1, type=FILE, callback=_files_or_player, metavar="CARD... [RECORDS...]"
    )
    for option in (roster_option(required=False), kept_player_option, files):
        command = option(command)
    return command


def _files_or_player(ctx: click.Context, parameter: click.Parameter, files: Sequence[Path]) -> Sequence[Path]:
    if not files and named_player() is None:
        raise click.MissingParameter("Or give --player with --roster.", ctx, parameter)
    return files


def read_cards_given(
    files: Sequence[Path],
    mappings: Sequence[Path],
    profile: Path | None,
    handicap: float | None,
    course: Any,
    *,
    leave_out_faulty: bool,
    least: int = 1,
    player: KeptPlayer | None = None,
    kept: Literal["none", "latest", "all"] = "none",
) -> GivenCards:
    """Read all files; those with a column ``assessment`` are cards. The faults of all are raised together.

    The other files are records; ``player`` of the roster stands in for them. Of that player's ``kept`` cards all are
    read too, or the latest where no file is a card.
    """
    from rangework.assessment.card import is_card_file, read_card

    on_cards = [file for file in files if is_card_file(file)]
    others = [file for file in files if file not in on_cards]
    if player is None and len(on_cards) < least:
        raise InputError(missing_cards(on_cards, others, least))
    if player and others:
        expected = "a filled card: with --player the roster's balls are the records"
        raise InputError([Problem(str(file), "", "", expected) for file in others])
    with ReadTogether() as together:
        cards = [together.read(read_card, file, leave_out_faulty=leave_out_faulty) for file in on_cards]
        shots = together.read(player_shots, player or others, mappings)
        who = together.read(player_profile, profile, handicap, player or ())
        played = together.read(chosen_course, course)
    if player and kept != "none":
        cards = _with_kept(player, cards, kept, least)
    return GivenCards(tuple(cards), shots, who, played)


def _with_kept(
    player: KeptPlayer, cards: Sequence[Card], kept: Literal["latest", "all"], least: int
) -> list[Card]:
    """The cards of files beside those of the roster; a test of one day is taken once. Raises InputError."""
    from rangework.roster.cards import kept_cards, no_cards

    there = kept_cards(player.roster, player.player)
    if kept == "latest":
        there = [] if cards else there[-1:]
    given = {(card.day, card.name) for card in cards}
    found = [*(card for card in there if (card.day, card.name) not in given), *cards]
    if len(found) < least:
        raise no_cards(player.roster, player.player, least, len(found))
    return found


def missing_cards(cards: Sequence[Path], others: Sequence[Path], least: int) -> list[Problem]:
    """What is wrong where fewer than ``least`` files are cards: files that are not there, or too few cards."""
    absent = [file for file in others if not file.exists()]
    if absent:
        return [Problem(str(file), "", "", "a file, and there is none of this name") for file in absent]
    wanted = "a filled card" if least == 1 else f"{least} filled cards or more"
    told = f"only {cards[0]} is one" if cards else f"{', '.join(map(str, others))}: none"
    remedy = "A card has a column assessment; `rangework assess design --csv` writes one."
    if cards:
        remedy += " `rangework assess score` reads a single one."
    return [Problem("CARD", "", "", f"{wanted}; {told}", remedy)]


def check_days(cards: Sequence[Card]) -> None:
    """Raise InputError where all cards are of one day, the same card twice among them: no time for a change."""
    days = {card.day for card in cards}
    if len(days) == 1:
        told = f"tests of two days or more; all are of {days.pop()}"
        raise InputError(Problem("CARD", "", "", told, "Is one file given twice?"))
