"""Hole notes as files: the same words in each form, nothing of the greens in plain text, a nine to a page."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from rangework.aim import Base, Target
from rangework.aim.club_names import NamedClub
from rangework.aim.hole_notes import Approach, HoleNote, NotedShot, WayShot
from rangework.aim.landing import ShotChances
from rangework.course import Course
from rangework.report.note_cards import GRID, NoteSheet, note_sheet
from rangework.report.note_forms import html, markdown, plain_text
from rangework.units import YARD_M

SEVEN_IRON = NamedClub("7 iron", False)


def shot(
    right_yd: float,
    long_yd: float,
    saved: float | None = 0.05,
    club: NamedClub | None = SEVEN_IRON,
) -> NotedShot:
    off = (right_yd * YARD_M, long_yd * YARD_M)
    chances = ShotChances(0.5, 0.1, 0.03, 0.004)
    return NotedShot(Target(Base.PIN, None, *off), 140.0, 133.0, club, off, 3.1, saved, chances)


@pytest.fixture(scope="module")
def notes(demo_course: Course) -> NoteSheet:
    grid = {pin: shot(3, -4) for row in GRID for pin in row} | {
        "left": shot(5, 0),
        "middle": shot(0, 1, 0.01),
    }
    tee = NotedShot(
        Target(Base.LONGEST, None, -8 * YARD_M),
        200.0,
        190.0,
        NamedClub("driver", False),
        None,
        4.4,
        None,
        ShotChances(0, 0, 0.04, 0.1),
    )
    holes = []
    for hole in demo_course.holes:
        own = Approach(90 * YARD_M, {"a|b <c>": shot(0.2, -0.3), "two": shot(-2, 0)})
        far = Approach(210 * YARD_M, {"two": shot(0, -30, None, None)})
        way = () if hole.par == 3 else (WayShot(None, tee),)
        holes.append(HoleNote(hole, 350 * YARD_M, way, (Approach(150 * YARD_M, grid), own, far)))
    return note_sheet(
        holes,
        course="Querrowmoss",
        tee="middle",
        player="Wren <Aldersey>",
        attribution="Somebody",
        units="yards",
    )


def test_words_of_a_card(notes: NoteSheet) -> None:
    card = notes.cards[0]
    assert card.heading == "par 4, 350 yd"
    assert card.way == ("Tee: longest, 8 yd left (driver); of 100: sand 4, penalty 10",)
    nine, own, far = card.tables
    assert nine.heading == "From 150, 7 iron: saves up to 0.05 beside the pin"
    assert nine.rows[1] == ("5 right", "pin", "3 right, 4 short")
    assert own.rows == (("a|b <c>", "pin"), ("two", "2 left"))
    assert far.heading == "From 210: no pin is in reach"
    assert far.rows == (("two", "30 short"),)


def test_every_form_says_it_all(notes: NoteSheet) -> None:
    for form in (plain_text, markdown, html):
        page = " ".join(form(notes).replace("\\", "").split())
        for said in (
            "Never toward people",
            "local rule",
            "Rule 4.3",
            "Map data: Somebody",
            "5 right",
            "From 150",
        ):
            assert said in page, (form.__name__, said)
        assert page.count("par 3") == 4


def test_plain_text_holds_nothing_of_the_greens_and_is_narrow(notes: NoteSheet) -> None:
    page = plain_text(notes)
    assert "deep" not in page
    assert "deep" in markdown(notes)
    assert "deep" in html(notes)
    assert max(map(len, page.splitlines())) <= 80
    assert page.count("\f") == 1


class Tags(HTMLParser):
    """Open tags, and every text."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.sections = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.sections += tag == "section"
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_sound_and_breaks_after_a_nine(notes: NoteSheet) -> None:
    page, tags = html(notes), Tags()
    tags.feed(page)
    assert tags.open == []
    assert tags.sections == 2
    assert "break-after: page" in page
    assert "<c>" not in page
    assert "Wren &lt;Aldersey&gt;" in page
    assert "http" not in page  # nothing is fetched


def test_markdown_keeps_its_tables_whole(notes: NoteSheet) -> None:
    assert "| a\\|b \\<c\\> | pin |" in markdown(notes)
    assert "| pin left | pin in the middle | pin right |" in markdown(notes)
