"""Pictures measured: their texts, and colours as other eyes see them; designed tests for their cards."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path += [str(HERE), str(HERE.parent / "assessment")]
