"""Both solvers against the matrix of the same system, built side by side."""

import numpy as np
import pytest

from configurator.domain.body.laplacian import DenseLaplacian, LayeredLaplacian

SOLVERS = (DenseLaplacian, LayeredLaplacian)


def grid(columns: int, rows: int) -> tuple[int, np.ndarray]:
    """A grid of points, each square cut in two triangles."""
    corner = np.arange(columns * rows).reshape(rows, columns)
    lower = np.stack([corner[:-1, :-1], corner[:-1, 1:], corner[1:, :-1]], axis=-1).reshape(-1, 3)
    upper = np.stack([corner[1:, 1:], corner[1:, :-1], corner[:-1, 1:]], axis=-1).reshape(-1, 3)
    return columns * rows, np.concatenate([lower, upper])


def dense(count: int, triangles: np.ndarray, weights: np.ndarray) -> np.ndarray:
    matrix = np.eye(count) * 1e-9
    matrix[0, 0] += 1.0
    for triangle, sides in zip(triangles, weights, strict=True):
        for (a, b), w in zip(((0, 1), (1, 2), (2, 0)), sides, strict=True):
            i, j = triangle[a], triangle[b]
            matrix[i, i] += w
            matrix[j, j] += w
            matrix[i, j] -= w
            matrix[j, i] -= w
    return matrix


@pytest.mark.parametrize("solver", SOLVERS)
@pytest.mark.parametrize(("columns", "rows"), [(2, 2), (9, 3), (3, 9), (12, 12)])
def test_what_is_solved_is_what_the_matrix_says(columns: int, rows: int, solver: type[DenseLaplacian | LayeredLaplacian]) -> None:
    count, triangles = grid(columns, rows)
    random = np.random.default_rng(columns * 100 + rows)
    weights = random.uniform(0.1, 2.0, triangles.shape)
    right = random.normal(size=(count, 2))

    solved = solver(count, triangles, weights).solve(right)

    np.testing.assert_allclose(dense(count, triangles, weights) @ solved, right, atol=1e-8)


@pytest.mark.parametrize("solver", SOLVERS)
def test_two_pieces_without_a_common_point_are_both_solved(solver: type[DenseLaplacian | LayeredLaplacian]) -> None:
    count, triangles = grid(4, 4)
    both = np.concatenate([triangles, triangles + count])
    weights = np.ones(both.shape)
    right = np.random.default_rng(7).normal(size=(2 * count, 2))
    right[count:] -= right[count:].mean(axis=0)

    solved = solver(2 * count, both, weights).solve(right)

    np.testing.assert_allclose(dense(2 * count, both, weights) @ solved, right, atol=1e-5)
