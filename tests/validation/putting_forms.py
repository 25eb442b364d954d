"""The two simpler forms of Gelman's (2019) study of golf putting, written out to be fitted beside ours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.stats import norm

FloatArray = NDArray[np.float64]

HOLE_RADIUS_FT, BALL_RADIUS_FT = 4.25 / 24, 1.68 / 24
OVERSHOT_FT, TOLERANCE_FT = 1.0, 3.0


def angle_only(distance_ft: FloatArray, angle_sd: float) -> FloatArray:
    """Chance of holing when only the angle errs and the whole ball must cross the hole."""
    room = np.arcsin(np.minimum((HOLE_RADIUS_FT - BALL_RADIUS_FT) / distance_ft, 1.0))
    return np.asarray(2.0 * norm.cdf(room / angle_sd) - 1.0)


def angle_and_distance(distance_ft: FloatArray, angle_sd: float, distance_sd: float) -> FloatArray:
    """The same times the chance of rolling between the hole and 3 ft past, aimed 1 ft past."""
    spread = (distance_ft + OVERSHOT_FT) * distance_sd
    return np.asarray(
        angle_only(distance_ft, angle_sd)
        * (norm.cdf((TOLERANCE_FT - OVERSHOT_FT) / spread) - norm.cdf(-OVERSHOT_FT / spread))
    )


def residuals(modelled: FloatArray, counts: FloatArray) -> tuple[float, float]:
    """Root mean square and largest difference from the share of putts made."""
    difference = modelled - counts[2] / counts[1]
    return float(np.sqrt(np.mean(difference**2))), float(np.abs(difference).max())


def fit_angle_only(counts: FloatArray) -> float:
    distance, tries, made = counts

    def deviance(log_sd: FloatArray) -> float:
        p = np.clip(angle_only(distance, float(np.exp(log_sd[0]))), 1e-12, 1 - 1e-12)
        return float(-(made @ np.log(p) + (tries - made) @ np.log1p(-p)))

    return float(np.exp(minimize(deviance, [np.log(0.03)], method="Nelder-Mead").x[0]))


def fit_angle_and_distance(counts: FloatArray) -> FloatArray:
    """Angle sd, distance sd and the extra error of each share, by the study's normal approximation."""
    distance, tries, made = counts
    share = made / tries

    def deviance(log_sds: FloatArray) -> float:
        angle_sd, distance_sd, extra = np.exp(log_sds)
        p = angle_and_distance(distance, angle_sd, distance_sd)
        return float(-norm.logpdf(share, p, np.sqrt(p * (1 - p) / tries + extra**2)).sum())

    options = {"maxiter": 4000, "maxfev": 4000, "xatol": 1e-7, "fatol": 1e-9}
    found = minimize(deviance, np.log([0.02, 0.08, 0.003]), method="Nelder-Mead", options=options)
    return np.asarray(np.exp(found.x))
