"""A folder is there whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from rangework.errors import InputError
from rangework.store.whole_folder import whole_folder


def test_a_folder_is_there_once_all_is_written(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "pages"
    with whole_folder(folder) as part:
        (part / "one.txt").write_text("1")
        assert not folder.exists()
    assert [file.name for file in folder.iterdir()] == ["one.txt"]
    assert list(folder.parent.iterdir()) == [folder]


def write_and_fail(folder: Path) -> None:
    with whole_folder(folder) as part:
        (part / "one.txt").write_text("1")
        raise ValueError("midway")


def test_a_failure_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="midway"):
        write_and_fail(tmp_path / "pages")
    assert not list(tmp_path.iterdir())


def test_what_cannot_be_written_is_told_with_the_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputError) as fault, whole_folder(tmp_path / "file" / "pages"):
        pass
    assert str(tmp_path / "file" / "pages") in str(fault.value)
