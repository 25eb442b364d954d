"""Texts in CSV files that a spreadsheet shows and never runs, and that read back as they were.

A cell that begins with one of ``= + - @`` is a formula to a spreadsheet: it gets an apostrophe in front, which
spreadsheets take for *this is a text*. Characters that turn the direction of writing or steer a terminal are written
``<U+202E>``. Both are undone on reading.
"""

from __future__ import annotations

import re

from rangework.shown_text import shown_text

#: What spreadsheets take for the beginning of a formula, in usual and wide writing (common practice, no source).
_FORMULA = re.compile("'*[=+\\-@\uff1d\uff0b\uff0d\uff20]")
_ESCAPED_FORMULA = re.compile("'+[=+\\-@\uff1d\uff0b\uff0d\uff20]")
_SHOWN = re.compile(r"<U\+([0-9A-F]{4})>")


def safe_text(text: str) -> str:
    """The text as it stands in a CSV file.

    >>> safe_text("=1+1")
    "'=1+1"
    """
    return f"'{shown_text(text)}" if _FORMULA.match(text) else shown_text(text)


def read_safe_text(text: str) -> str:
    """The text that `safe_text` wrote."""
    text = text[1:] if _ESCAPED_FORMULA.match(text) else text
    return _SHOWN.sub(lambda found: chr(int(found[1], 16)), text)
