"""A panel that can't be cut as one piece: a strip round a saddle has more than a full turn of surface about its middle."""

import numpy as np
import pytest

from configurator.domain.body.measure import surface_area_mm2
from configurator.domain.body.records import EdgeKind, Panel
from configurator.domain.film_plan.sections import FOLDED, flat_sections
from tests.domain.body.surfaces import a_patch


def _nothing_past_the_edge(kind: EdgeKind, beyond: str | None) -> float:
    return 0.0


def _open_ring(height_mm: float, waves: int = 2) -> Panel:
    """A strip from 700 to 1000 mm about the middle of z = height r^2 cos(waves phi), open at one place by 6 degrees."""

    def surface(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        around, away = np.radians(3 + 354 * u), 700 + 300 * v
        rise = height_mm * (away / 1000) ** 2 * np.cos(waves * around)
        return np.stack([away * np.cos(around), away * np.sin(around), rise], axis=1)

    return a_patch(surface, columns=73, rows=7)


def test_a_level_ring_lies_flat_in_one_part() -> None:
    (whole,) = flat_sections(_open_ring(0.0), _nothing_past_the_edge)

    assert whole.overlap_share <= FOLDED


def test_a_ring_round_a_saddle_is_parted_and_both_parts_lie_flat() -> None:
    """Gauss and Bonnet: with negative curvature inside, a ring turns by more than 360 degrees when it is laid flat, so its ends overlap."""
    panel = _open_ring(400.0)
    parts = flat_sections(panel, _nothing_past_the_edge)

    assert len(parts) == 2
    assert all(part.overlap_share <= FOLDED for part in parts)
    true = surface_area_mm2(panel.mesh.vertices, panel.mesh.triangles)
    assert sum(float(part.outline.area) for part in parts) == pytest.approx(true, rel=1e-3)
