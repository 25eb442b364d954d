"""Holes drawn by cells, on a coarse lattice, and golfers to aim on them."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "play"))
sys.path.append(str(Path(__file__).parent))
