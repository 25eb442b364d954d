"""What practice truly does to a member: hours add up, gains level off, what is left alone fades."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from members import FloatArray, Member

from rangework.plan.drills import shares
from rangework.plan.rehearsal import improved
from rangework.plan.response import GAIN_AT_STAKE
from rangework.skill.model import Golfer
from rangework.skill.parts import PART_IDS


@dataclass(frozen=True)
class Trained:
    """Effective hours of every part so far, and the share of earlier gains that has not faded."""

    hours: FloatArray
    kept: FloatArray

    @classmethod
    def at_the_start(cls) -> Trained:
        """Nothing practised, nothing lost."""
        return cls(np.zeros(len(PART_IDS)), np.ones(len(PART_IDS)))

    def after(self, member: Member, drill_hours: FloatArray, weeks: float) -> Trained:
        """The same some weeks later, ``drill_hours`` [drills] a week.

        With the same hours all season this is ``rangework.plan.returns.net_steps`` but for parts that are kept up
        in part, where fading compounds.
        """
        weekly = drill_hours @ shares(member.drills)
        responses = member.responses
        missing = np.maximum(0.0, 1.0 - weekly / responses.maintenance_hours_per_week)
        left = (1.0 - responses.fade_per_week) ** (weeks * missing)
        return replace(self, hours=self.hours + weekly * weeks, kept=self.kept * left)

    def steps(self, member: Member) -> FloatArray:
        """Steps of every part against the start; negative where more faded than was gained."""
        most, half = member.responses.most_steps[0], member.responses.half_hours[0]
        gained = most * self.hours / (self.hours + half)
        return np.asarray(gained - GAIN_AT_STAKE * most * (1.0 - self.kept))

    def golfer(self, member: Member) -> Golfer:
        """The member now."""
        return improved(member.golfer, dict(zip(PART_IDS, self.steps(member).tolist(), strict=True)))
