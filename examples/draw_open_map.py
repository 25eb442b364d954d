"""Draw the open map of the examples: two invented courses in an empty part of an ocean, with real maps' faults.

``python examples/draw_open_map.py`` writes open-map.geojson and open-map.osm beside itself. The faults, by hole of
the larger course: 1 tags in odd case, and a misspelt one beside it; 2 no tee; 3 no fairway; 4 drawn from green to
tee; 5 no par; 6 a pond mapped twice; 7 no green; 8 and 12 crossed by a stream of unknown width; 9 a fairway with a
wood in it; 10 par by tee only, and no name of the course; 11 a pin off the green; 12 a bunker that crosses itself a
little; 13 and 14 share a fairway; 15 crosses 16 and shares its green with 17; 16 no stroke index; 17 a length in
yards that cannot be; 18 a boundary on one side. Red tees are missing on three holes, most pins everywhere. Heights: 1,
8 and 18 climb or fall by those of their lines of play, 11 by those of a tee and its green; 9 has one of its tee only,
14 one that is none.
"""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
from map_sheet import MapSheet
from shapely.geometry import LineString

Place = tuple[float, float]

OUTER, INNER = "Ossenfold Outer", "Ossenfold Inner"

#: Par, stroke index and line of play of every hole of the larger course, metres east and north.
HOLES: list[tuple[int, int, list[Place]]] = [
    (4, 7, [(0, 0), (10, 230), (40, 372)]),
    (3, 17, [(75, 400), (75, 545)]),
    (5, 3, [(40, 600), (10, 830), (60, 1000), (130, 1080)]),
    (4, 11, [(190, 1060), (185, 840), (165, 700)]),
    (4, 9, [(200, 650), (195, 430), (150, 300)]),
    (3, 13, [(150, 250), (160, 75)]),
    (4, 1, [(215, 50), (230, 280), (225, 440)]),
    (5, 15, [(285, 470), (280, 700), (310, 890), (300, 960)]),
    (4, 5, [(370, 980), (365, 750), (340, 600)]),
    (4, 12, [(410, 560), (420, 340), (400, 210)]),
    (3, 16, [(450, 190), (455, 30)]),
    (5, 14, [(520, 20), (530, 250), (505, 420), (515, 500)]),
    (4, 8, [(575, 520), (580, 750), (600, 880)]),
    (4, 4, [(660, 900), (665, 680), (640, 510)]),
    (3, 18, [(690, 510), (775, 405)]),
    (5, 10, [(705, 320), (722, 540), (760, 700), (755, 800)]),
    (4, 2, [(845, 800), (850, 570), (828, 425)]),
    (4, 6, [(860, 370), (845, 150), (820, 0)]),
]
#: Heights along lines of play, metres, as they are written; the first of hole 14 is a slip of the pen.
HEIGHTS: dict[int, list[object]] = {
    1: [31.0, 33.5, 40.0], 8: [38.0, 34.0, 30.5, 29.0], 9: [29.5], 14: ["4l", 41.0, 38.0], 18: [44.0, 40.0, 32.0],
}  # fmt: skip
#: Tee to green of the nine short holes.
SHORT_HOLES: list[tuple[Place, Place]] = [
    ((-100 - 95 * column, 20 + 170 * row), (-105 - 95 * column, 110 + 170 * row + 9 * column))
    for column in range(3)
    for row in range(3)
]


def blob(
    luck: random.Random, middle: Place, across: float, along: float, heading: float = 0.0
) -> list[Place]:
    """A rounded outline, a little out of true: ``along`` metres on its heading, ``across`` metres at right angles."""
    corners = max(8, min(20, round(math.pi * (across + along) / 8)))
    waves = [(luck.uniform(0, 2 * math.pi), luck.uniform(0.02, 0.09)) for _ in range(2)]
    outline = []
    for step in range(corners):
        angle = 2 * math.pi * step / corners
        reach = 1 + sum(
            size * math.sin((number + 2) * angle + start) for number, (start, size) in enumerate(waves)
        )
        right, ahead = reach * across / 2 * math.sin(angle), reach * along / 2 * math.cos(angle)
        outline.append(
            (
                middle[0] + right * math.cos(heading) + ahead * math.sin(heading),
                middle[1] - right * math.sin(heading) + ahead * math.cos(heading),
            )
        )
    return outline


