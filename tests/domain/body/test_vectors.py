"""Column-wise products against numpy's own."""

import numpy as np
import pytest

from configurator.domain.body.sides import compact
from configurator.domain.body.vectors import cross, dot, lengths, unit

_RANDOM = np.random.default_rng(7)


@pytest.mark.parametrize("width", [2, 3])
def test_products_and_lengths_are_numpys(width: int) -> None:
    a, b = _RANDOM.normal(size=(2, 50, width))
    np.testing.assert_allclose(dot(a, b), (a * b).sum(axis=1), rtol=1e-12)
    np.testing.assert_allclose(dot(a, b[:1]), a @ b[0], rtol=1e-12)
    np.testing.assert_allclose(lengths(a), np.linalg.norm(a, axis=1), rtol=1e-12)


def test_vector_products_are_numpys() -> None:
    a, b = _RANDOM.normal(size=(2, 50, 3))
    np.testing.assert_allclose(cross(a, b), np.cross(a, b), rtol=1e-12)


def test_unit_rows_are_as_long_as_one_and_nothing_stays_nothing() -> None:
    rows = np.vstack([_RANDOM.normal(size=(5, 3)), np.zeros((1, 3))])
    np.testing.assert_allclose(np.linalg.norm(unit(rows), axis=1), [1, 1, 1, 1, 1, 0], rtol=1e-12)


def test_compact_numbers_only_the_vertices_in_use() -> None:
    used, triangles = compact(np.array([[7, 2, 9], [2, 4, 9]]), 12)
    assert used.tolist() == [2, 4, 7, 9]
    assert used[triangles].tolist() == [[7, 2, 9], [2, 4, 9]]
