from dataclasses import replace

import numpy as np
import pytest
from simulated_players import SimulatedPlayer, typical_records

from rangework.estimate import Estimate, unknown_bases
from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.club_carries import ClubCarry, club_carries, doubted_carries
from rangework.skill.dispersion_table import PUTT_LENGTHS_FT, dispersion_table, putting_table
from rangework.skill.fit import fit_player
from rangework.skill.measures import (
    FROM_NEIGHBOURS,
    NOT_IDENTIFIED,
    RANGE_ONLY,
    WORDS,
    known_sd,
    part_estimates,
    range_factor,
    sureness,
)
from rangework.skill.model import BAND_CENTRE_M, DEPTH, DIRECTION, POOR, STANDARD, compile_golfer
from rangework.skill.part_values import part_values
from rangework.skill.parts import PART_IDS
from rangework.skill.putting import make_probability, putt_tables, three_putt_probability
from rangework.skill.reference import reference_golfer
from rangework.units import FOOT_M, YARD_M


@pytest.fixture(scope="module")
def records() -> ShotRecords:
    return typical_records(SimulatedPlayer(reference_golfer(10.0), 11), sessions=3, balls=60)


@pytest.fixture(scope="module")
def posterior(records):
    return fit_player(records, handicap=10.0, n_draws=200)


def test_all_24_parts_with_interval_reference_and_basis(posterior) -> None:
    parts = part_estimates(posterior)
    assert [part.part for part in parts] == list(PART_IDS)
    for part in parts:
        assert part.low <= part.estimate <= part.high
        assert unknown_bases(part.basis) == []
        assert set(part.to_json()) >= {
            "part",
            "unit",
            "estimate",
            "low",
            "high",
            "reference",
            "shots",
            "basis",
        }


def test_part_quantities_are_those_of_the_shot_model() -> None:
    golfer = replace(reference_golfer(10.0), approach_depth=np.array([1.2, 1.3, 1.4, 1.5]))
    values = {part: v[0] for part, v in part_values(c.golfer_coordinates(golfer)[None, :]).items()}
    rows = compile_golfer(golfer).table[Lie.FAIRWAY, STANDARD]
    for band, name in enumerate(
        ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")
    ):
        place = BAND_CENTRE_M[band]
        depth = np.interp(place, np.arange(len(rows)), rows[:, DEPTH])
        assert values[f"{name}.depth"] == pytest.approx(depth, rel=1e-3)
        direction = np.degrees(np.interp(place, np.arange(len(rows)), rows[:, DIRECTION]))
        assert values[f"{name}.direction"] == pytest.approx(direction, rel=1e-3)
    assert values["chip"] == pytest.approx(
        np.interp(10.0 * YARD_M, np.arange(len(rows)), rows[:, DEPTH]), rel=1e-3
    )
    assert values["approach.poor_strikes"] == pytest.approx(rows[150, POOR])


def test_reference_is_the_golfer_of_the_stated_handicap(posterior) -> None:
    by_part = {part.part: part for part in part_estimates(posterior)}
    assert by_part["tee.carry"].reference == pytest.approx(reference_golfer(10.0).driver_m)
    assert by_part["tee.bias"].reference == 0.0


@pytest.mark.parametrize(
    ("ratio", "shots", "share", "words"),
    [
        (0.9, 500, 0.0, WORDS[0]),
        (0.6, 500, 0.0, WORDS[1]),
        (0.3, 500, 0.0, WORDS[2]),
        (0.6, 10, 0.0, FROM_NEIGHBOURS),
        (0.3, 500, 0.4, RANGE_ONLY),
    ],
)
def test_words_of_sureness(ratio: float, shots: int, share: float, words: str) -> None:
    assert sureness(ratio, 1.0, shots, share) == words


def test_range_alone_leaves_the_course_assumed() -> None:
    player = SimulatedPlayer(reference_golfer(10.0), 12)
    fitted = fit_player(
        player.records(aimed=player.practice([80.0, 110.0, 140.0, 165.0], 150, 8)), handicap=10.0, n_draws=200
    )
    factor = range_factor(fitted)
    assert not factor.identified
    assert factor.words == NOT_IDENTIFIED
    assert "range" in [warning.place for warning in fitted.warnings]
    words = {part.part: part.words for part in part_estimates(fitted)}
    assert words["approach_100_150.direction"] == RANGE_ONLY
    assert words["bunker"] == WORDS[0]


