"""Ways joined into rings, and the ground that rings of OpenStreetMap relations enclose."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from plain_maps import first_hole_x, plain_nine, rectangle, write

from rangework.course import Hole, ground_grid, read_course
from rangework.course.maps.rings import joined_rings
from rangework.lie import Ground

X = first_hole_x()


@given(st.integers(3, 30), st.lists(st.integers(1, 29), max_size=6), st.randoms(use_true_random=False))
def test_a_ring_cut_into_ways_is_whole_again(corners: int, cuts: list[int], luck: object) -> None:
    nodes = [*range(corners), 0]
    places = sorted({0, corners, *(cut for cut in cuts if cut < corners)})
    ways = [np.array(nodes[a : b + 1]) for a, b in pairwise(places)]
    luck.shuffle(ways)  # type: ignore[attr-defined]
    ways = [way[::-1] if index % 2 else way for index, way in enumerate(ways)]
    rings, whole = joined_rings(ways)
    assert whole
    assert len(rings) == 1
    assert rings[0][0] == rings[0][-1]
    steps = {frozenset(step) for step in pairwise(rings[0].tolist())}
    assert steps == {frozenset(step) for step in pairwise(nodes)}


def test_two_rings_and_a_loose_end() -> None:
    ways = [np.array(way) for way in ([1, 2, 3, 1], [4, 5], [5, 6, 4], [7, 8])]
    rings, whole = joined_rings(ways)
    assert not whole
    assert sorted(ring.min() for ring in rings) == [1, 4]


#: Squares of the first hole, each within the one before.
SQUARES = [rectangle(X + 20 + d, 150 + d, X + 58 - d, 188 - d) for d in (0, 5, 10, 15)]


class Relations:
    """A plain map as OSM XML with squares as ways 1001, 1002, ..., and relations of them."""

    def __init__(self, folder: Path) -> None:
        sheet = plain_nine()
        for square in SQUARES:
            sheet.area({"barrier": "none"}, square)
        self.path = write(sheet, folder, "osm")
        text = self.path.read_text("utf-8")
        ways = [line for line in text.splitlines() if 'k="barrier"' in line]
        self.ids = [line.split('"')[1] for line in ways]
        self._text = text

    def tag(self, square: int, key: str, value: str) -> None:
        old = f'<way id="{self.ids[square]}">'
        start = self._text.index(old)
        end = self._text.index("</way>", start)
        self._text = f'{self._text[:end]}<tag k="{key}" v="{value}"/>{self._text[end:]}'

    def relate(self, roles: dict[int, str], **tags: str) -> None:
        members = "".join(
            f'<member type="way" ref="{self.ids[i]}" role="{role}"/>' for i, role in roles.items()
        )
        said = "".join(
            f'<tag k="{key}" v="{value}"/>' for key, value in {"type": "multipolygon", **tags}.items()
        )
        self._text = self._text.replace("</osm>", f'<relation id="9">{members}{said}</relation></osm>')

    def first_hole(self) -> Hole:
        self.path.write_text(self._text, "utf-8")
        return read_course(self.path).holes[0]


def across(hole: Hole) -> list[Ground]:
    """The ground from the outermost square to the middle of all."""
    grid = ground_grid(hole, "white", "mapped")
    spots = grid.from_hole([(22.5 + d, 169.0) for d in (0, 5, 10, 16)])
    return [Ground(int(value)) for value in grid.ground_at(*spots.T)]


@pytest.mark.parametrize(
    "roles",
    [
        {0: "outer", 1: "inner", 2: "outer", 3: "inner"},
        {3: "inner", 2: "outer", 1: "inner", 0: "outer"},
        {0: "", 1: "", 2: "", 3: ""},
        {0: "Outer", 1: "INNER", 2: "outer", 3: "inner"},
    ],
    ids=range(4),
)
def test_rings_within_rings_take_turns(tmp_path: Path, roles: dict[int, str]) -> None:
    relations = Relations(tmp_path)
    relations.relate(roles, natural="wood")
    assert across(relations.first_hole()) == [Ground.TREES, Ground.ROUGH, Ground.TREES, Ground.ROUGH]


def test_relation_without_tags_has_those_of_its_outer_way(tmp_path: Path) -> None:
    relations = Relations(tmp_path)
    relations.tag(0, "natural", "water")
    relations.relate({0: "outer", 1: "inner"})
    assert across(relations.first_hole()) == [Ground.WATER, Ground.ROUGH, Ground.ROUGH, Ground.ROUGH]


def test_outer_way_that_says_the_same_does_not_fill_the_hole(tmp_path: Path) -> None:
    relations = Relations(tmp_path)
    relations.tag(0, "natural", "wood")
    relations.relate({0: "outer", 1: "inner"}, natural="wood")
    assert across(relations.first_hole())[:2] == [Ground.TREES, Ground.ROUGH]


def test_outer_way_that_says_something_else_counts_too(tmp_path: Path) -> None:
    relations = Relations(tmp_path)
    relations.tag(0, "golf", "bunker")
    relations.relate({0: "outer", 1: "inner"}, natural="wood")
    # the wood lies on the sand, of which its hole shows
    assert across(relations.first_hole()) == [Ground.TREES, Ground.SAND, Ground.SAND, Ground.SAND]


def test_inner_way_may_be_something_of_its_own(tmp_path: Path) -> None:
    relations = Relations(tmp_path)
    relations.tag(1, "golf", "bunker")
    relations.relate({0: "outer", 1: "inner"}, natural="wood")
    assert across(relations.first_hole()) == [Ground.TREES, Ground.SAND, Ground.SAND, Ground.SAND]
