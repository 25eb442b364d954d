from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from simulated_players import Days, SimulatedPlayer, typical_records

from rangework.errors import FitError
from rangework.lie import Lie
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.evidence import gather
from rangework.skill.fit import fit_player, make_prior
from rangework.skill.latents import N_LATENTS
from rangework.skill.measures import part_estimates
from rangework.skill.part_values import part_values
from rangework.skill.posterior_kernels import hamiltonian_kernel
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.skill.sampler import find_laplace, kernel_prior
from rangework.units import DEGREE_RAD

DEGREE = DEGREE_RAD


@pytest.fixture(scope="module")
def player() -> SimulatedPlayer:
    golfer = replace(
        reference_golfer(12.0),
        tee_bias_rad=3.0 * DEGREE,
        approach_bias_rad=np.array([1.0, 1.5, 2.0, 2.0]) * DEGREE,
        approach_direction=np.array([1.5, 1.5, 2.2, 2.4]),
        tee_poor=0.15,
    )
    return SimulatedPlayer(golfer, 7)


@pytest.fixture(scope="module")
def records(player: SimulatedPlayer) -> ShotRecords:
    return typical_records(player, sessions=10, balls=100, rounds=4, putts=100)


@pytest.fixture(scope="module")
def posterior(records: ShotRecords):
    return fit_player(records, handicap=12.0)


def _z(posterior, golfer) -> np.ndarray:
    truth = c.golfer_coordinates(golfer)
    drawn = posterior.coordinates[:, : c.N_GOLFER]
    return (drawn.mean(axis=0) - truth) / drawn.std(axis=0)


def test_parameters_are_recovered(posterior, player) -> None:
    assert np.abs(_z(posterior, player.golfer)).max() < 4.0
    assert posterior.mean.tee_bias_rad == pytest.approx(3.0 * DEGREE, abs=1.5 * DEGREE)
    assert posterior.mean.approach_direction[2] > 1.15 * posterior.mean.approach_direction[0]
    assert posterior.mean.driver_m == pytest.approx(player.golfer.driver_m, rel=0.03)
    assert posterior.mean.putting.line_rad == pytest.approx(player.golfer.putting.line_rad, rel=0.12)


def test_sampling_converges(posterior) -> None:
    assert posterior.diagnostics["r_hat"] < 1.1
    assert posterior.diagnostics["acceptance"] > 0.6
    assert not [w for w in posterior.warnings if w.place == "sampling"]


def test_same_seed_same_draws(records, posterior) -> None:
    again = fit_player(records, handicap=12.0)
    np.testing.assert_array_equal(again.latents, posterior.latents)
    assert not np.array_equal(fit_player(records, handicap=12.0, seed=1).latents, posterior.latents)


def test_preview_agrees_with_sampling(records, posterior) -> None:
    preview = fit_player(records, handicap=12.0, method="laplace")
    sd = posterior.coordinates[:, : c.N_GOLFER].std(axis=0)
    moved = preview.coordinates[:, : c.N_GOLFER].mean(axis=0) - posterior.coordinates[:, : c.N_GOLFER].mean(
        axis=0
    )
    assert np.abs(moved / sd).max() < 0.8


def test_draws_are_evenly_spaced_golfers(posterior) -> None:
    draws = posterior.draws(5)
    assert len(draws) == 5
    assert len({golfer.driver_m for golfer in draws}) == 5
    assert len(posterior.draws(10_000)) == posterior.n_draws
    with pytest.raises(ValueError, match="at least one"):
        posterior.draws(0)


def _mirrored(records: ShotRecords) -> ShotRecords:
    aimed, putts = records.aimed.copy(), records.putts.copy()
    aimed["right_m"] *= -1.0
    putts["right_m"] *= -1.0
    return ShotRecords(aimed, putts, records.log)


def test_left_hander_is_fitted_as_the_exact_mirror_image(records, posterior) -> None:
    left = fit_player(_mirrored(records), handicap=12.0, profile=PlayerProfile(hand="left"))
    np.testing.assert_array_equal(left.coordinates, c.mirrored(posterior.coordinates))
    assert left.mean.tee_bias_rad == -posterior.mean.tee_bias_rad


def test_equal_balls_count_each(player) -> None:
    once = player.records(aimed=player.practice([110.0, 140.0], 40, 2))
    twice = ShotRecords(pd.concat([once.aimed, once.aimed], ignore_index=True), once.putts, once.log)
    one, two = (fit_player(records, handicap=12.0, method="laplace") for records in (once, twice))
    assert two.shots["approach_100_150"] == 2 * one.shots["approach_100_150"]
    at = c.LN_DIRECTION + 1
    conditional = [np.linalg.inv(p.laplace.precision[:N_LATENTS, :N_LATENTS]) for p in (one, two)]
    assert np.trace(conditional[1]) < np.trace(conditional[0])
    assert two.coordinates[:, at].std() < one.coordinates[:, at].std()


@pytest.mark.slow
def test_equal_putts_count_each(player) -> None:
    putts = player.putts([3.0, 6.0], 30, 1, measured=False)
    holed = putts[putts["holed"]]
    with_more = pd.concat([putts, holed, holed], ignore_index=True)
    few, many = (fit_player(player.records(putts=frame), handicap=12.0) for frame in (putts, with_more))
    assert many.mean.putting.line_rad < few.mean.putting.line_rad


