"""The picture of tests over time, from the changes it shows; with words for those who can't see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rangework.cli.assess.cell_words import cell_words
from rangework.cli.playing import golfer_words
from rangework.cli.tables import number, percent
from rangework.report.document import Drawn
from rangework.report.progress_chart import PlayedTest, Track, progress_chart

if TYPE_CHECKING:
    from rangework.assessment.progress import Change
    from rangework.assessment.tested_player import TestedPlayer
    from rangework.units import Units


def over_time(tested: TestedPlayer, found: Sequence[Change], units: Units) -> Drawn:
    """All balls and each distance from test to test."""
    tracks = [_track(change, units) for change in found if change.kind in ("all", "band")]
    told = "; ".join(
        f"{track.name} from {number(track.days[0].usual, 2, signed=True)} to "
        f"{number(track.days[-1].usual, 2, signed=True)}, {track.told}"
        for track in tracks
    )
    against = golfer_words(tested.level)
    return Drawn(
        "tests_over_time",
        progress_chart(tracks, against),
        f"Usual strokes gained a ball on {against}, test by test: {told}.",
    )


def _track(change: Change, units: Units) -> Track:
    days = []
    for stage in change.stages:
        usual = stage.usual
        low, high = (usual.value if end is None else end for end in (usual.low, usual.high))
        days.append(PlayedTest(stage.day, usual.value, low, high, stage.raw))
    return Track(cell_words(change.name, units), days, _told(change), change.real)


def _told(change: Change) -> str:
    way = "better" if change.change.value > 0.0 else "worse"
    if change.real:
        return f"{way} by {number(abs(change.change.value), 2)}: real, {percent(change.chance_real)} sure"
    return f"not shown to be real ({way}: {percent(change.chance_real)})"