def test_dispersion_by_distance_and_lie(posterior) -> None:
    rows = {(row.shot, row.lie): row for row in dispersion_table(posterior)}
    tables = compile_golfer(posterior.mean).table
    for shot, lie in (("approach_100_150", Lie.ROUGH), ("approach_150_200", Lie.SAND), ("pitch", Lie.ROUGH)):
        row = rows[shot, lie]
        place = np.arange(tables.shape[2])
        depth = np.interp(row.target_m, place, tables[lie, STANDARD, :, DEPTH])
        assert row.depth.value == pytest.approx(depth, rel=0.08)
        direction = np.degrees(np.interp(row.target_m, place, tables[lie, STANDARD, :, DIRECTION]))
        assert row.direction.value == pytest.approx(direction, rel=0.08)
    assert rows["chip", Lie.FAIRWAY].bias is None
    assert rows["approach_100_150", Lie.FAIRWAY].shots > 50
    assert rows["approach_200_up", Lie.SAND].words in (WORDS[0], FROM_NEIGHBOURS)


def test_putting_table_is_the_putting_model(posterior) -> None:
    rows = putting_table(posterior)
    lengths = np.array([row.length_m for row in rows])
    np.testing.assert_allclose(lengths, np.array(PUTT_LENGTHS_FT) * FOOT_M)
    skill = posterior.mean.putting
    np.testing.assert_allclose([row.make.value for row in rows], make_probability(lengths, skill), atol=0.02)
    three = three_putt_probability(lengths, putt_tables(skill))
    np.testing.assert_allclose([row.three_putt.value for row in rows], three, atol=0.02)


def test_club_carries_are_those_of_solid_full_swings(records, posterior) -> None:
    aimed = records.aimed.copy()
    aimed["club"] = np.where(
        aimed["target_m"] > 150.0, "long iron", np.where(aimed["target_m"] > 90.0, "iron", "")
    )
    longest = float(aimed.loc[aimed["club"] == "iron", "target_m"].max())
    topped = aimed.index[aimed["target_m"] == longest][0]
    aimed.loc[topped, "long_m"] = -0.9 * longest
    clubs = club_carries(ShotRecords(aimed, records.putts, records.log), posterior.mean)
    assert [club.club for club in clubs] == ["long iron", "iron"]
    assert clubs[1].carry.value == pytest.approx(longest, rel=0.08)
    assert clubs[0].gap_m == pytest.approx(clubs[0].carry.value - clubs[1].carry.value)
    assert clubs[1].gap_m is None
    assert clubs[1].solid < clubs[1].balls


def test_a_spread_that_the_records_double_is_not_called_assumed() -> None:
    # same relative spread of prior draws, but the records say twice as wide and know it half as well again
    before = np.exp(np.random.default_rng(3).normal(np.log(3.0), 0.4, 4000))
    drawn = np.exp(np.random.default_rng(4).normal(np.log(7.0), 0.12, 4000))
    assert sureness(*known_sd(drawn, before), 88) == WORDS[2]
    assert sureness(*known_sd(before, before), 88) == WORDS[0]
    bias = np.random.default_rng(5).normal(0.0, 1.0, 4000)
    assert known_sd(bias, 2.0 * bias) == pytest.approx((bias.std(), 2.0 * bias.std()))


def test_clubs_that_carry_nothing_like_the_profile_are_doubted_together() -> None:
    carry_m = {"driver": 200.0, "5 iron": 150.0, "9 iron": 110.0}
    carries = [
        ClubCarry(club, Estimate(carry, carry - 3.0, carry + 3.0, "m", "data"), 8.0, 20, 20, None)
        for club, carry in carry_m.items()
    ]
    believed = {club: 1.08 * carry for club, carry in carry_m.items()}
    assert doubted_carries(carries, believed) == []
    assert doubted_carries(carries, {}) == []
    assert doubted_carries(carries, {**believed, "driver": 600.0}) == []
    (problem,) = doubted_carries(carries, {club: 3.28 * carry for club, carry in carry_m.items()})
    assert problem.value == "driver, 5 iron, 9 iron"
    assert "0.3 times as far" in problem.expected


@pytest.mark.slow
def test_without_a_putt_putting_is_assumed_and_with_nothing_but_putts_all_else_is(records) -> None:
    putts, shots = records.putts, records.aimed
    off_green = replace(records, putts=putts.iloc[:0], log=records.log.iloc[:0])
    words = {part.part: part.words for part in part_estimates(fit_player(off_green, n_draws=100))}
    assert {words["putt.line"], words["putt.pace"]} == {WORDS[0]}
    on_green = replace(records, aimed=shots.iloc[:0], log=records.log.iloc[:0])
    fitted = fit_player(on_green, n_draws=100)
    words = {part.part: part.words for part in part_estimates(fitted)}
    assert {word for part, word in words.items() if not part.startswith("putt.")} == {WORDS[0]}
    assert {row.words for row in dispersion_table(fitted)} == {WORDS[0]}