def test_distances_without_data_stay_wide() -> None:
    player = SimulatedPlayer(reference_golfer(12.0), 3)
    fitted = fit_player(player.records(aimed=player.practice([125.0], 100, 8)), handicap=12.0)
    values = part_values(fitted.coordinates)
    relative = {
        part: values[part].std() / values[part].mean() for part in values if part.endswith("direction")
    }
    assert relative["approach_100_150.direction"] < 0.8 * relative["approach_200_up.direction"]
    prior = make_prior(12.0)
    before = part_values(prior.coordinates(np.random.default_rng(0).standard_normal((2000, N_LATENTS))))
    assert values["chip"].std() > 0.7 * before["chip"].std()
    assert values["putt.line"].std() > 0.7 * before["putt.line"].std()


def test_putts_alone_tell_of_putting_alone() -> None:
    player = SimulatedPlayer(reference_golfer(12.0), 4)
    fitted = fit_player(
        player.records(putts=player.putts([3.0, 6.0, 10.0, 20.0, 40.0], 100, 4)), handicap=12.0
    )
    assert np.abs(_z(fitted, player.golfer)).max() < 3.5
    assert fitted.shots == {"putts": 400}
    values = fitted.coordinates
    assert values[:, c.LN_LINE].std() < 0.08
    assert values[:, c.LN_DEPTH].std() > 0.2


def test_logs_never_tell_of_bias() -> None:
    player = SimulatedPlayer(replace(reference_golfer(12.0), approach_bias_rad=np.full(4, 4.0 * DEGREE)), 5)
    fitted = fit_player(player.records(log=player.rounds(8)), handicap=12.0)
    assert fitted.mean.approach_bias_rad == pytest.approx(np.zeros(4), abs=0.3 * DEGREE)
    bias_sd = fitted.coordinates[:, c.BIAS].std()
    assert bias_sd == pytest.approx(np.hypot(1.0, 0.8) * DEGREE, rel=0.2)
    assert fitted.mean.driver_m == pytest.approx(player.golfer.driver_m, rel=0.03)


def test_misreads_count_as_possible_poor_strikes() -> None:
    golfer = replace(reference_golfer(12.0), full_poor=np.array([0.2, 0.3, 0.2]))
    player = SimulatedPlayer(golfer, 6, Days(misread_poor=0.5))
    aimed = player.practice([80.0, 110.0, 140.0, 160.0], 100, 6)
    fitted = fit_player(player.records(aimed=aimed), handicap=12.0)
    dropped = fit_player(player.records(aimed=aimed[~aimed["misread"]]), handicap=12.0)
    assert fitted.mean.full_poor[0] > 1.15 * dropped.mean.full_poor[0]
    assert fitted.mean.full_poor[0] == pytest.approx(0.2, abs=0.06)


def test_a_firm_putter_is_not_taken_for_one_of_poor_pace() -> None:
    usual = reference_golfer(12.0)
    firm = replace(usual, putting=usual.putting._replace(aim_past_m=0.45))
    player = SimulatedPlayer(firm, 11, Days(spread=0.0))
    putts = player.putts([3.0, 5.0, 8.0, 12.0, 20.0, 30.0], 100, 3)
    drawn = fit_player(player.records(putts=putts), handicap=12.0).coordinates
    low, high = np.quantile(np.exp(drawn[:, c.LN_AIM_PAST]), (0.05, 0.95))
    assert usual.putting.aim_past_m < low < 0.45 < high
    assert np.exp(drawn[:, c.LN_PACE].mean()) == pytest.approx(usual.putting.pace, rel=0.06)


