"""Which club a shot is named for."""

import pytest

from rangework.aim.club_names import NamedClub, club_for

CARRIES = {"driver": 190.0, "5 iron": 150.0, "7 iron": 130.0, "9 iron": 110.0}


@pytest.mark.parametrize(
    ("carry_m", "club"),
    [
        (130.0, NamedClub("7 iron", False)),
        (132.0, NamedClub("7 iron", False)),
        (127.0, NamedClub("7 iron", False)),
        (124.0, NamedClub("7 iron", True)),
        (140.0, NamedClub("5 iron", True)),
        (95.0, NamedClub("9 iron", True)),
        (90.0, None),  # no club is so much held back that its name still says something
        (155.0, None),  # far from the driver and beyond the 5 iron
        (200.0, NamedClub("driver", False)),
        (210.0, None),
    ],
)
def test_a_shot_is_named_for_the_shortest_club_that_reaches(carry_m: float, club: NamedClub | None) -> None:
    assert club_for(CARRIES, carry_m) == club


def test_without_clubs_nothing_is_named() -> None:
    assert club_for({}, 120.0) is None
    assert NamedClub("7 iron", True).words == "7 iron, partial"
