"""Cells are written only where a ring of nodes brings news, and cost the same as if all near ones were written."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.play import kernels
from rangework.play.kernels import Nodes
from rangework.play.strategy import Strategy, narrowed

FloatArray = NDArray[np.float64]


def swept(nodes: Nodes, active: NDArray[np.bool_], size: int, *, rings_back: int | None) -> FloatArray:
    """Costs after two sweeps of new values, by lists of news or by writing so many rings and those before them."""
    rng = np.random.default_rng(4)
    value, cost = np.ones(len(nodes.x)), np.ones((1, size))
    for _ in range(2):
        for ring in range(len(nodes.ring_start) - 1):
            of_ring = slice(nodes.ring_start[ring], nodes.ring_start[ring + 1])
            fresh = rng.uniform(2.0, 5.0, len(value[of_ring]))
            value[of_ring] = np.where(active[of_ring], fresh, value[of_ring])
            if rings_back is None:
                kernels.fill_ring(nodes, value, ring, cost)
            else:
                first = nodes.cell_ring_start[max(ring - rings_back, 0)]
                kernels.fill_cells(nodes, value, first, nodes.cell_ring_start[ring + 1], cost)
    return cost


@pytest.mark.parametrize("share", [1.0, 0.3])
def test_lists_of_news_are_enough(three_holes: list[Strategy], share: float) -> None:
    for strategy in three_holes:
        active = np.random.default_rng(3).random(len(strategy.value)) < share
        nodes, size = narrowed(strategy, active).layout.nodes, strategy.cost.size
        by_news = swept(nodes, active, size, rings_back=None)
        assert np.array_equal(by_news, swept(nodes, active, size, rings_back=2))
        assert not np.array_equal(by_news, swept(nodes, active, size, rings_back=0))


def test_lists_are_shorter_than_three_rings_each_time(three_holes: list[Strategy]) -> None:
    for strategy in three_holes:
        nodes = strategy.layout.nodes
        assert len(nodes.cell_order) < len(nodes.fill_order) < 2.2 * len(nodes.cell_order)
