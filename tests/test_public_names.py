"""The library's front door: every public name is there, typed once, and loaded late."""

from __future__ import annotations

import subprocess
import sys

import pytest

import rangework


def test_every_public_name_is_there() -> None:
    assert all(hasattr(rangework, name) for name in rangework.__all__)
    assert set(rangework.__all__) == set(dir(rangework))


def test_unknown_name() -> None:
    with pytest.raises(AttributeError, match="no attribute 'swing'"):
        _ = rangework.swing


def test_importing_the_package_loads_nothing_heavy() -> None:
    script = "import sys, rangework; print(*[m for m in ('numpy', 'pandas', 'numba') if m in sys.modules])"
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == ""
