"""JSON results: plain values, unknown as null, whole files or none."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from rangework.cli.results import SCHEMA, write_results
from rangework.errors import InputError
from rangework.estimate import Estimate
from rangework.lie import Lie


def test_results_are_plain_json_under_their_head(tmp_path: Path) -> None:
    path = tmp_path / "worth.json"
    results = {
        "parts": ({"part": "tee.carry", "low": float("nan"), "shots": np.int64(3)},),
        "quantiles": np.array([1.0, np.inf]),
        "estimate": Estimate(1.0, None, 2.0, "m", "data"),
        "lie": Lie.ROUGH,
        "share": np.float64(0.5),
        "holed": np.bool_(True),
        "none": None,
    }
    write_results(path, "worth", results, seed=7, inputs={"records": [Path("demo/shots.csv")]})
    assert json.loads(path.read_text("utf-8")) == {
        "schema": SCHEMA,
        "command": "worth",
        "seed": 7,
        "inputs": {"records": ["demo/shots.csv"]},
        "parts": [{"part": "tee.carry", "low": None, "shots": 3}],
        "quantiles": [1.0, None],
        "estimate": {"value": 1.0, "low": None, "high": 2.0, "unit": "m", "basis": "data"},
        "lie": "rough",
        "share": 0.5,
        "holed": True,
        "none": None,
    }


def test_what_json_does_not_know_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text("old")
    with pytest.raises(TypeError):
        write_results(path, "worth", {"x": object()}, seed=0, inputs={})
    assert [file.name for file in tmp_path.iterdir()] == ["old.json"]
    assert path.read_text() == "old"


def test_a_file_that_cannot_be_written_is_an_input_error(tmp_path: Path) -> None:
    target = tmp_path / "a folder"
    target.mkdir()
    with pytest.raises(InputError, match="a file that can be written"):
        write_results(target, "worth", {}, seed=0, inputs={})
    assert [file.name for file in tmp_path.iterdir()] == ["a folder"]
