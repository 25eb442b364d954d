"""How a part of the game answers to hours of practice: an assumption by level, drawn with a wide prior.

After H effective hours within the horizon ``most_steps * H / (H + half_hours)`` steps of a part are gained;
without enough practice some of what was built before fades. docs/explanation/plan.md gives the reasons.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from rangework.skill.parts import PARTS, STEP_CARRY_M, STEP_FACTOR, Kind, Part

FloatArray = NDArray[np.float64]

#: Log-sds of the prior on a response (assumption.plan.response_width).
MOST_LOG_SD = 0.7
HALF_HOURS_LOG_SD = 0.7
#: Share of the prior's variance that all parts of one player have in common: gains in unlike motor tasks go together
#: little (Henry's specificity of motor learning, from memory).
COMMON_SHARE = 0.25
#: Share of that variance which is the same in all players of a group: how far the assumption itself is off, and not how
#: players differ (assumption.roster.pooling).
GROUP_SHARE = 0.5
#: Share of a horizon's possible gain that fades when a part is left alone (assumption.plan.gain_at_stake).
GAIN_AT_STAKE = 0.5
GROUP_BASIS = "assumption.roster.pooling"
#: What a week without practice takes from a gain: half gone in 6.5 months for accuracy, in 13 for speed
#: (published.plan.skill_retention; 0.9758 kept per week).
ACCURACY_FADE = 1.0 - 0.9758
SPEED_FADE = 1.0 - 0.5 ** (12.0 / (13.0 * 52.18))
#: Effective hours a week of a part that stop its fading (assumption.plan.maintenance).
MAINTENANCE_HOURS = 0.15
#: No draw removes more than this share of a spread, a bias or the poor strikes, or adds more length.
LARGEST_SHARE: dict[Kind, float] = {"spread": 0.5, "extra_spread": 0.5, "bias": 0.9, "poor_strikes": 0.7}
LARGEST_CARRY_M = 20.0


@dataclass(frozen=True, slots=True)
class Level:
    """Handicap indices up to ``to_handicap``, and what practice does there to a full swing's spread."""

    name: str
    to_handicap: float
    most_share: float  #: of the spread that practice can remove within about eight weeks
    most_carry_m: float
    half_hours: float


LEVELS: tuple[Level, ...] = (
    Level("scratch_or_better", 0.0, 0.05, 2.5, 30.0),
    Level("to_5", 5.0, 0.07, 3.0, 25.0),
    Level("to_12", 12.0, 0.10, 4.0, 20.0),
    Level("to_20", 20.0, 0.13, 5.0, 16.0),
    Level("above_20", math.inf, 0.16, 6.0, 12.0),
)

#: How other parts answer beside a full swing's spread: (most, half_hours) as factors of the level's numbers.
KIND_FACTORS: dict[str, tuple[float, float]] = {
    "carry": (1.0, 1.5),
    "spread": (1.0, 1.0),
    "extra_spread": (1.0, 1.0),
    "bias": (4.0, 0.5),
    "poor_strikes": (2.0, 1.0),
}
PART_FACTORS: dict[str, tuple[float, float]] = {
    "chip": (1.3, 0.6),
    "pitch": (1.3, 0.6),
    "bunker": (1.3, 0.6),
    "putt.line": (0.8, 0.8),
    "putt.pace": (1.5, 0.5),
}


@dataclass(frozen=True, slots=True)
class Response:
    """How one part answers to practice; medians of a log-normal prior.

    ``fade_per_week`` is the share of a gain lost in a week without practice, ``maintenance_hours_per_week``
    the effective hours that stop it. ``basis`` is an id of sources.toml.
    """

    part: str
    most_steps: float
    half_hours: float
    fade_per_week: float
    maintenance_hours_per_week: float
    basis: str


@dataclass(frozen=True, slots=True)
class ResponseOverride:
    """What a coach says of a part's response; None leaves the assumption."""

    most_steps: float | None = None
    half_hours: float | None = None
    maintenance_hours_per_week: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class GroupResponse:
    """How a group of players answers to practice beside the assumption, as its tests tell: normal in the logarithm.

    ``mean`` [parts] and ``covariance`` [parts, parts] of the logarithm of the factor on ``most_steps``; ``players`` are
    those whose tests and hours speak. A player of the group is spread about it by what GROUP_SHARE leaves.
    """

    mean: FloatArray
    covariance: FloatArray
    players: int


@dataclass(frozen=True, slots=True)
class ResponseDraws:
    """Draws of every part's response: arrays [draws, parts], in the order of ``PARTS``.

    ``hours_before``: effective hours practised already, [parts] or [draws, parts]: returns go on from there.
    ``working``: by id of a drill, [draws] 1 where it does something for the player; a drill that is not named works.
    """

    most_steps: FloatArray
    half_hours: FloatArray
    fade_per_week: FloatArray  #: [parts]
    maintenance_hours_per_week: FloatArray  #: [parts]
    bases: tuple[str, ...]  #: ids of sources.toml that the draws rest on
    hours_before: FloatArray = field(default_factory=lambda: np.zeros(1))
    working: Mapping[str, FloatArray] = field(default_factory=dict)

    def taken(self, index: NDArray[np.int64]) -> ResponseDraws:
        """The draws at ``index``, which may name one more than once."""
        before = self.hours_before
        return replace(
            self,
            most_steps=self.most_steps[index],
            half_hours=self.half_hours[index],
            hours_before=before[index] if before.ndim == 2 else before,
            working={drill: works[index] for drill, works in self.working.items()},
        )

    def of_parts(self, parts: NDArray[np.int64]) -> ResponseDraws:
        """The same draws of some parts, in any order."""
        before = np.broadcast_to(self.hours_before, (*self.hours_before.shape[:-1], len(self.fade_per_week)))
        return replace(
            self,
            most_steps=self.most_steps[:, parts],
            half_hours=self.half_hours[:, parts],
            fade_per_week=self.fade_per_week[parts],
            maintenance_hours_per_week=self.maintenance_hours_per_week[parts],
            hours_before=before[..., parts],
        )


