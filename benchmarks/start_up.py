"""What `rangework --help` loads and how long it takes.

Run: python benchmarks/start_up.py. Best of 7 whole processes, beside an interpreter that does nothing. Goal: neither
numpy, pandas nor numba is loaded.
"""

from __future__ import annotations

import subprocess
import sys

from demo_course import best_seconds

HEAVY = ("numpy", "pandas", "numba", "scipy", "shapely", "pulp")
_PROGRAM = """
import sys
from rangework.cli.main import main
sys.argv = ["rangework", "--help"]
try:
    main()
except SystemExit:
    pass
print("loaded:", *(name for name in {heavy!r} if name in sys.modules), file=sys.stderr)
"""


def run(program: str) -> str:
    return subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stderr


def main() -> None:
    program = _PROGRAM.format(heavy=HEAVY)
    idle, help_page = best_seconds([lambda: run("pass"), lambda: run(program)])
    print(f"python alone {idle * 1e3:.0f} ms, rangework --help {help_page * 1e3:.0f} ms")
    print(run(program).strip(), "(goal: none)")


if __name__ == "__main__":
    main()
