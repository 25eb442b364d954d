"""Text that a person typed, made safe to look at: no mark in it turns or hides what follows."""

from __future__ import annotations

import re

#: Marks of direction (Unicode Standard Annex 9, table of explicit formatting characters), and control
#: characters but tabs and line ends; also a ``<`` that would read as such a mark.
_UNSEEN = re.compile(
    "[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]|<(?=U\\+[0-9A-F]{4}>)"
)


def shown_text(text: str) -> str:
    """The text with unseen characters made visible, for tables and messages.

    >>> shown_text("Wren\u202e")
    'Wren<U+202E>'
    """
    return _UNSEEN.sub(lambda found: f"<U+{ord(found[0]):04X}>", text)
