"""Clubs by how far they carry."""

from __future__ import annotations

from collections.abc import Mapping

from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.club_carries import club_carries
from rangework.skill.posterior import Posterior

#: A club is named for a shot that flies this near to its carry.
_NEAR_M = 7.0


def club_for(clubs_m: Mapping[str, float], carry_m: float) -> str | None:
    """The club that carries about as far as a full shot needs to; None without one."""
    if not clubs_m:
        return None
    club = min(clubs_m, key=lambda name: abs(clubs_m[name] - carry_m))
    return club if abs(clubs_m[club] - carry_m) <= _NEAR_M else None


def carries_by_club(records: ShotRecords, posterior: Posterior, profile: PlayerProfile) -> dict[str, float]:
    """Carries in metres: as recorded, else as the profile says."""
    measured = {each.club: each.carry.value for each in club_carries(records, posterior)}
    return {**profile.clubs, **measured}
