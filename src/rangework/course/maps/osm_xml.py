"""A map as OpenStreetMap XML: nodes, ways and relations, as downloaded.

Read with the standard library's expat as a stream. A DOCTYPE, which alone can define entities, is refused before
anything of it is used; so none can grow, and nothing outside the file is ever fetched.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn
from xml.parsers import expat

from rangework.course.findings import Findings
from rangework.course.maps.features import CourseMap, file_bytes, refuse_too_many
from rangework.course.maps.osm_features import features_of
from rangework.course.maps.tags import may_matter, text_tags
from rangework.course.maps.written_heights import height_m
from rangework.errors import InputError, Problem

#: Positions and references are kept as numbers, which takes less room than their XML.
MOST_BYTES = 50_000_000
#: Elements of such a file are three deep.
_DEEPEST = 8
_REMEDY = "Save or download the course again as OSM XML."


@dataclass(slots=True)
class OsmElements:
    """What the file holds: nodes and the references of ways as flat arrays, and tags of what may matter.

    ``node_heights_m`` and ``node_tags`` are by the place of a node in the arrays. Way ``i`` has the references
    ``way_refs[way_starts[i]:way_starts[i + 1]]``.
    """

    node_ids: array[int] = field(default_factory=lambda: array("q"))
    longitudes: array[float] = field(default_factory=lambda: array("d"))
    latitudes: array[float] = field(default_factory=lambda: array("d"))
    way_ids: array[int] = field(default_factory=lambda: array("q"))
    way_starts: array[int] = field(default_factory=lambda: array("q", [0]))
    way_refs: array[int] = field(default_factory=lambda: array("q"))
    node_heights_m: dict[int, float] = field(default_factory=dict)
    node_tags: dict[int, dict[str, str]] = field(default_factory=dict)
    way_tags: dict[int, dict[str, str]] = field(default_factory=dict)
    relations: list[OsmRelation] = field(default_factory=list)
    attribution: str = ""


@dataclass(frozen=True, slots=True)
class OsmRelation:
    """A relation's tags and its ways: references and roles."""

    number: int
    tags: dict[str, str]
    ways: list[tuple[int, str]]


def read_osm_xml(path: Path, findings: Findings) -> CourseMap:
    """The features of an OSM XML file that may matter to golf.

    Faults of single features become problems. Raises InputError where the file as a whole cannot be used.
    """
    content = file_bytes(path, MOST_BYTES)
    reader = _Reader(findings)
    try:
        reader.parser.Parse(content, True)
    except expat.ExpatError as error:
        raise InputError(_xml_problem(path, content, error)) from error
    elements = reader.elements
    features, broken = features_of(elements, findings)
    return CourseMap(features, broken, elements.attribution)


def _xml_problem(path: Path, content: bytes, error: expat.ExpatError) -> Problem:
    place = f"line {error.lineno}, column {error.offset + 1}"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError as unreadable:
        place = f"byte {unreadable.start + 1}"
        return Problem(str(path), place, "", "text in UTF-8", "Save it as UTF-8.")
    return Problem(str(path), place, "", f"valid XML ({expat.ErrorString(error.code)})", _REMEDY)


class _Reader:
    """Collects elements as expat meets them; a foreign kind of file stops it with an InputError."""

    def __init__(self, findings: Findings) -> None:
        self.elements = OsmElements()
        self.parser = expat.ParserCreate("UTF-8")
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.StartDoctypeDeclHandler = self._refuse_doctype
        self._findings = findings
        self._depth = 0
        self._attributes: dict[str, str] = {}
        self._tags: dict[str, str] = {}
        self._ways: list[tuple[int, str]] = []
        self._refs = 0

    def _stop(self, value: str, expected: str) -> NoReturn:
        place = f"line {self.parser.CurrentLineNumber}"
        raise InputError(Problem(self._findings.source, place, value[:60], expected, _REMEDY))

    def _refuse_doctype(self, name: str, *_: object) -> None:
        self._stop(f"<!DOCTYPE {name}", "XML without DOCTYPE and entities")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        if self._depth == 1:
            self._begin(name, attributes)
        elif self._depth == 2:
            self._attributes, self._tags, self._ways = attributes, {}, []
            self._refs = len(self.elements.way_refs)
        elif self._depth > _DEEPEST:
            self._stop(name, "elements that are not nested this deep")
        elif name == "tag":
            self._tags[attributes.get("k", "")] = attributes.get("v", "")
        elif name == "nd":
            self.elements.way_refs.append(self._whole(attributes, "ref"))
        elif name == "member" and attributes.get("type") == "way":
            self._ways.append((self._whole(attributes, "ref"), attributes.get("role", "").lower()))

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        if name != "osm":
            self._stop(f"<{name}>", "an OSM file, which begins with <osm>")
        said = [attributes.get(key, "").strip() for key in ("copyright", "attribution", "license")]
        self.elements.attribution = "; ".join(text[:2000] for text in said if text)

    def _end(self, name: str) -> None:
        self._depth -= 1
        if self._depth != 1:
            return
        kept = self.elements
        refuse_too_many(self._findings, len(kept.node_tags) + len(kept.way_tags) + len(kept.relations), 0)
        gone = self._attributes.get("visible") == "false" or self._attributes.get("action") == "delete"
        if name == "way" and not gone:
            self._keep_way()
            return
        del self.elements.way_refs[self._refs :]
        if name == "node" and not gone:
            self._keep_node()
        elif name == "relation" and not gone:
            tags = text_tags(self._tags)
            grouping = "multipolygon" in tags.get("type", "") or tags.get("route", "").lower() == "golf"
            if grouping or may_matter(tags):
                self.elements.relations.append(
                    OsmRelation(self._whole(self._attributes, "id"), tags, self._ways)
                )

    def _keep_node(self) -> None:
        elements, tags = self.elements, text_tags(self._tags)
        if may_matter(tags):
            elements.node_tags[len(elements.node_ids)] = tags
        if "ele" in tags:
            elements.node_heights_m[len(elements.node_ids)] = height_m(tags["ele"])
        elements.node_ids.append(self._whole(self._attributes, "id"))
        elements.longitudes.append(self._degrees("lon"))
        elements.latitudes.append(self._degrees("lat"))

    def _keep_way(self) -> None:
        elements, tags = self.elements, text_tags(self._tags)
        if may_matter(tags):
            elements.way_tags[len(elements.way_ids)] = tags
        elements.way_ids.append(self._whole(self._attributes, "id"))
        elements.way_starts.append(len(elements.way_refs))

    def _whole(self, attributes: dict[str, str], key: str) -> int:
        value = attributes.get(key, "")
        try:
            number = int(value)
        except ValueError:
            number = 2**63
        if not -(2**63) <= number < 2**63:
            self._stop(value, f"a whole number as {key}")
        return number

    def _degrees(self, key: str) -> float:
        """What is no number becomes nan, which is told where a feature uses it."""
        try:
            return float(self._attributes.get(key, "nan"))
        except ValueError:
            return float("nan")
