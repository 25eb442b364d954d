"""A course written by hand in TOML; docs/reference/course.md has the vocabulary."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from rangework.course.course_checks import check_lengths, stroke_indexes
from rangework.course.findings import Findings, Table
from rangework.course.geometry import Course, Rating, TeeSet
from rangework.course.hole_toml import read_hole
from rangework.course.line_toml import ONLY_TEE
from rangework.errors import InputError, Problem

#: Course ratings that can be meant, by number of holes; slope ratings run from 55 to 155 by the rules.
RATINGS = {9: (22.0, 43.0), 18: (45.0, 86.0)}
SLOPES = (55, 155)

#: How assumptions about ratings begin: they are made anew whenever a course is read.
UNRATED = "tees without course and slope rating, as none is given"
UNRATED_TEE = "no course and slope rating"


def read_course_toml(path: Path) -> Course:
    """The course of a TOML file.

    Raises InputError with every problem of the file; places count holes and list entries from 1.
    """
    findings = Findings(str(path))
    course = _course(Table(_load(path), "", findings), findings)
    if findings.problems:
        raise InputError(list(dict.fromkeys(findings.problems)))
    return course


def _load(path: Path) -> dict[str, Any]:
    remedy = "See docs/how-to/describe-a-course.md for an example."
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        problem = Problem(str(path), "", "", f"a file that can be read ({error.strerror})")
    except UnicodeDecodeError as error:
        problem = Problem(str(path), f"byte {error.start + 1}", "", "text in UTF-8", "Save it as UTF-8.")
    except RecursionError:
        problem = Problem(str(path), "", "", "brackets that are not nested this deep", remedy)
    except ValueError as error:
        problem = Problem(str(path), "", "", f"valid TOML ({error})", remedy)
    raise InputError(problem)


def _course(table: Table, findings: Findings) -> Course:
    name = table.text("name", "course", required=True)
    attribution = table.text("attribution", "")
    assumed = table.texts("assumed")
    hole_tables = _hole_tables(table, findings)
    tees = _read_tees(table, hole_tables, findings)
    names = [tee.name for tee in tees]
    read = [read_hole(each, i, names, findings) for i, each in enumerate(hole_tables, 1)]
    table.close()
    for hole, lengths_m in read:
        check_lengths(hole, f"holes[{hole.number}].length", lengths_m, tees, findings)
    holes = [hole for hole, _ in read]
    indexes = stroke_indexes(holes, [lengths_m for _, lengths_m in read], findings)
    numbered = tuple(replace(hole, stroke_index=i) for hole, i in zip(holes, indexes, strict=True))
    assumptions = tuple(dict.fromkeys((*assumed, *findings.assumptions())))
    return Course(name, numbered, tees, assumptions, tuple(findings.warnings), attribution)


def _hole_tables(table: Table, findings: Findings) -> list[Table]:
    """The holes' tables, with what ``every_hole`` says where a hole says nothing."""
    usual = table.table("every_hole")
    given = table.tables("holes")
    if len(given) not in RATINGS:
        findings.problem("holes", len(given), "9 or 18 holes, each a [[holes]] table")
    return [Table(each.entries, each.place, findings, usual) for each in given]


def _read_tees(table: Table, holes: list[Table], findings: Findings) -> tuple[TeeSet, ...]:
    """The tee sets in the file's order, or those that the holes' lengths name."""
    given = table.table("tees")
    if not given.entries:
        return with_ratings_missed([TeeSet(name) for name in _tees_of_lengths(holes)], findings)
    tees = []
    for name in given.entries:
        tee = given.table(name)
        tees.append(TeeSet(name, *(read_rating(tee, who, len(holes)) for who in ("men", "women"))))
        tee.close()
    return with_ratings_missed(tees, findings)


def with_ratings_missed(tees: Sequence[TeeSet], findings: Findings) -> tuple[TeeSet, ...]:
    """The tee sets, having put down which of them are without a rating."""
    unrated = [tee.name for tee in tees if tee.men is None and tee.women is None]
    if len(unrated) == len(tees):
        findings.assume(UNRATED)
    for name in unrated if len(unrated) < len(tees) else ():
        findings.assume(f"{UNRATED_TEE} for the {name} tee, as none is given")
    return tuple(tees)


def _tees_of_lengths(holes: list[Table]) -> list[str]:
    for hole in holes:
        for key in ("tees_m", "tees_yd", "length_yd", "length_m"):
            lengths = hole.entries.get(key)
            if isinstance(lengths, Mapping) and lengths:
                return list(lengths)
    return [ONLY_TEE]


def read_rating(tee: Table, who: str, holes: int) -> Rating | None:
    """The rating of a tee set for ``men`` or ``women``, None where its table has none."""
    if who not in tee:
        tee.value(who)
        return None
    table = tee.table(who)
    low, high = RATINGS.get(holes, (RATINGS[9][0], RATINGS[18][1]))
    rating = table.number("rating", low, high, low, required=True)
    slope = table.whole("slope", *SLOPES, 113, required=True)
    table.close()
    return Rating(rating, slope)
