"""Rules told one after another mean what the list meant from which they were chosen."""

from __future__ import annotations

import math
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from rangework.aim import Target
from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import LIE_SETS, Kind, PinPlace, Shots
from rangework.aim.habits.telling import in_telling_order
from rangework.lie import Lie

EDGES = (0.0, 90.0, 120.0, 155.0, math.inf)
SETS_OF_SHOTS = st.builds(
    Shots,
    st.sampled_from(Kind),
    st.sampled_from([(), (1,), (2, 3)]),
    st.sampled_from([(), (3,), (4,), (4, 5)]),
    st.sampled_from([None, *LIE_SETS]),
    st.sampled_from(EDGES[:2]),
    st.sampled_from(EDGES[2:]),
    st.sampled_from([None, *PinPlace]),
)
RULES = st.lists(st.builds(Rule, SETS_OF_SHOTS, st.just(Target())), max_size=5)
#: Places where a pin may be at once.
PINS = ({PinPlace.RIGHT, PinPlace.BACK, PinPlace.TUCKED}, {PinPlace.LEFT, PinPlace.OPEN}, {PinPlace.OPEN})
SHOT = st.tuples(
    st.sampled_from(Kind),
    st.sampled_from([1, 2, 4]),
    st.sampled_from([3, 4, 5]),
    st.sampled_from([Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND]),
    st.sampled_from([50.0, 100.0, 130.0, 200.0]),
    st.sampled_from(PINS),
)


def fits(rule: Rule, shot: tuple[Kind, int, int, Lie, float, set[PinPlace]]) -> bool:
    kind, hole, par, lie, distance_m, pins = shot
    shots = rule.shots
    return (
        shots.kind is kind
        and (not shots.holes or hole in shots.holes)
        and (not shots.pars or par in shots.pars)
        and (shots.lie is None or lie in LIE_SETS[shots.lie])
        and shots.from_m <= distance_m < shots.to_m
        and (shots.pin is None or shots.pin in pins)
    )


@given(RULES, st.lists(st.floats(0.0, 1.0), min_size=5, max_size=5), SHOT)
def test_the_last_that_fits_is_the_one_that_was_first(
    rules: list[Rule], saved: list[float], shot: tuple[Kind, int, int, Lie, float, set[PinPlace]]
) -> None:
    told = [each.place for each in in_telling_order(rules, saved)]
    assert sorted(told) == list(range(len(rules)))
    fitting = [place for place in told if fits(rules[place], shot)]
    if fitting:
        assert fitting[-1] == min(fitting)


def test_what_saves_most_comes_first_unless_it_is_an_exception() -> None:
    all_, far, tee = Shots(Kind.APPROACH), Shots(Kind.APPROACH, from_m=155.0), Shots(Kind.TEE)
    rules = [Rule(shots, Target()) for shots in (far, tee, all_)]
    told = list(in_telling_order(rules, [0.5, 0.1, 0.3]))
    assert [each.place for each in told] == [2, 0, 1]
    assert [each.exception for each in told] == [False, True, False]


@given(RULES, st.lists(st.floats(0.0, 1.0), min_size=5, max_size=5))
def test_rules_of_other_shots_stand_by_what_they_save(rules: list[Rule], saved: list[float]) -> None:
    told = list(in_telling_order(rules, saved))
    for one, other in pairwise(told):
        if not other.exception and not any(
            rules[one.place].shots.meets(rules[each.place].shots) for each in told if each is not one
        ):
            assert saved[one.place] >= saved[other.place] or other.exception
