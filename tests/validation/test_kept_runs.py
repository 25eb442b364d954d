"""Long runs are kept, and read back only when asked for."""

from pathlib import Path

import pytest
from comparison import Effort
from kept_runs import run_or_kept


def test_a_full_run_is_kept_and_read_back_with_its_day(tmp_path: Path) -> None:
    made = run_or_kept("one", Effort(), lambda: [1, 2], tmp_path)
    kept = run_or_kept("one", Effort(kept=True), lambda: [3], tmp_path)
    assert kept == made
    assert kept.found == [1, 2]
    assert run_or_kept("one", Effort(), lambda: [3], tmp_path).found == [3]


def test_a_quick_run_is_not_kept(tmp_path: Path) -> None:
    assert run_or_kept("one", Effort(quick=True), lambda: 1, tmp_path).found == 1
    with pytest.raises(FileNotFoundError):
        run_or_kept("one", Effort(kept=True), lambda: 1, tmp_path)
