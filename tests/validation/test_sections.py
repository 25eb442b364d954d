"""The fast subset of ``python tests/validation``: goals are met, but for the misses that are named with a reason."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from comparison import MEMORY, VERIFIED, Check, Effort, Page
from pages import CHECKS_FILE, INDEX_FILE, checks_of, index_text, page_text, write_index, write_page
from sections import SECTIONS, Section

DOCS = Path(__file__).parents[2] / "docs" / "explanation" / "validation"


def marked(section: Section) -> Any:
    return pytest.param(section, id=section.slug, marks=[pytest.mark.slow] if section.slow else [])


@pytest.mark.parametrize("section", [marked(section) for section in SECTIONS])
def test_goals_are_met_or_their_misses_named(section: Section) -> None:
    page = section.page(Effort(quick=True))
    assert page.checks or page.tables
    assert not [f"{check.what}: off by {check.residual:.4g}" for check in page.unexplained]
    assert page_text(page)


def check(**given: Any) -> Check:
    usual: dict[str, Any] = {
        "what": "greens", "published": 0.6, "model": 0.65, "goal": 0.02, "unit": "", "source": "A book",
        "status": MEMORY,
    }  # fmt: skip
    return Check(**{**usual, **given})


def test_residual_and_goal() -> None:
    assert check().residual == pytest.approx(0.05)
    assert not check().met
    assert check(model=0.62).met
    assert check(model=0.62).published_text == "0.600"


@pytest.mark.parametrize(
    ("bounds", "model", "residual", "text"),
    [
        ((2.0, 5.0), 3.0, 0.0, "2.000 to 5.000"),
        ((2.0, 5.0), 6.0, 1.0, "2.000 to 5.000"),
        ((2.0, None), 1.5, -0.5, "at least 2.000"),
        ((2.0, None), 9.0, 0.0, "at least 2.000"),
        ((None, 5.0), 4.0, 0.0, "at most 5.000"),
    ],
)
def test_published_ranges(bounds: tuple[float | None, ...], model: float, residual: float, text: str) -> None:
    found = check(published=None, low=bounds[0], high=bounds[1], model=model)
    assert found.residual == pytest.approx(residual)
    assert found.published_text == text


def test_a_check_needs_something_published() -> None:
    with pytest.raises(ValueError, match="no published figure"):
        check(published=None)


def test_a_reason_outlives_its_miss_only_so_far() -> None:
    once, nearly = check(model=0.609, why="Once a miss."), check(model=0.615, why="Nearly a miss.")
    assert Page("one", "First", "", [once, nearly]).outdated_reasons == ["Once a miss."]
    assert not Page("one", "First", "", [once, check(why="Once a miss.")]).outdated_reasons


def test_the_index_names_every_miss_with_its_reason(tmp_path: Path) -> None:
    missed = check(what="greens of scratch", why="Greens are of one size.")
    met = check(what="fairways", model=0.6, status=VERIFIED)
    write_index([Page("averages", "Averages", "", [missed, met])], ["averages"], tmp_path)
    text = (tmp_path / INDEX_FILE).read_text("utf-8")
    assert "- greens of scratch: +0.050 (goal 0.020). Greens are of one size." in text
    assert "fairways" not in text
    assert "from memory" in page_text(Page("averages", "Averages", "", [missed]))


def test_a_part_made_anew_leaves_the_rest_of_the_index(tmp_path: Path) -> None:
    order = ["one", "two"]
    write_index([Page("one", "First", "", [check()]), Page("two", "Second", "", [check()])], order, tmp_path)
    before = (tmp_path / INDEX_FILE).read_text("utf-8")
    write_index([Page("two", "Second", "", [check()])], order, tmp_path)
    assert (tmp_path / INDEX_FILE).read_text("utf-8") == before


def test_equal_figures_give_equal_files(tmp_path: Path) -> None:
    from drawing import panels

    def drawn(folder: Path) -> list[bytes]:
        figure, axes = panels()
        axes.plot([1, 2], [3, 4], marker="o")
        write_page(Page("one", "First", "Text.", [check()], figures={"A line": figure}), folder)
        return [file.read_bytes() for file in sorted(folder.iterdir())]

    assert drawn(tmp_path / "a") == drawn(tmp_path / "b")


def test_the_written_index_is_that_of_the_written_checks() -> None:
    records = json.loads((DOCS / CHECKS_FILE).read_text("utf-8"))
    for slug, record in records.items():
        page = Page(slug, record["title"], "", checks_of(record))
        assert not [check.what for check in page.unexplained]
        assert not page.outdated_reasons, "no longer misses: take their reasons out"
    assert (DOCS / INDEX_FILE).read_text("utf-8") == index_text(records)
    assert list(records) == [section.slug for section in SECTIONS]
    assert all((DOCS / name).exists() for record in records.values() for name in record["figures"])
