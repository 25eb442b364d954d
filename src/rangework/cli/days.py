"""Options that take a day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import click


class Day(click.ParamType):  # type: ignore[type-arg]
    """A date as 2026-09-28."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The date."""
        try:
            return value if isinstance(value, date) else date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is not a date such as 2026-09-28.", param, ctx)


def day_option(name: str, words: str, **more: Any) -> Callable[[Any], Any]:
    """An option that takes a date."""
    return click.option(name, type=Day(), metavar="DATE", help=words, **more)