def level_of(handicap: float) -> Level:
    """The level that a handicap index falls in (+2 is -2)."""
    return next(level for level in LEVELS if handicap <= level.to_handicap)


def steps_of_share(kind: Kind, share: float) -> float:
    """Steps that remove ``share`` of a quantity: steps multiply, so two steps of 10 % remove 19 %."""
    return math.log(1.0 - share) / math.log(STEP_FACTOR[kind])


def responses_for(
    handicap: float, overrides: Mapping[str, ResponseOverride] | None = None
) -> tuple[Response, ...]:
    """The assumed response of every part at a level, in the order of ``PARTS``, with a coach's changes."""
    level = level_of(handicap)
    given = overrides or {}
    return tuple(_changed(_assumed(part, level), given.get(part.id)) for part in PARTS)


def _assumed(part: Part, level: Level) -> Response:
    most_factor, half_factor = PART_FACTORS.get(part.id, KIND_FACTORS[part.kind])
    if part.kind == "carry":
        most_steps = level.most_carry_m / STEP_CARRY_M
    else:
        most_steps = steps_of_share(part.kind, level.most_share * most_factor)
    return Response(
        part=part.id,
        most_steps=most_steps,
        half_hours=level.half_hours * half_factor,
        fade_per_week=SPEED_FADE if part.kind == "carry" else ACCURACY_FADE,
        maintenance_hours_per_week=MAINTENANCE_HOURS,
        basis=f"assumption.plan.response.{level.name}",
    )


def _changed(response: Response, override: ResponseOverride | None) -> Response:
    if override is None:
        return response
    fields = ("most_steps", "half_hours", "maintenance_hours_per_week")
    changes = {name: value for name in fields if (value := getattr(override, name)) is not None}
    return replace(response, basis="assumption.plan.response.coach", **changes)


def draw_responses(
    responses: Sequence[Response], n: int, rng: np.random.Generator, group: GroupResponse | None = None
) -> ResponseDraws:
    """``n`` plausible sets of responses: log-normal about each, with a part common to all (a quick learner).

    ``responses`` in the order of ``PARTS``. A share that cannot be (more than a spread has) is cut off. The luck of
    each part is spread evenly over the draws, so that few of them do not favour a part. With ``group`` they are those
    of a player of that group.
    """
    most = np.array([response.most_steps for response in responses])
    half = np.array([response.half_hours for response in responses])
    cap = np.array([_largest_steps(part) for part in PARTS])
    bases = tuple(dict.fromkeys(response.basis for response in responses))
    return ResponseDraws(
        most_steps=np.minimum(most * np.exp(_log_factors(n, rng, group)), np.maximum(cap, most)),
        half_hours=half * np.exp(HALF_HOURS_LOG_SD * correlated_normals(n, len(half), rng)),
        fade_per_week=np.array([response.fade_per_week for response in responses]),
        maintenance_hours_per_week=np.array([r.maintenance_hours_per_week for r in responses]),
        bases=bases if group is None else (*bases, GROUP_BASIS),
    )


def _log_factors(n: int, rng: np.random.Generator, group: GroupResponse | None) -> FloatArray:
    """[draw, part] logarithm of the factor on the assumed most steps."""
    if group is None:
        return MOST_LOG_SD * correlated_normals(n, len(PARTS), rng)
    own = math.sqrt(1.0 - GROUP_SHARE) * MOST_LOG_SD * correlated_normals(n, len(PARTS), rng)
    return np.asarray(own + rng.multivariate_normal(group.mean, group.covariance, n, method="eigh"))


def group_covariance() -> FloatArray:
    """[part, part] what is known of a group before any test, in the logarithm of the factor on the most steps."""
    n = len(PARTS)
    together = COMMON_SHARE * np.ones((n, n)) + (1.0 - COMMON_SHARE) * np.eye(n)
    return np.asarray(GROUP_SHARE * MOST_LOG_SD**2 * together)


def _largest_steps(part: Part) -> float:
    if part.kind == "carry":
        return LARGEST_CARRY_M / STEP_CARRY_M
    return steps_of_share(part.kind, LARGEST_SHARE[part.kind])


def correlated_normals(n: int, parts: int, rng: np.random.Generator) -> FloatArray:
    """[draw, part] standard normals with COMMON_SHARE of their variance in common, spread evenly over the draws."""
    common, own = _evenly(n, 1, rng), _evenly(n, parts, rng)
    return math.sqrt(COMMON_SHARE) * common + math.sqrt(1.0 - COMMON_SHARE) * own


def _evenly(n: int, columns: int, rng: np.random.Generator) -> FloatArray:
    """[n, columns] normals, in every column one from each n-th of the distribution, in an order of its own."""
    places = rng.permuted(np.tile(np.arange(n), (columns, 1)), axis=1).T
    return np.asarray(ndtri((places + rng.random((n, columns))) / n))
