"""Hole notes as files: a page to print (HTML), Markdown, and plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from html import escape

from rangework.lie import Ground
from rangework.report.note_cards import NoteCard, NoteSheet, NoteTable
from rangework.report.style import INK, PLUM, QUIET, TEXTURES

_WIDTH = 72
#: Behind a pin that is aimed at straight.
_AT_PIN = TEXTURES[Ground.FAIRWAY].colour


def plain_text(sheet: NoteSheet) -> str:
    """Words and figures only, nothing about the greens; a form feed before the second nine."""
    pages = ["\n\n".join(map(_plain_card, nine)) for nine in sheet.nines()]
    head = f"{sheet.title}\n\n{textwrap.fill(sheet.about, _WIDTH)}\n\n"
    foot = "\n\n".join(textwrap.fill(text, _WIDTH) for text in (*sheet.cautions, sheet.credit) if text)
    return head + "\n\f\n".join(pages) + f"\n\n{foot}\n"


def _plain_card(card: NoteCard) -> str:
    lines = [f"{card.number}  {card.heading}"]
    for way in card.way:
        lines += textwrap.wrap(way, _WIDTH, initial_indent="   ", subsequent_indent="      ")
    for table in card.tables:
        lines.append(f"   {table.heading}")
        widths = [max(map(len, column)) for column in zip(*table.rows, strict=True)]
        lines += [
            "      " + "   ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in table.rows
        ]
    return "\n".join(lines)


def markdown(sheet: NoteSheet) -> str:
    """Markdown, a table for each distance."""
    parts = [f"# {_marked(sheet.title)}", _marked(sheet.about)]
    for card in sheet.cards:
        parts += [f"## {card.number}: {card.heading}", f"{card.green[0].upper()}{card.green[1:]}."]
        parts += [f"- {_marked(way)}" for way in card.way]
        for table in card.tables:
            parts += [f"**{_marked(table.heading)}**", _marked_table(table)]
    parts += [_marked(text) for text in (*sheet.cautions, sheet.credit) if text]
    return "\n\n".join(parts) + "\n"


def _marked_table(table: NoteTable) -> str:
    heads = ("pin left", "pin in the middle", "pin right") if len(table.rows[0]) == 3 else ("pin", "target")
    rows = [heads, ("---",) * len(heads), *table.rows]
    return "\n".join(f"| {' | '.join(map(_marked, row))} |" for row in rows)


def _marked(text: str) -> str:
    """Text without what Markdown takes for marks."""
    return "".join(f"\\{letter}" if letter in "\\*_[]<>#|" else letter for letter in text)


def html(sheet: NoteSheet) -> str:
    """A page that prints one nine on one sheet of A4, and reads on a telephone."""
    body = "\n".join(_html(sheet))
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{escape(sheet.title)}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>\n{_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _html(sheet: NoteSheet) -> Iterator[str]:
    for number, nine in enumerate(sheet.nines()):
        yield "<section>"
        yield f"<header><h1>{escape(sheet.title)}</h1>"
        yield f"<p>{escape(sheet.about)}</p></header>" if number == 0 else "</header>"
        yield '<div class="cards">'
        yield from (_html_card(card) for card in nine)
        yield "</div>"
        yield "<footer>"
        yield from (f"<p>{escape(text)}</p>" for text in (*sheet.cautions, sheet.credit) if text)
        yield "</footer></section>"


def _html_card(card: NoteCard) -> str:
    ways = "".join(f"<p>{escape(way)}</p>" for way in card.way)
    tables = "".join(map(_html_table, card.tables))
    head = f"<h2><b>{card.number}</b> {escape(card.heading)}<i>{escape(card.green)}</i></h2>"
    return f"<article>{head}{ways}{tables}</article>"


def _html_table(table: NoteTable) -> str:
    kind = "grid" if len(table.rows[0]) == 3 else "pins"
    rows = "".join(
        "<tr>" + "".join(f"<td{_mark(cell)}>{escape(cell)}</td>" for cell in row) + "</tr>"
        for row in table.rows
    )
    return f'<h3>{escape(table.heading)}</h3><table class="{kind}">{rows}</table>'


def _mark(cell: str) -> str:
    return ' class="at"' if cell == "pin" else ""


_STYLE = f"""\
@page {{ size: A4; margin: 9mm }}
* {{ box-sizing: border-box }}
body {{ font: 14px/1.35 "DejaVu Sans", Verdana, sans-serif; color: {INK}; margin: 0 auto; padding: 12px;
  max-width: 900px }}
h1 {{ font-size: 1.3em; margin: 0 0 .2em }}
header p, footer p {{ color: {QUIET}; font-size: .85em; margin: .2em 0 }}
.cards {{ display: grid; grid-template-columns: repeat(auto-fit, minmax(330px, 1fr)); gap: 0 22px }}
article {{ border-top: 2px solid {INK}; padding: 4px 0 10px; break-inside: avoid }}
h2 {{ font-size: 1em; font-weight: normal; margin: 0; display: flex; gap: .5em; align-items: baseline }}
h2 b {{ font-size: 1.5em }}
h2 i {{ margin-left: auto; font-style: normal; font-size: .85em; color: {QUIET} }}
h3 {{ font-size: .85em; font-weight: bold; color: {PLUM}; margin: .45em 0 .15em }}
article p {{ margin: .1em 0; font-size: .92em }}
table {{ border-collapse: collapse; width: 100%; font-size: .82em }}
.grid {{ table-layout: fixed }}
td {{ border: 1px solid #C9D1CC; padding: 2px 5px; text-align: center }}
.pins td {{ text-align: left }}
.at {{ background: {_AT_PIN} }}
@media print {{
  body {{ font-size: 11.5px; padding: 0; max-width: none; line-height: 1.22 }}
  section {{ break-after: page }}
  section:last-child {{ break-after: auto }}
  .cards {{ grid-template-columns: 1fr 1fr; gap: 0 7mm }}
  article {{ padding: 1px 0 4px }}
  td {{ padding: 0 3px }}
}}
"""


FORMS: dict[str, Callable[[NoteSheet], str]] = {".txt": plain_text, ".md": markdown, ".html": html}
