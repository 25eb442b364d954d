"""Sections of the validation, in the order of the pages.

Each is a module of this folder with ``page(effort: Effort) -> Page``, whose slug is the module's name with
hyphens. To add one, put its name into ``SECTIONS``.
"""

from __future__ import annotations

import importlib
from typing import NamedTuple

from comparison import Effort, Page


class Section(NamedTuple):
    """A section; ``slow`` if it takes more than about five seconds when quick."""

    name: str
    slow: bool = False

    @property
    def slug(self) -> str:
        return self.name.replace("_", "-")

    def page(self, effort: Effort) -> Page:
        module = importlib.import_module(f"sections.{self.name}")
        page: Page = module.page(effort)
        assert page.slug == self.slug, f"{page.slug} is made by sections/{self.name}.py"
        return page


SECTIONS = (
    Section("averages", slow=True),
    Section("proximity", slow=True),
    Section("gap_shares", slow=True),
    Section("score_differences", slow=True),
    Section("longer_drives", slow=True),
    Section("accuracy_areas", slow=True),
    Section("expected_strokes", slow=True),
    Section("putting"),
    Section("putts_made"),
    Section("green_speed"),
    Section("handicap"),
    Section("ranking", slow=True),
    Section("sampler", slow=True),
    Section("posterior", slow=True),
    Section("misspecification", slow=True),
)
