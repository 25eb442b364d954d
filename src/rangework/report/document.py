"""A page to take home: one HTML file that needs nothing else, for a phone, a screen or paper.

The content is data (``Document``), the look is the template; whatever a person typed is shown and never run.
"""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import zip_longest
from typing import Literal

import jinja2
from matplotlib.figure import Figure

from rangework.report.style import INK, PAPER, PLUM, QUIET, picture
from rangework.shown_text import shown_text

#: What our colours of ink become on a dark screen; ground keeps its own.
DARK = {INK: "#E4E9EB", QUIET: "#A3ADB2", PLUM: "#E58BC4", PAPER: "#15191C"}
#: Our colours of ink by what the page's style calls them.
_INKS = {"ink": INK, "quiet": QUIET, "plum": PLUM, "paper": PAPER}


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture of the page: its name as a file, what it shows in words (for those who can't see it), and a caption."""

    name: str
    figure: Figure
    alt: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: the first column and columns of words read left, columns of figures right."""

    headings: Sequence[str]
    rows: Sequence[Sequence[str]]
    caption: str = ""

    @property
    def looks(self) -> tuple[str, ...]:
        """For each column ``word`` or ``figure``, as most of its cells begin with a letter or not."""
        return tuple(
            "word" if sum(cell[:1].isalpha() for cell in column[1:]) > len(self.rows) / 2 else "figure"
            for column in zip_longest(self.headings, *self.rows, fillvalue="")
        )


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the page, in the order: lead, pictures, tables, items, notes. ``lead`` stands out."""

    title: str
    lead: str = ""
    text: Sequence[str] = ()
    pictures: Sequence[Drawn] = ()
    grids: Sequence[Grid] = ()
    items: Sequence[str] = ()
    notes: Sequence[str] = ()
    kind: Literal["plain", "answer", "care"] = "plain"
    new_sheet: bool = False  #: begins a sheet of paper when printed


@dataclass(frozen=True, slots=True)
class Document:
    """The whole page. ``facts`` are pairs of a word and what it is, at the top."""

    title: str
    subtitle: str
    facts: Sequence[tuple[str, str]]
    parts: Sequence[Part]
    foot: Sequence[str] = ()


def html_of(document: Document) -> str:
    """The document as the text of one file: no script, no request, light and dark."""
    return _template().render(document=document, inks=_INKS, dark=DARK)


def as_source(drawn: Drawn) -> str:
    """A picture as the ``src`` of an image, its ink turned light where the screen is dark."""
    svg = picture(drawn.figure, "svg").decode("utf-8")
    svg = svg.replace("<defs>", f"<style>{_dark_rules()}</style><defs>", 1)
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode("utf-8")).decode("ascii")


def _dark_rules() -> str:
    rules = "".join(
        f'[style*="{kind}: {light.lower()}"]{{{kind}:{dark} !important}}'
        for light, dark in DARK.items()
        for kind in ("fill", "stroke")
    )
    return f"@media screen and (prefers-color-scheme: dark){{{rules}}}"


@cache
def _template() -> jinja2.Template:
    environment = jinja2.Environment(
        autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters["shown"] = shown_text
    environment.filters["source"] = as_source
    text = files("rangework.report").joinpath("templates", "document.html").read_text("utf-8")
    return environment.from_string(text)
