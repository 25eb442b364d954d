"""The putting model against quadrature, finite differences and putts played one by one."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from rangework.errors import FitError, InputError
from rangework.skill.putting import (
    AIM_PAST_M,
    PuttingSkill,
    capture_past_m,
    expected_putts,
    fit_makes,
    make_probability,
    putt_tables,
    putting_skill,
    reference_putting,
    three_putt_probability,
    tour_putting,
)
from rangework.skill.putting_kernels import (
    HOLE_RADIUS_M,
    LAPSE,
    log_make_kernel,
    log_miss_kernel,
    make_gradient_kernel,
    make_probability_kernel,
    miss_log_density,
)

CAPTURE_M = capture_past_m()
DISTANCES_M = np.array([0.06, 0.1, 0.3, 1.0, 2.0, 5.0, 10.0, 20.0, 60.0])
SKILLS = [tour_putting(), reference_putting(0.0), reference_putting(54.0), putting_skill(0.7, 0.03)]

skills = st.builds(putting_skill, st.floats(0.5, 4.0), st.floats(0.03, 0.2))


def putt_once(
    distance_m: np.ndarray, skill: PuttingSkill, rng: np.random.Generator
) -> tuple[np.ndarray, ...]:
    """One putt from each distance, by the words of the model: holed, long, right."""
    meant = distance_m + skill.aim_past_m
    rolled = meant * (1.0 + skill.pace * rng.standard_normal(distance_m.size))
    angle = np.hypot(skill.line_rad, skill.reading_rad_per_m * distance_m) * rng.standard_normal(
        distance_m.size
    )
    past = rolled - distance_m
    takes = 1.0 - np.sqrt(np.clip(past / CAPTURE_M, 0.0, 1.0))
    offset = np.abs(distance_m * np.sin(angle)) / HOLE_RADIUS_M
    holed = (past >= 0.0) & (past <= CAPTURE_M) & (offset < np.sqrt(takes)) & (np.abs(angle) < math.pi / 2)
    return holed, rolled * np.cos(angle) - distance_m, rolled * np.sin(angle)


def putts_played(distance_m: float, skill: PuttingSkill, n: int, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    left = np.full(n, distance_m)
    putts = np.zeros(n, dtype=np.int64)
    going = np.arange(n)
    while going.size:
        holed, long, right = putt_once(left[going], skill, rng)
        putts[going] += 1
        left[going] = np.hypot(long, right)
        going = going[~holed]
    return putts


def disagreement(distance_m: float, played: PuttingSkill, tabled: PuttingSkill) -> float:
    """Largest z of mean putts and of the chances of one and of at most two putts."""
    putts = putts_played(distance_m, played, 100_000, seed=round(distance_m * 10))
    tables = putt_tables(tabled)
    chances = tables.cumulative[round(distance_m / tables.step_m)]
    z = [(putts.mean() - expected_putts(distance_m, tables)) / (putts.std() / math.sqrt(putts.size) + 2e-4)]
    for most, chance in ((1, chances[0]), (2, chances[1])):
        error = math.sqrt(chance * (1.0 - chance) / putts.size) + 2e-4
        z.append((np.mean(putts <= most) - chance) / error)
    return float(np.abs(z).max())


@pytest.mark.parametrize("distance_m", [1.0, 3.0, 10.0, 30.0])
@pytest.mark.parametrize("skill", [tour_putting(), reference_putting(25.0)], ids=["tour", "25"])
def test_tables_equal_putts_played_one_by_one(distance_m: float, skill: PuttingSkill) -> None:
    assert disagreement(distance_m, skill, skill) < 4.0


@pytest.mark.parametrize(
    "wrong",
    [
        tour_putting().scaled(pace=1.1),
        tour_putting().scaled(line=1.1),
        tour_putting()._replace(aim_past_m=0.2),
    ],
    ids=["pace", "line", "aim past"],
)
def test_tables_of_another_skill_do_not(wrong: PuttingSkill) -> None:
    """Negative control."""
    assert max(disagreement(x, tour_putting(), wrong) for x in (3.0, 10.0)) > 6.0


def by_quadrature(distance_m: float, skill: PuttingSkill) -> float:
    line_sd = math.hypot(skill.line_rad, skill.reading_rad_per_m * distance_m)
    pace_sd = skill.pace * (distance_m + skill.aim_past_m)

    def holed_at(past: float) -> float:
        half_width = HOLE_RADIUS_M * math.sqrt(1.0 - math.sqrt(past / CAPTURE_M))
        angle = math.asin(min(1.0, half_width / distance_m)) if half_width < distance_m else math.pi
        return float(norm.pdf(past, skill.aim_past_m, pace_sd) * (2.0 * norm.cdf(angle / line_sd) - 1.0))

    return float(quad(holed_at, 0.0, CAPTURE_M, points=[skill.aim_past_m], limit=400, epsabs=1e-12)[0])


@pytest.mark.parametrize("skill", SKILLS, ids=["tour", "0", "54", "machine"])
def test_make_probability_equals_adaptive_quadrature(skill: PuttingSkill) -> None:
    expected = [by_quadrature(x, skill) for x in DISTANCES_M]
    assert make_probability(DISTANCES_M, skill) == pytest.approx(expected, abs=1e-8)


@given(st.floats(0.05, 40.0), skills)
def test_slopes_equal_finite_differences(distance_m: float, skill: PuttingSkill) -> None:
    make, miss, *slopes = make_gradient_kernel(distance_m, *skill, CAPTURE_M)
    assert make + miss == pytest.approx(1.0, abs=1e-8)
    for k, slope in enumerate(slopes):
        step = 1e-5 * skill[k]
        ends = []
        for sign in (1.0, -1.0):
            moved = list(skill)
            moved[k] += sign * step
            ends.append(make_probability_kernel(distance_m, *moved, CAPTURE_M))
        assert slope * skill[k] == pytest.approx((ends[0] - ends[1]) / 2e-5, abs=2e-6)


@given(st.floats(0.05, 30.0), st.floats(0.05, 30.0), skills)
def test_longer_putts_and_wider_errors_miss_more(a: float, b: float, skill: PuttingSkill) -> None:
    near, far = sorted((a, b))
    assert make_probability(far, skill) <= make_probability(near, skill) + 1e-8
    assert make_probability(far, skill.scaled(line=1.2)) <= make_probability(far, skill) + 1e-8


@settings(max_examples=10, deadline=None)
@given(skills)
def test_tables_are_chances(skill: PuttingSkill) -> None:
    tables = putt_tables(skill)
    assert tables.expected.shape == (601,)
    assert tables.cumulative.shape == (601, 4)
    assert np.all(np.diff(tables.cumulative, axis=1) >= -1e-9)
    assert np.all((tables.cumulative >= -1e-9) & (tables.cumulative <= 1.0 + 1e-9))
    makes = make_probability(0.1 * np.arange(1, 601), skill)
    assert tables.cumulative[1:, 0] == pytest.approx(makes, abs=1e-8)
    assert tables.expected[0] == tables.cumulative[0, 0] == 1.0
    assert np.all(np.diff(tables.expected) > -1e-7)
    assert three_putt_probability(20.0, tables) == pytest.approx(1.0 - tables.cumulative[200, 1])


@pytest.mark.parametrize(("skill", "error"), [(tour_putting(), 3e-4), (reference_putting(54.0), 2.2e-3)])
def test_a_finer_grid_changes_little(skill: PuttingSkill, error: float) -> None:
    coarse = putt_tables(skill, longest_m=30.0)
    fine = putt_tables(skill, longest_m=30.0, step_m=0.025)
    inside = slice(0, 150)
    assert np.abs(coarse.expected - fine.expected[::4])[inside].max() < error


def test_density_of_misses_adds_up_to_the_chance_of_a_miss() -> None:
    """Integrated over the finishes that the hole does not take; over all finishes it adds up to one."""
    skill, distance = tour_putting(), 3.0
    past = np.linspace(-2.5, 3.5, 1201)
    angle = np.linspace(-0.2, 0.2, 801)
    rolled, angles = np.meshgrid(distance + past, angle, indexing="ij")
    density = np.array(
        [
            math.exp(miss_log_density(distance, r * math.cos(t) - distance, r * math.sin(t), *skill[:4]))
            for r, t in zip(rolled.ravel(), angles.ravel(), strict=True)
        ]
    ).reshape(rolled.shape)
    mass = density * rolled * (past[1] - past[0]) * (angle[1] - angle[0])
    room = 1.0 - np.sqrt(np.clip((rolled - distance) / CAPTURE_M, 0.0, 1.0))
    inside = np.abs(distance * np.sin(angles)) < HOLE_RADIUS_M * np.sqrt(room)
    taken = (rolled >= distance) & (rolled < distance + CAPTURE_M) & inside
    assert mass.sum() == pytest.approx(1.0, abs=1e-3)
    assert mass[~taken].sum() == pytest.approx(1.0 - float(make_probability(distance, skill)), abs=2e-3)


def test_likelihood_of_a_missed_tap_in_is_held_by_lapses() -> None:
    skill = tour_putting()
    assert log_miss_kernel(0.1, *skill, CAPTURE_M) == pytest.approx(math.log(LAPSE), abs=1e-3)
    assert log_make_kernel(0.1, *skill, CAPTURE_M) == pytest.approx(-LAPSE, abs=1e-6)
    make = float(make_probability(3.0, skill))
    assert log_make_kernel(3.0, *skill, CAPTURE_M) == pytest.approx(math.log(make), abs=1e-3)
    assert log_miss_kernel(3.0, *skill, CAPTURE_M) == pytest.approx(math.log(1.0 - make), abs=1e-3)


def test_scaled_keeps_the_ratio_of_reading_to_line() -> None:
    skill = tour_putting().scaled(line=0.9)
    assert skill.reading_rad_per_m / skill.line_rad == pytest.approx(
        tour_putting().reading_rad_per_m / tour_putting().line_rad
    )
    assert skill.pace == tour_putting().pace
    assert tour_putting().scaled(pace=0.9).pace == pytest.approx(0.9 * tour_putting().pace)


def test_reference_golfer_reaches_the_tour_smoothly_in_line_and_pace_together() -> None:
    index = np.arange(-6.0, 54.0, 0.01)
    line, pace, past = np.array([reference_putting(h)[0:4] for h in index]).T[[0, 2, 3]]
    tour = tour_putting()
    for values, end in ((line, tour.line_rad), (pace, tour.pace), (-past, -tour.aim_past_m)):
        slope = np.diff(values) / 0.01
        assert np.all(slope >= -1e-12)
        assert np.abs(np.diff(slope)).max() < 0.02 * slope.max()
        assert values[index <= -5.0] == pytest.approx(end)
        assert values[index > -4.9].min() > end


@pytest.mark.parametrize("index", [-6.1, 54.1, math.nan])
def test_reference_golfer_outside_its_range(index: float) -> None:
    with pytest.raises(InputError, match="handicap index"):
        reference_putting(index)


def test_fit_finds_the_skill_that_made_the_putts() -> None:
    """Line and pace within four standard errors; with a wrong pace line is far off (negative control)."""
    distance = np.repeat([1.0, 2.0, 3.0, 5.0, 8.0, 15.0], 3)
    tries = np.full(distance.size, 3_000)
    truth = reference_putting(12.0)._replace(aim_past_m=AIM_PAST_M)
    made = np.random.default_rng(4).binomial(tries, make_probability(distance, truth))
    fit = fit_makes(distance, tries, made)
    assert abs(fit.skill.line_rad - truth.line_rad) < 4.0 * fit.line_se_rad
    assert abs(fit.skill.pace - truth.pace) < 4.0 * fit.pace_se
    wrong = fit_makes(distance, tries, made, fix_pace=1.5 * truth.pace)
    assert wrong.pace_se == 0.0
    assert abs(wrong.skill.line_rad - truth.line_rad) > 4.0 * wrong.line_se_rad
    assert wrong.log_likelihood < fit.log_likelihood - 7.0


@pytest.mark.parametrize(
    ("distance_m", "tries", "made", "message"),
    [
        ([1.0, 2.0], [10, 10], [10, 10], "all holed"),
        ([1.0, 2.0], [10, 10], [0, 0], "all missed"),
        ([2.0], [100], [60], "do not determine"),
        ([0.5, 0.6], [10, 10], [10, 9], "do not determine"),
    ],
)
def test_fit_says_what_makes_cannot_tell(
    distance_m: list[float], tries: list[int], made: list[int], message: str
) -> None:
    with pytest.raises(FitError, match=message):
        fit_makes(distance_m, tries, made)


def test_fit_names_every_impossible_count() -> None:
    with pytest.raises(InputError) as caught:
        fit_makes([1.0, -2.0, 3.0], [5, 5, 5], [6, 2, 3])
    assert [problem.place for problem in caught.value.problems] == ["entry 0", "entry 1"]
    with pytest.raises(InputError, match="as many distances"):
        fit_makes([1.0, 2.0], [5], [3])
