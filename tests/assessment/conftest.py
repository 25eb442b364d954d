"""A designed test without the cost of a fit: reference golfers on the demo course."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from rangework.assessment.ball_draw import DistanceWish
from rangework.assessment.design import AssessmentDesign
from rangework.course import Course

sys.path.append(str(Path(__file__).parent))


@pytest.fixture(scope="session")
def designed(demo_course: Course) -> AssessmentDesign:
    from designed_tests import design

    return design(demo_course, DistanceWish(), balls=8)