def band(luck: random.Random, path: LineString, start: float, end: float, width: float) -> list[Place]:
    """An outline along a line from one length to another, its width wandering."""
    left, right = [], []
    waves = [luck.uniform(0.0, 6.0) for _ in range(2)]
    for along in np.linspace(start, end, max(4, round((end - start) / 16))):
        place, ahead = path.interpolate(along), path.interpolate(along + 2.0)
        behind = path.interpolate(along - 2.0)
        heading = math.atan2(ahead.x - behind.x, ahead.y - behind.y)
        edge = (
            0.35 + 0.65 * min(1.0, (along - start) / 25, (end - along) / 25) if start < along < end else 0.35
        )
        for side, sign in ((left, -1), (right, 1)):
            half = edge * width / 2 * (1 + 0.14 * math.sin(along / 37 + waves[sign]))
            side.append(
                (place.x + sign * half * math.cos(heading), place.y - sign * half * math.sin(heading))
            )
    return [*left, *reversed(right)]


def square(middle: Place, side: float) -> list[Place]:
    """A square, as tees are drawn."""
    (x, y), half = middle, side / 2
    return [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]


def draw() -> MapSheet:
    """The whole map."""
    sheet = MapSheet(-121.4, -46.2, "Invented map of the rangework examples, no real place; CC0 1.0")
    luck = random.Random(4)
    for number, (par, index, places) in enumerate(HOLES, 1):
        draw_hole(sheet, luck, number, par, index, places)
    draw_surroundings(sheet, luck)
    for number, (tee, green) in enumerate(SHORT_HOLES, 1):
        tags = {
            "golf": "hole",
            "ref": str(number),
            "par": "3",
            "handicap": str(number),
            "golf:course:name": INNER,
        }
        sheet.line(tags, [tee, green])
        sheet.area({"golf": "green"}, blob(luck, green, 15, 17))
        sheet.point({"golf": "tee"}, tee)
    outline = [(-360, -30), (-60, -30), (-60, 520), (-360, 560)]
    sheet.area({"leisure": "golf_course", "name": "Ossenfold, the short holes"}, outline)
    return sheet


def draw_hole(
    sheet: MapSheet, luck: random.Random, number: int, par: int, index: int, places: list[Place]
) -> None:
    """One hole of the larger course, with the fault of its number."""
    path = LineString(places)
    tags = {
        "golf": "hole",
        "ref": str(number),
        "par": str(par),
        "handicap": str(index),
        "golf:course:name": OUTER,
    }
    if number == 1:
        tags = {"Golf": "Hole", "REF": "1", **{key: tags[key] for key in list(tags)[2:]}}
    if number == 5:
        del tags["par"]
    if number == 10:
        del tags["par"], tags["golf:course:name"]
        tags |= {"par:white": "4", "par:red": "4"}
    if number == 16:
        del tags["handicap"]
    if number % 3 == 2:
        tags["dist"] = "900" if number == 17 else f"{path.length / 0.9144:.0f}"
    sheet.line(tags, list(reversed(places)) if number == 4 else places, HEIGHTS.get(number, []))
    draw_mown(sheet, luck, number, par, path)
    last = np.subtract(places[-1], places[-2])
    heading = math.atan2(*last)
    for bunker in range(2 + number % 2):
        turn = heading + (2.2 if bunker else -1.9) + 0.7 * bunker + luck.uniform(-0.3, 0.3)
        middle = (places[-1][0] + 21 * math.sin(turn), places[-1][1] + 21 * math.cos(turn))
        sheet.area({"golf": "bunker", "natural": "sand"}, blob(luck, middle, 8, 13, turn + math.pi / 2))


