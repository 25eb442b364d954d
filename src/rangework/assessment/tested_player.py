"""Cards of one player with what was known of the player before them: scored, and read together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import pandas as pd

from rangework.assessment.card import Card
from rangework.assessment.cell_posterior import CellPosterior
from rangework.assessment.imagined_cards import plausible_players
from rangework.assessment.leaks import Leaks, leaks
from rangework.assessment.progress import Change, changes, groups_of
from rangework.assessment.scoring import PinView, ScoredCards, score_cards
from rangework.course.geometry import Course
from rangework.errors import InputError, Problem
from rangework.records.profile import PlayerProfile, parse_handicap
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player, make_prior
from rangework.skill.latents import LatentPrior
from rangework.skill.posterior import Posterior
from rangework.skill.reference import Group, reference_golfer, tour_golfer


@dataclass(frozen=True, slots=True, eq=False)
class TestedPlayer:
    """Scored cards in the order of their days, against a golfer of ``level``, and what they say of the player.

    ``before`` is what all cards but the last said; None of a single card. ``known_from``: whether records or the
    handicap alone say what to expect.
    """

    scored: ScoredCards
    level: float | str
    posterior: CellPosterior
    before: CellPosterior | None
    known_from: Literal["records", "handicap"]

    def leaks(self, *, seed: int = 0) -> Leaks:
        """The last card's cells, lowest first."""
        return leaks(self.posterior, seed=seed)

    def changes(self) -> tuple[Change, ...]:
        """What became of everything, each band, pin position and cell from the first card to the last."""
        if self.before is None:
            return ()
        cells = self.scored.cells
        balls = sum(card.balls for card in self.posterior.cards)
        groups = groups_of(cells.names, cells.bands, cells.pins, balls)  # type: ignore[arg-type]
        return changes(self.posterior, self.before, groups)


def read_together(
    cards: Sequence[Card],
    course: Course,
    records: ShotRecords,
    *,
    profile: PlayerProfile | None = None,
    against: float | str | None = None,
    pins: PinView = "side",
    seed: int = 0,
) -> TestedPlayer:
    """Score the cards of one player; ``records`` (and the handicap of ``profile``) say what to expect.

    ``against``: a handicap index or ``tour``; unless given the card's reference golfer, or the player's own level.
    Balls of the cards that are among the records are not counted twice. Raises InputError and FitError.
    """
    known = known_player(records, profile or PlayerProfile(), cards, seed=seed)
    level = _written_level(cards) if against is None else against
    if level is None:
        level = known.reference_level if isinstance(known, Posterior) else known.level
    scored = score_cards(cards, course, _golfer(level, cards, profile), pins=pins)
    expected = scored.expect(plausible_players(known, seed=seed), seed=seed)
    before = scored.posterior(expected, len(cards) - 1) if len(cards) > 1 else None
    known_from: Literal["records", "handicap"] = "records" if isinstance(known, Posterior) else "handicap"
    return TestedPlayer(scored, level, scored.posterior(expected), before, known_from)


def known_player(
    records: ShotRecords, profile: PlayerProfile, cards: Sequence[Card] = (), *, seed: int = 0
) -> Posterior | LatentPrior:
    """What is known without the cards: a fit of the records, or the handicap alone where there are none."""
    days = pd.DatetimeIndex(sorted({day for card in cards for day in card.balls["date"].dt.floor("D")}))
    aimed = records.aimed
    own = (aimed["purpose"] == "test") & aimed["date"].dt.floor("D").isin(days)
    others = replace(records, aimed=aimed[~own].reset_index(drop=True))
    if others.n_balls:
        return fit_player(others, profile=profile, seed=seed)
    return make_prior(None, profile)


def _written_level(cards: Sequence[Card]) -> float | str | None:
    """The reference golfer that the cards name, the same in all of them; None where none does."""
    written = {str(each): card.source for card in cards for each in card.balls["reference"] if each}
    if len(written) > 1:
        told = " and ".join(written)
        remedy = "Choose one with --against: strokes gained on different golfers cannot be compared."
        raise InputError(
            Problem(next(iter(written.values())), "column reference", told, "one golfer", remedy)
        )
    for text, source in written.items():
        try:
            return text if text == "tour" else parse_handicap(text)
        except ValueError as error:
            raise InputError(
                Problem(source, "column reference", text, f"tour or an index ({error})")
            ) from None
    return None


def _golfer(level: float | str, cards: Sequence[Card], profile: PlayerProfile | None):  # type: ignore[no-untyped-def]
    groups = {str(each) for card in cards for each in card.balls["reference_group"] if each}
    group: Group = "women" if groups == {"women"} else "men"
    if not groups and profile:
        group = profile.reference
    return tour_golfer(group) if level == "tour" else reference_golfer(float(level), group)
