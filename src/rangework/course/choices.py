"""What of a course is played: its tees, its holes, its pins, by the words of the command line."""

from __future__ import annotations

from rangework.course.geometry import Course, Hole, TeeSet
from rangework.course.pin_places import has_pin, is_in_hole_frame
from rangework.errors import InputError, Problem


def chosen_tee(course: Course, name: str | None) -> TeeSet:
    """The tee set of that name, or the middle one. Raises InputError for a name that is not there."""
    if name is None:
        return course.tees[len(course.tees) // 2]
    for tee in course.tees:
        if tee.name == name:
            return tee
    raise InputError(Problem("--tee", "", name, "one of " + ", ".join(tee.name for tee in course.tees)))


def holes_of(course: Course, number: int | None) -> tuple[Hole, ...]:
    """The hole of that number, or all of them. Raises InputError for a number that is not there."""
    found = tuple(hole for hole in course.holes if number in (None, hole.number))
    if not found:
        numbers = [hole.number for hole in course.holes]
        raise InputError(
            Problem("--hole", "", str(number), f"a hole of {course.name}: {min(numbers)} to {max(numbers)}")
        )
    return found


def chosen_pins(course: Course, pin: str | None) -> tuple[str, ...]:
    """The pin of each hole: ``pin`` where its green has one there, otherwise the hole's own pins in turn.

    ``pin`` is told as ``course.pin_places`` says. Raises InputError for one that no green has, and for lengths from
    a tee, which belong to one hole. ``usual_pin_holes`` tells where it was not to be had.
    """
    usual = tuple(list(hole.pins)[index % len(hole.pins)] for index, hole in enumerate(course.holes))
    if pin is None:
        return usual
    if is_in_hole_frame(pin):
        expected = "a pin that several holes may have"
        remedy = "Lengths from a tee belong to one hole: `rangework aim --hole N` takes them."
        raise InputError(Problem("--pin", "", pin, expected, remedy))
    there = [has_pin(hole, pin) for hole in course.holes]
    if not any(there):
        names = sorted({name for hole in course.holes for name in hole.pins})
        raise InputError(
            Problem("--pin", "", pin, f"one of {', '.join(names)}, or a place on a green of {course.name}")
        )
    return tuple(pin if has else name for has, name in zip(there, usual, strict=True))


def usual_pin_holes(course: Course, pin: str | None) -> tuple[int, ...]:
    """Numbers of the holes that have no pin such as ``pin``, whose usual pins are played instead."""
    return tuple(hole.number for hole in course.holes if pin is not None and not has_pin(hole, pin))
