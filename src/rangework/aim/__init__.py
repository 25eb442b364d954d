"""Aim: targets compared for one shot, and the best of all."""

from rangework.aim.advising import AimAdvice, aim_advice, hole_to_aim_at
from rangework.aim.comparing import Choice, Comparison, Difference, compare_targets
from rangework.aim.objectives import parse_objective, strokes_left
from rangework.aim.places import Ball, FromDistance, FromPoint, parse_distance, parse_point, place_ball
from rangework.aim.played_hole import PlayedHole
from rangework.aim.target_faults import check_targets
from rangework.aim.target_words import parse_targets, target_text
from rangework.aim.targets import Aiming, Base, Shot, Target, usual_targets

__all__ = [
    "AimAdvice",
    "Aiming",
    "Ball",
    "Base",
    "Choice",
    "Comparison",
    "Difference",
    "FromDistance",
    "FromPoint",
    "PlayedHole",
    "Shot",
    "Target",
    "aim_advice",
    "check_targets",
    "compare_targets",
    "hole_to_aim_at",
    "parse_distance",
    "parse_objective",
    "parse_point",
    "parse_targets",
    "place_ball",
    "strokes_left",
    "target_text",
    "usual_targets",
]
