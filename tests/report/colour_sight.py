"""Colours as measured: contrast, and how far apart they look to eyes with and without full colour vision.

Contrast: WCAG 2.1, W3C 2018, "relative luminance" and "contrast ratio"; 4.5 is its least for text (1.4.3), 3 for
graphics (1.4.11). Colour vision: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of
color vision deficiency", IEEE TVCG 15 (2009), matrices of severity 1.0 for linear RGB (from memory; their rows sum to
1, which keeps greys grey). Distance: CIE 1976 L*a*b* under D65, in which about 2.3 is just noticeable (from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SIGHT: dict[str, FloatArray] = {
    "full": np.eye(3),
    "without red cones": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "without green cones": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "without blue cones": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)


def linear(colour: str) -> FloatArray:
    """``#rrggbb`` as linear light."""
    parts = np.array([int(colour[start : start + 2], 16) for start in (1, 3, 5)]) / 255.0
    light: FloatArray = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return light


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, 1 to 21."""
    dark, light = sorted(
        float(np.array([0.2126, 0.7152, 0.0722]) @ linear(colour)) for colour in (one, other)
    )
    return (light + 0.05) / (dark + 0.05)


def distance(one: str, other: str, sight: str) -> float:
    """How far apart two colours look."""
    first, second = (_lab(SIGHT[sight] @ linear(colour)) for colour in (one, other))
    return float(np.linalg.norm(first - second))


def _lab(light: FloatArray) -> FloatArray:
    share = _XYZ @ np.clip(light, 0.0, 1.0) / (_XYZ @ np.ones(3))
    f = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])
