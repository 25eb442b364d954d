"""A course from the features of a map: chosen, laid on a plane, and put together hole by hole."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import MultiPoint
from shapely.geometry.base import BaseGeometry

from rangework.course.course_checks import check_lengths, filled_order, stroke_indexes
from rangework.course.findings import Findings, Table
from rangework.course.geometry import Course, Hole, Point, TeeSet
from rangework.course.local_plane import LocalPlane, plane_amid
from rangework.course.maps.assumed_ground import assumed_areas, par_of, with_usual_greens
from rangework.course.maps.boundaries import sea
from rangework.course.maps.chosen_course import ChosenCourse, choose_course
from rangework.course.maps.features import CourseMap, MapFeature
from rangework.course.maps.geojson import read_geojson
from rangework.course.maps.heights import climbs_m, mapped_heights
from rangework.course.maps.hole_ground import MappedGround
from rangework.course.maps.hole_sketch import HoleSketch, sketch_hole
from rangework.course.maps.mapped_areas import MappedArea, features_near, mapped_areas
from rangework.course.maps.mapped_hole import finish_hole
from rangework.course.maps.osm_xml import read_osm_xml
from rangework.course.maps.own_greens import facing_greens, starting_at, with_greens
from rangework.course.maps.own_pins import pin_marks, with_pins
from rangework.course.maps.own_tees import tee_marks, with_tees
from rangework.course.maps.play_lines import Outline, outlines_of, play_lines
from rangework.course.maps.tags import COASTLINE, GREEN, OUT_OF_BOUNDS, OUTLINE, meaning
from rangework.course.maps.tee_sets import tee_sets
from rangework.course.outlines import pieces
from rangework.course.toml_file import read_rating, with_ratings_missed
from rangework.errors import InputError
from rangework.lie import Ground

#: What lies farther than this from every line of play cannot show on any hole.
AROUND_M = 500.0
#: Holes of one course lie within this distance of their middle.
WIDEST_M = 15_000.0

_SEA = ("natural", "water")


def read_course_geojson(path: Path, name: str | None = None) -> Course:
    """The course of a GeoJSON map, of that name where it holds several. Raises InputError with every problem."""
    return _read(path, name, read_geojson)


def read_course_osm(path: Path, name: str | None = None) -> Course:
    """The course of an OSM XML map, of that name where it holds several. Raises InputError with every problem."""
    return _read(path, name, read_osm_xml)


def _read(path: Path, name: str | None, reader: Callable[[Path, Findings], CourseMap]) -> Course:
    findings = Findings(str(path))
    chart = reader(path, findings)
    _stop_at_problems(findings)
    outlines = outlines_of(chart.features, findings)
    chosen = choose_course(play_lines(chart.features, outlines, findings), name, findings)
    # plane geometry of odd outlines divides by zero on its way to sound results
    with np.errstate(all="ignore"):
        course = _assembled(chart, chosen, outlines, findings)
    _stop_at_problems(findings)
    title = _title(chosen, chart, outlines)
    if not title:
        title = path.stem
        findings.assume(f"name {title}, as the map names no course")
    said = tuple(dict.fromkeys((*chart.assumed, *findings.assumptions())))
    return replace(course, name=title, assumptions=said, warnings=tuple(findings.warnings))


def _title(chosen: ChosenCourse, chart: CourseMap, outlines: Sequence[Outline]) -> str:
    """The course's name: of its holes or outline, of the file, or of the only point that marks a course."""
    if chosen.name not in {outline.feature.place for outline in outlines} and chosen.name:
        return chosen.name
    marks = [
        feature for feature in chart.features if meaning(feature.tags) == OUTLINE and not feature.rings()
    ]
    names = {feature.tags["name"] for feature in marks if "name" in feature.tags}
    return chart.name or (names.pop() if len(names) == 1 else "")


def _stop_at_problems(findings: Findings) -> None:
    if findings.problems:
        raise InputError(list(dict.fromkeys(findings.problems)))


def _assembled(
    chart: CourseMap, chosen: ChosenCourse, outlines: Sequence[Outline], findings: Findings
) -> Course:
    positions = np.concatenate([hole.line.positions for hole in chosen.holes])
    plane = plane_amid(positions)
    if plane.distance_m(positions).max() > WIDEST_M:
        remedy = "Take the holes of other courses out, or name each: golf:course:name."
        findings.problem("golf=hole", None, f"holes within {WIDEST_M / 1000:.0f} km of one another", remedy)
    sketches = [sketch_hole(hole, plane, findings) for hole in chosen.holes]
    _stop_at_problems(findings)
    around = MultiPoint(np.concatenate([sketch.line for sketch in sketches])).buffer(AROUND_M)
    features = features_near(chart.features, plane, around)
    for feature in features_near(chart.broken, plane, around):
        remedy = "It is left out. Download the area again, with all members and points."
        findings.warning(feature.place, None, "all its points and ways in the file", remedy)
    areas = [area for area in mapped_areas(features, plane, findings) if area.polygon.intersects(around)]
    _stop_at_problems(findings)
    sketches = _completed(sketches, features, areas, plane, findings)
    sets = tee_sets(sketches, findings)
    sketches = [
        _from_longest_tee(sketch, _tees(sets, index), findings) for index, sketch in enumerate(sketches)
    ]
    pars = [par_of(sketch, sketch.path.length, findings) for sketch in sketches]
    _stop_at_problems(findings)
    every = [*areas]
    for index, (sketch, par) in enumerate(zip(sketches, pars, strict=True)):
        every += assumed_areas(sketch, _tees(sets, index), par, areas, findings)
    mapped = _mapped_ground(every, features, outlines, plane, around, findings)
    climbs = climbs_m(sketches, mapped_heights(features, plane, findings), findings)
    holes = [
        replace(finish_hole(sketch, _tees(sets, index), par, mapped, plane, findings), climb_m=climb)
        for index, (sketch, par, climb) in enumerate(zip(sketches, pars, climbs, strict=True))
    ]
    return _with_tees(chart, holes, sets, sketches, findings)


