"""What the public golf tags of OpenStreetMap mean on the ground.

Tags as on the OpenStreetMap wiki: Key:golf, Tag:golf=hole, Tag:golf=water_hazard, Tag:leisure=golf_course,
Key:natural, Key:waterway.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from rangework.lie import Ground

Tag = tuple[str, str]

HOLE: Tag = ("golf", "hole")
PIN: Tag = ("golf", "pin")
TEE: Tag = ("golf", "tee")
GREEN: Tag = ("golf", "green")
FAIRWAY: Tag = ("golf", "fairway")
FRINGE: Tag = ("golf", "fringe")
OUT_OF_BOUNDS: Tag = ("golf", "out_of_bounds")
OUTLINE: Tag = ("leisure", "golf_course")
COASTLINE: Tag = ("natural", "coastline")


@dataclass(frozen=True, slots=True)
class Covering:
    """The ground that a tag covers an area with.

    ``line_m`` is the usual width of what is drawn as a line, ``point_m`` that of a single point (common
    practice, no source); 0 where such a drawing means nothing.
    """

    ground: Ground
    line_m: float = 0.0
    point_m: float = 0.0


#: In order of precedence where a feature has several: golf's own word first, the plainest last.
COVERINGS: dict[Tag, Covering] = {
    OUT_OF_BOUNDS: Covering(Ground.OUT),
    GREEN: Covering(Ground.GREEN),
    FRINGE: Covering(Ground.FRINGE),
    TEE: Covering(Ground.FAIRWAY),
    ("golf", "bunker"): Covering(Ground.SAND),
    FAIRWAY: Covering(Ground.FAIRWAY),
    ("golf", "lateral_water_hazard"): Covering(Ground.WATER, line_m=3.0),
    ("golf", "water_hazard"): Covering(Ground.WATER, line_m=3.0),
    ("natural", "water"): Covering(Ground.WATER, line_m=3.0),
    ("natural", "wood"): Covering(Ground.TREES),
    ("natural", "scrub"): Covering(Ground.TREES),
    ("natural", "tree_row"): Covering(Ground.TREES, line_m=6.0),
    ("natural", "tree"): Covering(Ground.TREES, point_m=6.0),
    ("natural", "sand"): Covering(Ground.SAND),
    ("natural", "beach"): Covering(Ground.SAND),
    ("landuse", "forest"): Covering(Ground.TREES),
    ("waterway", "river"): Covering(Ground.WATER, line_m=12.0),
    ("waterway", "canal"): Covering(Ground.WATER, line_m=8.0),
    ("waterway", "stream"): Covering(Ground.WATER, line_m=2.0),
    ("waterway", "ditch"): Covering(Ground.WATER, line_m=1.5),
    ("waterway", "drain"): Covering(Ground.WATER, line_m=1.5),
    ("golf", "rough"): Covering(Ground.ROUGH),
}

_ROUGH: Tag = ("golf", "rough")
_GOLF = [HOLE, PIN, *(tag for tag in COVERINGS if tag[0] == "golf" and tag != _ROUGH)]
_NATURE = [COASTLINE, *(tag for tag in COVERINGS if tag[0] != "golf")]
_KNOWN = (*_GOLF, OUTLINE, *_NATURE, _ROUGH)
_KEYS = {key for key, _ in _KNOWN}
#: Values of golf=* that are known and say nothing about how a ball lies.
_NO_GROUND = ("cartpath", "clubhouse", "driving_range", "path", "practice", "putting_green", "cart_path")
#: Colours that tees are known by: common practice, no source.
_TEE_COLOURS = ("black", "gold", "white", "yellow", "blue", "green", "silver", "orange", "red")


def text_tags(properties: Mapping[Any, Any]) -> dict[str, str]:
    """Properties as tags: keys in lower case, values as text without blanks at their ends; no empty ones."""
    tags = {}
    for key, value in properties.items():
        if isinstance(value, str | int | float) and not isinstance(value, bool):
            try:
                text = str(value).strip()
            except ValueError:  # a whole number of more than 4,300 digits
                continue
            if text:
                tags[str(key).strip().lower()] = text
    return tags


def may_matter(tags: Mapping[str, str]) -> bool:
    """Whether a feature has a key that this reader looks at."""
    return not _KEYS.isdisjoint(tags)


def meaning(tags: Mapping[str, str]) -> Tag | None:
    """The tag that says what a feature is, whatever its case; None where it has no bearing on the game."""
    values = {key: _words(tags[key]) for key in _KEYS if key in tags}
    if tags.get("tunnel", "no").lower() != "no":
        return None
    for key, value in _KNOWN:
        if value in values.get(key, ()):
            return key, value
    return None


def likely_meant(tags: Mapping[str, str]) -> str:
    """The value of golf=* that an unknown one resembles; empty where it is known, or like none."""
    known = [value for key, value in _KNOWN if key == "golf"] + list(_NO_GROUND)
    words = _words(tags.get("golf", ""))
    if not words or any(word in known for word in words):
        return ""
    return next(iter(get_close_matches(words[0][:40], known, n=1, cutoff=0.75)), "")


def tee_names(tags: Mapping[str, str]) -> tuple[str, ...]:
    """What a tee is called: ``tee=white;yellow``, ``colour=white``, or a colour as a key of its own."""
    said = [tags.get(key, "") for key in ("tee", "golf:tee", "colour", "color")]
    words = [word.strip().lower() for text in said for word in text.replace(",", ";").split(";")]
    words += [colour for colour in _TEE_COLOURS if tags.get(colour, "no").lower() != "no"]
    return tuple(dict.fromkeys(word[:40] for word in words if word and word not in ("yes", "no")))


def _words(value: str) -> list[str]:
    """``Green; fairway`` as green and fairway, ``Water Hazard`` as water_hazard."""
    return ["_".join(word.lower().replace("-", " ").split()) for word in value.split(";")]
