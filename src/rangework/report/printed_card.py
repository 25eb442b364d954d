"""A test's card to print: one page, a row for each ball with its green and room to write."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from importlib.resources import files
from typing import Any

from rangework.assessment.design import AssessmentDesign
from rangework.report.card_data import card_data

#: Balls whose greens still fit beside their rows on one page.
_WITH_GREENS = 20
_HALF_M = (12.0, 42.0)


def printed_card(design: AssessmentDesign) -> str:
    """The page as HTML with the styles that a printer needs; nothing in it is fetched."""
    data = card_data(design)
    page = files("rangework.report").joinpath("pages", "printed_card.html").read_text("utf-8")
    columns = ["ball", "from", "pin at", *(["land at"] if data["carry"] else []), "hole, pin", "green left / right, "
               "front / back", "success short / long, left / right", "green, as you see it", "short (-) or long (+)",
               "left (-) or right (+)", "holed"]  # fmt: skip
    if len(design.balls) > _WITH_GREENS:
        columns.remove("green, as you see it")
    texts = {
        "title": escape(design.words.name),
        "head": escape(_head(design, data)),
        "columns": "".join(f"<th scope='col'>{escape(name)}</th>" for name in columns),
        "rows": "\n".join(_rows(design, data)),
        "size": "few" if len(design.balls) <= _WITH_GREENS else "many",
    }
    for name, text in texts.items():
        page = page.replace(f"{{{{{name}}}}}", text)
    return page


def _head(design: AssessmentDesign, data: dict[str, Any]) -> str:
    where = "lands, from the landing distance" if data["carry"] else "stops, from the pin"
    how = "paced" if data["paced"] else "read from a device"
    attribution = f" Map data: {data['attribution']}" if data["attribution"] else ""
    return (
        f"{len(design.balls)} balls, {design.words.date}. Greens of {design.course.name}. Play at the pin, in this "
        f"order; note where each ball {where}, in {data['unit']} ({how}). Success: how far from the pin it may finish."
        f"{attribution}"
    )


def _rows(design: AssessmentDesign, data: dict[str, Any]) -> Iterator[str]:
    for ball in data["balls"]:
        green = data["greens"][ball["green"]]
        left, right, front, back = ball["room"]
        short, long, west, east = ball["success"]
        cells = [
            f"<b>{ball['number']}</b>",
            escape(ball["lie"]),
            f"<b>{ball['distance']}</b>",
            *([f"<b>{ball['target']}</b>"] if data["carry"] else []),
            escape(f"{green['hole']} {green['pin']}"),
            f"{left} / {right}, {front} / {back}{escape(_sides(ball))}",
            f"{short} / {long}, {west} / {east}",
            *([_picture(ball, green, data)] if len(design.balls) <= _WITH_GREENS else []),
        ]
        written = "<td class='write'></td>" * 2 + "<td class='tick'></td>"
        yield "<tr>" + "".join(f"<td>{cell}</td>" for cell in cells) + written + "</tr>"


def _sides(ball: dict[str, Any]) -> str:
    short = "" if ball["short_side"] == "none" else f" short {ball['short_side']}"
    sand = "" if ball["bunker"] == "none" else f" sand {ball['bunker']}"
    return f";{short}{',' if short and sand else ''}{sand}" if short or sand else ""


def _picture(ball: dict[str, Any], green: dict[str, Any], data: dict[str, Any]) -> str:
    half = min(max(1.35 * max(ball["success"]) * data["unit_m"], _HALF_M[0]), _HALF_M[1])
    ground = "".join(f"<path class='{kind}' d='{_path(rings)}'/>" for kind, rings in green["ground"])
    return (
        f"<svg viewBox='{-half:.1f} {-half:.1f} {2 * half:.1f} {2 * half:.1f}'><g transform='scale(1,-1)'>"
        f"<g transform='rotate({ball['turn_deg']:.2f})'>{ground}</g>"
        f"<path class='zone' stroke-width='{half / 25:.2f}' d='{_path(ball['zone'])}'/>"
        f"<circle class='pin' r='{half / 14:.2f}'/></g></svg>"
    )


def _path(rings: list[list[list[float]]]) -> str:
    return "".join("M" + "L".join(f"{x} {y}" for x, y in ring) + "Z" for ring in rings if ring)
