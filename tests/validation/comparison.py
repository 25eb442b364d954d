"""What a section of the validation hands over: published figures beside the model's, tables and pictures."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from matplotlib.figure import Figure

T = TypeVar("T")


class Status(StrEnum):
    """How far a published figure can be trusted, in the words that stand beside it."""

    VERIFIED = "verified"
    SECONDARY = "verified in a page that quotes it"
    MEMORY = "from memory"
    COMMON_PRACTICE = "common practice, no source"
    COMPUTED = "computed"


VERIFIED, SECONDARY, MEMORY, COMMON_PRACTICE, COMPUTED = Status


@dataclass(frozen=True)
class Effort:
    """How much work a section may do: ``quick`` for tests; ``threads`` change nothing but the time.

    ``kept``: sections that keep their last full run write their page from it.
    """

    quick: bool = False
    threads: int = 2
    kept: bool = False

    def of(self, full: T, quick: T) -> T:
        """The first, or the second when quick."""
        return quick if self.quick else full


@dataclass(frozen=True, kw_only=True)
class Check:
    """A published figure and the model's.

    ``published`` is a number, or None where only bounds are published: ``low`` and ``high`` (either may be
    missing) hold a range that the source gives. ``goal`` is how far from figure or range the model may lie,
    in the same ``unit``. ``why`` is the reason of a known miss; checks of one kind may share one, and it is told
    of those that miss.
    """

    what: str
    model: float
    goal: float
    unit: str
    source: str
    status: Status
    published: float | None = None
    low: float | None = None
    high: float | None = None
    why: str = ""
    decimals: int | None = None  #: shown; by the size of the goal if not given

    def __post_init__(self) -> None:
        if self.published is None and self.low is None and self.high is None:
            raise ValueError(f"{self.what}: no published figure")

    @property
    def residual(self) -> float:
        """Model minus published; 0 within the published range."""
        if self.low is None and self.high is None:
            assert self.published is not None
            return self.model - self.published
        low = -math.inf if self.low is None else self.low
        high = math.inf if self.high is None else self.high
        return self.model - min(max(self.model, low), high)

    @property
    def met(self) -> bool:
        return abs(self.residual) <= self.goal * (1.0 + 1e-9)

    @property
    def shown_decimals(self) -> int:
        if self.decimals is not None:
            return self.decimals
        return max(0, 1 - math.floor(math.log10(self.goal))) if self.goal > 0.0 else 3

    def number(self, value: float) -> str:
        """A value with as many decimals as the check shows, without a minus before zero."""
        text = f"{value:.{self.shown_decimals}f}"
        return text.removeprefix("-") if float(text) == 0.0 else text.replace("-", "−")

    @property
    def published_text(self) -> str:
        if self.low is None and self.high is None:
            assert self.published is not None
            return self.number(self.published)
        if self.high is None:
            assert self.low is not None
            return f"at least {self.number(self.low)}"
        if self.low is None:
            return f"at most {self.number(self.high)}"
        return f"{self.number(self.low)} to {self.number(self.high)}"


@dataclass(frozen=True)
class Table:
    """A table of its own: a sentence above it, a header, rows of text."""

    title: str
    header: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]


@dataclass(frozen=True)
class Page:
    """A page of the validation.

    ``slug`` is the section's name with hyphens; ``text`` is Markdown that says what is compared and how the
    model's figures were made; ``figures`` are drawn with ``drawing.py``, by the words that stand under them.
    """

    slug: str
    title: str
    text: str
    checks: list[Check] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    figures: dict[str, Figure] = field(default_factory=dict)

    @property
    def misses(self) -> list[Check]:
        return [check for check in self.checks if not check.met]

    @property
    def unexplained(self) -> list[Check]:
        return [check for check in self.misses if not check.why]

    @property
    def outdated_reasons(self) -> list[str]:
        """Reasons of misses that are clearly none any more: every figure they are given for is within half its goal."""
        furthest: dict[str, float] = {}
        for check in self.checks:
            share = abs(check.residual) / max(check.goal, 1e-12)
            furthest[check.why] = max(furthest.get(check.why, 0.0), share)
        return [why for why, share in furthest.items() if why and share <= 0.5]
