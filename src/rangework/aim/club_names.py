"""Clubs by how far they carry."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.club_carries import club_carries, likely_carries
from rangework.skill.partial_shots import STRETCH
from rangework.skill.posterior import Posterior

#: A shot this near below a club's full carry is called a full one, and one much shorter has no club's name; the longest
#: club is named for shots a little beyond its carry too, for a carry is known only so well.
_FULL_SHARE, _NAMED_SHARE, _LONGEST_SHARE = 0.97, 0.85, 1.06


class NamedClub(NamedTuple):
    """The club for a shot, and whether it is held back."""

    name: str
    partial: bool

    @property
    def words(self) -> str:
        """As it is shown."""
        return f"{self.name}, partial" if self.partial else self.name


def club_for(clubs_m: Mapping[str, float], carry_m: float) -> NamedClub | None:
    """The shortest club that carries as far as a shot needs to; None where no carry is near.

    ``clubs_m``: carries of full shots by club.
    """
    longest = max(clubs_m, key=lambda name: clubs_m[name], default="")
    if not longest or carry_m > _LONGEST_SHARE * clubs_m[longest]:
        return None
    reaching = [club for club, full_m in clubs_m.items() if STRETCH * full_m >= carry_m]
    club = min(reaching or [longest], key=lambda name: clubs_m[name])
    share = carry_m / clubs_m[club]
    return NamedClub(club, share < _FULL_SHARE) if share >= _NAMED_SHARE else None


def carries_by_club(records: ShotRecords, posterior: Posterior, profile: PlayerProfile) -> dict[str, float]:
    """Carries in metres, as the records and the profile together have them."""
    return likely_carries(club_carries(records, posterior.mean), profile.clubs)
