"""Luck by key: the number that belongs to a seed, a round, a hole, a stroke and a use."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import types
from numba.extending import intrinsic

from rangework.compiled import kernel_with

GOLDEN = np.uint64(0x9E3779B97F4A7C15)


def _reinterpretation(source: Any, result: Any) -> Any:
    """A compiled function that takes the bits of one type for the other; 64 bits both."""

    def reinterpret(typing_context: Any, value: Any) -> Any:  # noqa: ARG001
        def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:  # noqa: ARG001
            return builder.bitcast(arguments[0], context.get_value_type(result))

        return result(source), build

    return intrinsic(reinterpret)


float_bits = _reinterpretation(types.float64, types.int64)
float_of_bits = _reinterpretation(types.int64, types.float64)
single_of_bits = _reinterpretation(types.int32, types.float32)
single_bits = _reinterpretation(types.float32, types.int32)


@kernel_with(inline="always")
def mix(value):
    """The finaliser of splitmix64: every input bit moves every output bit."""
    value = (value ^ (value >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    value = (value ^ (value >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return value ^ (value >> np.uint64(31))


@kernel_with(inline="always")
def luck_key(seed, round_number, hole_number):
    """Key of the luck of one hole in one round."""
    key = mix(np.uint64(seed) + GOLDEN)
    key = mix(key + GOLDEN * (np.uint64(round_number) + np.uint64(1)))
    return mix(key + GOLDEN * (np.uint64(hole_number) + np.uint64(1)))


@kernel_with(inline="always")
def luck_counter(stroke, use):
    """What tells the uses of luck of one hole apart: 0 and 1 a shot's errors, 2 its strike, 3 the putts."""
    return GOLDEN * (np.uint64(stroke) * np.uint64(4) + np.uint64(use) + np.uint64(1))


@kernel_with(inline="always")
def uniform(key, counter):
    """The uniform number in (0, 1] that belongs to a key and a counter."""
    return (np.float64(mix(key + counter) >> np.uint64(11)) + 0.5) * (1.0 / 9007199254740992.0)


@kernel_with(inline="always")
def natural_log(u):
    """Natural logarithm of a positive normal number, relative error below 1e-11, without a branch."""
    bits = float_bits(u)
    exponent = np.float64((bits >> 52) - 1023)
    part = float_of_bits((bits & 0xFFFFFFFFFFFFF) | 0x3FF0000000000000)
    large = part > 1.4142135623730951
    part = part * 0.5 if large else part
    exponent = exponent + 1.0 if large else exponent
    f = (part - 1.0) / (part + 1.0)
    g = f * f
    series = g * (1 / 3 + g * (1 / 5 + g * (1 / 7 + g * (1 / 9 + g * (1 / 11 + g * (1 / 13))))))
    return exponent * 0.6931471805599453 + 2.0 * (f + f * series)


@kernel_with(inline="always")
def normal_pair(u, v):
    """Two independent standard normal numbers from two uniform ones (Box and Muller 1958), without a branch."""
    radius = math.sqrt(max(-2.0 * natural_log(u), 0.0))
    quarter = np.int64(v * 4.0 + 0.5)
    angle = (v * 4.0 - np.float64(quarter)) * (0.5 * math.pi)
    g = angle * angle
    sin = angle * (1 + g * (-1 / 6 + g * (1 / 120 + g * (-1 / 5040 + g * (1 / 362880 - g / 39916800)))))
    cos = 1 + g * (
        -1 / 2 + g * (1 / 24 + g * (-1 / 720 + g * (1 / 40320 + g * (-1 / 3628800 + g / 479001600))))
    )
    odd = (quarter & 1) == 1
    first = -sin if odd else cos
    second = cos if odd else sin
    radius = -radius if (quarter & 2) == 2 else radius
    return radius * first, radius * second
