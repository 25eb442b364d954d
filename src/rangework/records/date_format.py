"""Date formats as people write them: DD.MM.YYYY, M/D/YY, YYYY-MM-DD hh:mm:ss."""

from __future__ import annotations

import re
from datetime import datetime

_DIRECTIVES = {
    "YYYY": "%Y",
    "YY": "%y",
    "MMM": "%b",
    "MM": "%m",
    "M": "%m",
    "DD": "%d",
    "D": "%d",
    "hh": "%H",
    "h": "%H",
    "mm": "%M",
    "ss": "%S",
    "AM": "%p",
}
_CALENDAR = {"day": ("%d",), "month": ("%m", "%b"), "year": ("%Y", "%y")}
_TOKEN = re.compile("|".join(_DIRECTIVES) + "|.", re.DOTALL)


def strptime_format(words: str) -> str:
    """A format for `datetime.strptime`; ValueError when day, month or year is missing or told twice."""
    parts = [_DIRECTIVES.get(token, token.replace("%", "%%")) for token in _TOKEN.findall(words)]
    for unit, directives in _CALENDAR.items():
        if sum(part in directives for part in parts) != 1:
            raise ValueError(f"the {unit} stands in it once")
    told = [part for part in parts if part in _DIRECTIVES.values()]
    if len(set(told)) < len(told):
        raise ValueError("each part stands in it once")
    format_ = "".join(parts)
    if "%p" in parts:
        format_ = format_.replace("%H", "%I")
    return format_


def to_iso(text: str, words: str) -> str:
    """A date in the format ``words`` as ISO 8601; the text itself when it is no such date."""
    try:
        return datetime.strptime(text.strip(), strptime_format(words)).isoformat()
    except ValueError:
        return text
