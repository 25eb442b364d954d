"""Pictures measured: their texts, and colours as other eyes see them."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
