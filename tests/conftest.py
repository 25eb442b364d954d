"""Settings of every test: examples that hypothesis makes up are the same in every run, and none is timed."""

from __future__ import annotations

from hypothesis import settings

# two busy cores make any deadline a matter of luck
settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")