def test_gross_outliers_break_nothing(player, records, posterior) -> None:
    aimed = records.aimed.copy()
    wild = np.random.default_rng(0).choice(len(aimed), len(aimed) // 50, replace=False)
    aimed.loc[wild, "long_m"] += 150.0
    aimed.loc[wild, "right_m"] -= 120.0
    fitted = fit_player(ShotRecords(aimed, records.putts, records.log), handicap=12.0)
    spreads = slice(c.LN_DEPTH, c.LN_DIRECTION + 4)
    moved = fitted.coordinates[:, spreads].mean(axis=0) - posterior.coordinates[:, spreads].mean(axis=0)
    assert np.abs(moved).max() < 0.12


def _odd(days: Days) -> list[str]:
    player = SimulatedPlayer(reference_golfer(12.0), 21, days)
    return [warning.place for warning in fit_player(typical_records(player), handicap=12.0).warnings]


def test_stray_rows_and_balls_far_out_are_named() -> None:
    assert _odd(Days()) == []
    assert _odd(Days(slips=0.05)) == ["stray rows"]
    assert _odd(Days(wild=0.25)) == ["balls far out"]


def test_a_step_that_leads_nowhere_is_never_taken(records) -> None:
    """Trajectories that leave the numbers behind are refused: once they were taken, and every draw was nan."""
    prior = make_prior(12.0)
    gathered, kernel = gather(records, prior), kernel_prior(prior)
    n, iterations = N_LATENTS + gathered.n_effects, 12
    way = find_laplace(kernel, gathered.evidence, n).whitening()
    far = way._replace(golfer=1e12 * way.golfer)
    rng = np.random.default_rng(0)
    draws, acceptance, _ = hamiltonian_kernel(
        far,
        kernel,
        gathered.evidence,
        rng.standard_normal((iterations, n)),
        rng.random(iterations),
        np.full(iterations, 2.0),
        2,
        0.8,
    )
    assert acceptance.max() == 0.0
    np.testing.assert_array_equal(draws, np.tile(way.mode, (iterations - 2, 1)))


def test_lay_ups_are_no_misses() -> None:
    player = SimulatedPlayer(reference_golfer(12.0), 8)
    log = player.rounds(6)
    lay_ups = log[log["lie"] == Lie.FAIRWAY].head(40).copy()
    lay_ups["to_hole_m"], lay_ups["left_to_hole_m"] = 260.0, 90.0
    both = pd.concat([log, lay_ups], ignore_index=True)
    plain, with_lay_ups = (fit_player(player.records(log=frame), handicap=12.0) for frame in (log, both))
    np.testing.assert_array_equal(plain.latents, with_lay_ups.latents)


def test_wrong_handicap_is_overruled_by_records() -> None:
    player = SimulatedPlayer(reference_golfer(20.0), 9)
    fitted = fit_player(typical_records(player, sessions=4), handicap=12.0)
    assert fitted.level.mean() > 15.0
    open_level = fit_player(typical_records(player, sessions=4))
    assert open_level.level.mean() == pytest.approx(20.0, abs=5.0)
    assert [w.place for w in open_level.warnings if w.place == "handicap"]


def test_nothing_usable_is_said() -> None:
    with pytest.raises(FitError, match="No usable record"):
        fit_player(ShotRecords.empty(), handicap=12.0)
    player = SimulatedPlayer(reference_golfer(12.0), 1)
    warm_up = player.practice([100.0], 10, 1)
    warm_up["purpose"] = "warm_up"
    with pytest.raises(FitError, match="10 rows"):
        fit_player(player.records(aimed=warm_up), handicap=12.0)


@pytest.mark.parametrize("profile", [PlayerProfile(age=14), PlayerProfile(age=71)])
def test_golfers_whom_the_forms_do_not_describe_are_warned_of(profile: PlayerProfile) -> None:
    player = SimulatedPlayer(replace(reference_golfer(18.0), driver_m=150.0), 2)
    fitted = fit_player(typical_records(player), handicap=18.0, profile=profile)
    assert [w.place for w in fitted.warnings] == ["reference"]
    assert fitted.mean.driver_m == pytest.approx(150.0, rel=0.04)


def test_women_are_fitted_around_womens_reference_golfers() -> None:
    woman = SimulatedPlayer(reference_golfer(18.0, "women"), 2)
    few = typical_records(woman, sessions=1, balls=20, rounds=0, putts=20)
    profile = PlayerProfile(reference="women")
    as_woman = fit_player(few, handicap=18.0, profile=profile)
    assert as_woman.warnings == ()
    assert as_woman.mean.driver_m == pytest.approx(woman.golfer.driver_m, rel=0.05)
    fitted = {part.part: part for part in part_estimates(as_woman)}
    for part in ("approach_50_100.depth", "chip", "tee.direction"):
        assert fitted[part].estimate == pytest.approx(fitted[part].reference, rel=0.3), part
    as_man = fit_player(few, handicap=18.0)
    assert as_man.mean.driver_m > 1.05 * as_woman.mean.driver_m


@pytest.mark.parametrize("kind", ["practice", "rounds"])
def test_a_driver_far_from_the_level_is_followed_and_named(kind: str) -> None:
    """A junior whose profile nobody filled in: every drive is as short as a poor strike of the level."""
    player = SimulatedPlayer(replace(reference_golfer(30.0), driver_m=110.0), 2)
    records = (
        typical_records(player, rounds=0) if kind == "practice" else player.records(log=player.rounds(5))
    )
    fitted = fit_player(records, handicap=30.0)
    assert fitted.mean.driver_m == pytest.approx(110.0, rel=0.04)
    assert "driver length" in [warning.place for warning in fitted.warnings]


def test_a_senior_is_compared_with_one_as_long() -> None:
    """The comparison golfer of a short-hitting senior drives as far, and does the rest better than the level's."""
    senior = SimulatedPlayer(reference_golfer(16.0, driver_m=170.0), 5)
    fitted = fit_player(typical_records(senior), profile=PlayerProfile(age=68, handicap=16.0))
    compared = fitted.reference()
    assert compared.driver_m == fitted.mean.driver_m == pytest.approx(170.0, rel=0.03)
    assert compared.chip < reference_golfer(16.0).chip
    parts = {part.part: part for part in part_estimates(fitted)}
    assert parts["tee.carry"].reference == pytest.approx(parts["tee.carry"].estimate, rel=0.01)
    assert fitted.reference("tour").driver_m == tour_golfer().driver_m
