"""Assessments: practice tests designed, scored and compared."""
