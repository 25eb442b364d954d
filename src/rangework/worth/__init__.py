"""Worth: what one step of each part saves, and what each part costs against a reference golfer."""

from rangework.worth.gaps import PartGaps, part_gaps
from rangework.worth.savings import WorthPoints, golfer_worths
from rangework.worth.table import REPLICATES, WorthTable, part_worths

__all__ = [
    "REPLICATES",
    "PartGaps",
    "WorthPoints",
    "WorthTable",
    "golfer_worths",
    "part_gaps",
    "part_worths",
]