def draw_mown(sheet: MapSheet, luck: random.Random, number: int, par: int, path: LineString) -> None:
    """Green, tees and fairway of a hole."""
    end = path.coords[-1]
    if number not in (7, 15, 17):
        word = "Green " if number == 1 else "green"
        height = {"ele": "92 ft"} if number == 11 else {}
        sheet.area({"golf": word, **height}, blob(luck, end, luck.uniform(21, 29), luck.uniform(23, 31)))
    for name, ahead in (("white", 0.0), ("yellow", 18.0), ("red", 62.0 if par > 3 else 34.0)):
        if number == 2 or (name == "red" and number in (6, 9, 13)):
            continue
        place = path.interpolate(ahead)
        key = "colour" if number == 8 else "tee"
        middle = (place.x + (4.0 if ahead else 0.0), place.y)
        height = {"ele": "37"} if (number, name) == (11, "white") else {}
        sheet.area({"golf": "tee", key: name, **height}, square(middle, 9.0))
    if par == 3 or number in (3, 14):
        return
    start, stop = 150.0 + luck.uniform(-15, 15), path.length - 12
    if number == 13:
        both = [
            (562, 670),
            (566, 860),
            (585, 880),
            (690, 840),
            (685, 700),
            (655, 540),
            (630, 525),
            (620, 600),
        ]
        sheet.area({"golf": "fairway"}, both)
    elif number == 9:
        outline = band(luck, path, start, stop, 40.0)
        sheet.area({"golf": "fairway"}, outline, blob(luck, (362, 750), 10, 16))
        sheet.area({"natural": "wood"}, blob(luck, (362, 750), 8, 13))
    else:
        sheet.area({"golf": "fairway"}, band(luck, path, start, stop, 34.0))


def draw_surroundings(sheet: MapSheet, luck: random.Random) -> None:
    """What lies between the holes: woods, water, bounds, and what says nothing about a lie."""
    double = [(762, 395), (775, 388), (795, 398), (815, 408), (838, 412), (845, 428), (832, 440), (810, 432)]
    sheet.area({"golf": "green"}, [*double, (788, 420), (768, 417), (758, 406)])
    pond = blob(luck, (156, 160), 44, 52)
    sheet.area({"natural": "water", "water": "pond"}, pond)
    sheet.area({"golf": "water_hazard"}, pond)
    sheet.line(
        {"waterway": "stream"}, [(250, 780), (330, 770), (430, 640), (480, 430), (560, 330), (600, 200)]
    )
    lake = blob(luck, (775, 190), 70, 170, 0.1)
    sheet.area({"golf": "lateral_water_hazard", "natural": "water"}, lake)
    looped = [
        (497, 300),
        (506, 296),
        (512, 304),
        (507, 315),
        (500, 317),
        (499.7, 316.2),
        (501, 317.4),
        (495, 309),
    ]
    sheet.area({"golf": "bunker"}, looped)
    for middle, across, along in (
        ((-45, 200), 34, 330),
        ((110, 850), 60, 280),
        ((120, 480), 44, 150),
        ((325, 760), 26, 260),
        ((470, 380), 44, 220),
        ((735, 640), 24, 130),
        ((800, 640), 40, 240),
    ):
        sheet.area({"natural": "wood"}, blob(luck, middle, across, along))
    sheet.area({"landuse": "forest"}, blob(luck, (350, 330), 60, 260))
    for place in ((24, 262), (222, 320), (577, 640), (838, 260)):
        sheet.point({"natural": "tree"}, place)
    sheet.line({"golf": "out_of_bounds"}, [(905, 420), (912, 250), (898, 100), (890, -60)])
    for place in ((47, 380), (72, 548), (302, 955), (640, 512), (800, 410), (826, 427), (470, 60)):
        sheet.point({"golf": "pin"}, place)
    sheet.area({"golf": "fareway"}, blob(luck, (30, 395), 20, 14))
    sheet.area({"golf": "green", "name": "Practice green"}, blob(luck, (45, -40), 18, 22))
    sheet.area({"golf": "rough"}, blob(luck, (600, 700), 70, 300))
    sheet.area({"golf": "driving_range"}, [(80, -60), (260, -60), (260, 0), (80, 0)])
    sheet.area({"golf": "clubhouse", "building": "yes"}, square((10, -60), 24.0))
    sheet.line({"golf": "cartpath"}, [(20, -30), (30, 200), (90, 400)])
    outline = [(-70, -90), (940, -90), (940, 960), (620, 1010), (420, 1110), (60, 1170), (-70, 900)]
    sheet.area({"leisure": "golf_course", "name": "Ossenfold"}, outline)


if __name__ == "__main__":
    folder = Path(__file__).parent
    drawn = draw()
    (folder / "open-map.geojson").write_text(drawn.geojson(), "utf-8")
    (folder / "open-map.osm").write_text(drawn.osm(), "utf-8")
