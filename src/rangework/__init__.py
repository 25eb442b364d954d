"""rangework: from shot records and a course to where an hour of practice pays most.

The names below are the library's front door; each is loaded only when it is first used.

>>> import rangework
>>> rangework.reference_golfer(12).driver_m < rangework.reference_golfer(2).driver_m
True
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rangework.advice import Advice, Prepared, advise, make_plan, prepare, simulate, value_parts
    from rangework.course import read_course
    from rangework.plan.drills import drill_catalogue
    from rangework.plan.limits import safe_limits
    from rangework.records import read_records
    from rangework.records.profile import PlayerProfile, read_profile
    from rangework.skill.fit import fit_player
    from rangework.skill.parts import PARTS
    from rangework.skill.reference import reference_golfer, tour_golfer

__version__ = "0.1.0"

_HOME = {
    "Advice": "rangework.advice",
    "PARTS": "rangework.skill.parts",
    "PlayerProfile": "rangework.records.profile",
    "Prepared": "rangework.advice",
    "advise": "rangework.advice",
    "drill_catalogue": "rangework.plan.drills",
    "fit_player": "rangework.skill.fit",
    "make_plan": "rangework.advice",
    "prepare": "rangework.advice",
    "read_course": "rangework.course",
    "read_profile": "rangework.records.profile",
    "read_records": "rangework.records",
    "reference_golfer": "rangework.skill.reference",
    "safe_limits": "rangework.plan.limits",
    "simulate": "rangework.advice",
    "tour_golfer": "rangework.skill.reference",
    "value_parts": "rangework.advice",
}

__all__ = [
    "PARTS",
    "Advice",
    "PlayerProfile",
    "Prepared",
    "__version__",
    "advise",
    "drill_catalogue",
    "fit_player",
    "make_plan",
    "prepare",
    "read_course",
    "read_profile",
    "read_records",
    "reference_golfer",
    "safe_limits",
    "simulate",
    "tour_golfer",
    "value_parts",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'rangework' has no attribute {name!r}")
    value = getattr(import_module(_HOME[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