def _tees(sets: Mapping[str, Sequence[Point]], hole: int) -> dict[str, Point]:
    return {name: places[hole] for name, places in sets.items()}


def _from_longest_tee(sketch: HoleSketch, tees: Mapping[str, Point], findings: Findings) -> HoleSketch:
    moved = starting_at(sketch, max(tees.values(), key=sketch.length_from))
    if not moved.path.is_simple:
        findings.problem(sketch.place, None, "a line of play that does not cross itself")
    return moved


def _mapped_ground(
    areas: Sequence[MappedArea],
    features: Sequence[MapFeature],
    outlines: Sequence[Outline],
    plane: LocalPlane,
    around: BaseGeometry,
    findings: Findings,
) -> MappedGround:
    lines: dict[tuple[str, str], list[np.ndarray]] = {COASTLINE: [], OUT_OF_BOUNDS: []}
    for feature in features:
        tag = meaning(feature.tags)
        drawn = tag == COASTLINE or (tag == OUT_OF_BOUNDS and feature.rings() is None)
        if tag in lines and drawn and feature.shape == "line":
            lines[tag] += [plane.to_plane(part[0]) for part in feature.parts]
    water = sea(lines[COASTLINE], around)
    if lines[COASTLINE] and water.is_empty:
        remedy = "Draw the sea as natural=water, or download a larger area."
        findings.warning("natural=coastline", None, "a coast that parts land from sea", remedy)
    coast = next((each for each in features if meaning(each.tags) == COASTLINE), None)
    seas = [MappedArea(_SEA, Ground.WATER, piece, coast) for piece in pieces(water) if coast]
    every = [*areas, *seas]
    return MappedGround(
        every,
        [line for line in lines[OUT_OF_BOUNDS] if len(line) > 1],
        _inside_outlines(outlines, plane, around),
        STRtree([area.polygon for area in every]),
    )


def _inside_outlines(
    outlines: Sequence[Outline], plane: LocalPlane, around: BaseGeometry
) -> BaseGeometry | None:
    near = features_near([outline.feature for outline in outlines], plane, around)
    shapes = [
        shapely.make_valid(shapely.Polygon(plane.to_plane(rings[0])))
        for feature in near
        for rings in feature.rings() or ()
        if len(rings[0]) > 3
    ]
    return shapely.union_all(shapes) if shapes else None


def _completed(
    sketches: list[HoleSketch],
    features: Sequence[MapFeature],
    areas: Sequence[MappedArea],
    plane: LocalPlane,
    findings: Findings,
) -> list[HoleSketch]:
    """The sketches with greens, tees and pins."""
    greens = [area for area in areas if area.tag == GREEN]
    outlines = [green.polygon for green in greens]
    sketches = facing_greens(sketches, outlines, findings)
    sketches = with_usual_greens(with_greens(sketches, greens, findings), findings)
    sketches = with_tees(sketches, tee_marks(features, areas, plane), findings)
    return with_pins(sketches, list(pin_marks(features, plane)), outlines, findings)


def _with_tees(
    chart: CourseMap,
    holes: Sequence[Hole],
    sets: dict[str, list[Point]],
    sketches: Sequence[HoleSketch],
    findings: Findings,
) -> Course:
    """The course with its tee sets and stroke indexes, lengths checked."""
    said = Table(dict(chart.tees), "tees", findings)
    tees = []
    for name in sets:
        rated = said.table(name)
        tees.append(TeeSet(name, *(read_rating(rated, who, len(holes)) for who in ("men", "women"))))
    lengths = [
        {name: sketch.length_from(places[index]) for name, places in sets.items()}
        for index, sketch in enumerate(sketches)
    ]
    for hole, sketch, lengths_m in zip(holes, sketches, lengths, strict=True):
        check_lengths(hole, sketch.place, lengths_m, tees, findings)
    indexes = _sound_order(holes, lengths, findings)
    numbered = tuple(replace(hole, stroke_index=i) for hole, i in zip(holes, indexes, strict=True))
    return Course("", numbered, with_ratings_missed(tees, findings), attribution=chart.attribution)


def _sound_order(holes: Sequence[Hole], lengths: Sequence[dict[str, float]], findings: Findings) -> list[int]:
    """Stroke indexes as mapped, those left out filled in; all by length where the map's are no order."""
    given = [hole.stroke_index for hole in holes]
    filled = filled_order(holes, lengths)
    if filled is None:
        told = ", ".join(str(index or "none") for index in given)
        expected = f"every number from 1 to {len(holes)} once"
        findings.warning("handicap of the holes", told, expected, "They are set aside. Mend them on the map.")
        return stroke_indexes([replace(hole, stroke_index=0) for hole in holes], lengths, findings)
    for hole in holes:
        if any(given) and not hole.stroke_index:
            findings.assume("stroke index by length among those left over, as none is mapped", hole.number)
    return filled if any(given) else stroke_indexes(holes, lengths, findings)
