"""Places for labels so that no text covers another: each label takes the first of its places that is free."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from rangework.course.geometry import Point

#: How far a label keeps from its neighbours and from the edge of its axes, in points.
_GAP_PT = 1.5


class LabelPlaces:
    """The labels of one axes, and the boxes that they and other things take up."""

    def __init__(self, axes: Axes) -> None:
        self._axes = axes
        self._taken: list[Bbox] = []

    def keep_free(self, place: Point, radius_pt: float) -> None:
        """Let no label cover a mark of this size at a place of the axes."""
        x, y = self._axes.transData.transform(place)
        far = self._pixels(radius_pt)
        self._taken.append(Bbox.from_extents(x - far, y - far, x + far, y + far))

    def write(self, text: str, places: Iterable[tuple[Point, str, str]], **style: Any) -> Text | None:
        """Write ``text`` at the first of ``places`` (point, horizontal and vertical alignment) that is free.

        None where none of them is, and nothing is written.
        """
        for (x, y), across, along in places:
            label = self._axes.text(x, y, text, ha=across, va=along, clip_on=False, **style)
            box = self._box(label)
            if self._is_free(box):
                self._taken.append(box)
                return label
            label.remove()
        return None

    def _is_free(self, box: Bbox) -> bool:
        frame = self._axes.get_window_extent()
        inside = frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1
        return inside and not any(box.overlaps(other) for other in self._taken)

    def _box(self, label: Text) -> Bbox:
        gap = self._pixels(_GAP_PT)
        return text_box(label).padded(gap)

    def _pixels(self, points: float) -> float:
        return points / 72.0 * self._axes.figure.dpi


def text_box(label: Text) -> Bbox:
    """What a text covers, in pixels, with the plate behind it if it has one."""
    canvas = cast(FigureCanvasAgg, label.get_figure(root=True).canvas)  # type: ignore[union-attr]
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    label.update_bbox_position_size(renderer)
    patch = label.get_bbox_patch()
    return label.get_window_extent(renderer) if patch is None else patch.get_window_extent(renderer)


def around(place: Point, gap_m: float) -> list[tuple[Point, str, str]]:
    """Places for a label beside a mark: right, left, above, below, then the corners."""
    x, y = place
    return [
        ((x + gap_m, y), "left", "center"),
        ((x - gap_m, y), "right", "center"),
        ((x, y + gap_m), "center", "bottom"),
        ((x, y - gap_m), "center", "top"),
        ((x + gap_m, y + gap_m), "left", "bottom"),
        ((x - gap_m, y + gap_m), "right", "bottom"),
        ((x + gap_m, y - gap_m), "left", "top"),
        ((x - gap_m, y - gap_m), "right", "top"),
    ]
