"""What the day makes of a shot: wind, temperature, altitude, firmness and green speed."""

from rangework.conditions.day import NEUTRAL, Conditions, Wind
from rangework.conditions.reading import conditions_from

__all__ = ["NEUTRAL", "Conditions", "Wind", "conditions_from"]
