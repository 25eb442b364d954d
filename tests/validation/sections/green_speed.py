"""The hole and the green: capture speeds, and what a stimpmeter reading means."""

from __future__ import annotations

import math

from comparison import COMPUTED, SECONDARY, Check, Effort, Page
from published import green_speed as published
from scipy.optimize import brentq

from rangework.skill.putting import CAPTURE_SPEED_M_S, STIMPMETER_SPEED_M_S, capture_past_m
from rangework.skill.putting_kernels import HOLE_RADIUS_M, capture_angle_kernel
from rangework.units import FOOT_M

TEXT = """
Closed forms that the putting model must meet exactly: the greatest speed at which the hole takes a ball that is off
its middle, and what a stimpmeter reading means for how far a ball rolls. Nothing here is fitted.
"""
STIMP_FT, DISTANCE_M = 11.0, 3.0
SPEED_SOURCE = "kinematics of a release at 1.83 m/s (6.00 ft/s, verified in a page that quotes it)"


def page(effort: Effort) -> Page:
    checks = [*hole_checks(), *capture_checks(), *speed_checks()]
    return Page("green-speed", "Hole and green", TEXT, checks)


def past_at_m(speed_m_s: float, stimp_ft: float) -> float:
    """Roll past the hole of a ball at a speed, from the model's own roll at the greatest capture speed."""
    return capture_past_m(stimp_ft) * (speed_m_s / CAPTURE_SPEED_M_S) ** 2


def hole_checks() -> list[Check]:
    return [
        Check(
            what="width of the hole", published=1000 * published.HOLE_ACROSS_M, model=2000 * HOLE_RADIUS_M, goal=0.1,
            unit="mm", source="Rules of Golf: 4.25 in", status=SECONDARY,
        )
    ]  # fmt: skip


def fastest_taken(offset: float) -> float:
    """Greatest speed at the hole that the model takes at an offset (in hole radii)."""

    def room(speed: float) -> float:
        angle = capture_angle_kernel(DISTANCE_M, past_at_m(speed, STIMP_FT), capture_past_m(STIMP_FT))
        return DISTANCE_M * math.sin(angle) - offset * HOLE_RADIUS_M

    return CAPTURE_SPEED_M_S if offset == 0.0 else float(brentq(room, 1e-6, CAPTURE_SPEED_M_S - 1e-9))


def capture_checks() -> list[Check]:
    return [
        Check(
            what=f"fastest ball taken at {offset:.1f} hole radii off the middle", published=speed,
            model=fastest_taken(offset), goal=0.003, unit="m/s", source=published.CAPTURE_SOURCE, status=COMPUTED,
        )
        for offset, speed in published.CAPTURE_SPEED
    ]  # fmt: skip


def speed_checks() -> list[Check]:
    checks = []
    for stimp_ft, slowing, at_capture, at_free_fall, *_ in published.GREEN_SPEED:
        free_fall_ft = past_at_m(published.FREE_FALL_SPEED, stimp_ft) / FOOT_M
        rows = [
            ("deceleration", slowing, STIMPMETER_SPEED_M_S**2 / (2 * stimp_ft * FOOT_M), 0.0001, "m/s2"),
            ("roll past the hole at 1.63 m/s", at_capture, capture_past_m(stimp_ft) / FOOT_M, 0.006, "ft"),
            ("roll past at 1.314 m/s", at_free_fall, free_fall_ft, 0.006, "ft"),
        ]
        checks += [
            Check(
                what=f"stimpmeter {stimp_ft}, {what}", published=value, model=model, goal=goal, unit=unit,
                source=SPEED_SOURCE, status=COMPUTED,
            )
            for what, value, model, goal, unit in rows
        ]  # fmt: skip
    return checks
