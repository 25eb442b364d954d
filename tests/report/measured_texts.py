"""Where the texts of a picture lie, and which of them cover one another."""

from __future__ import annotations

from itertools import combinations

from matplotlib.figure import Figure
from matplotlib.text import Text

from rangework.report.label_places import text_box


def shown_texts(figure: Figure) -> list[Text]:
    """Every text that is drawn."""
    return [text for text in figure.findobj(Text) if text.get_visible() and text.get_text().strip()]


def overlapping(figure: Figure, spare_px: float = 1.0) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes overlap by more than ``spare_px`` both ways."""
    boxes = [(text.get_text(), text_box(text).padded(-spare_px / 2)) for text in shown_texts(figure)]
    return [(one, other) for (one, a), (other, b) in combinations(boxes, 2) if a.overlaps(b)]


def outside(figure: Figure) -> list[str]:
    """Texts that the page's edge cuts."""
    page = figure.bbox
    return [
        text.get_text()
        for text in shown_texts(figure)
        if not (
            page.x0 <= (box := text_box(text)).x0
            and box.x1 <= page.x1
            and page.y0 <= box.y0
            and box.y1 <= page.y1
        )
    ]
