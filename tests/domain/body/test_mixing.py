"""Anderson's mixing on maps whose fixed point is known."""

import numpy as np
import pytest

from configurator.domain.body.mixing import Mixing


def _steps(matrix: np.ndarray, shift: np.ndarray, *, depth: int, least: float = 1e-9) -> tuple[np.ndarray, int]:
    """Where x -> matrix x + shift comes to rest, and after how many applications."""
    mixing, point = Mixing(depth), np.zeros(len(shift))
    for step in range(1, 2000):
        image = matrix @ point + shift
        if np.abs(image - point).max() < least:
            return image, step
        point = mixing.next(point, image)
    raise AssertionError("no rest in 2000 steps")


def test_a_linear_map_comes_to_rest_in_as_many_steps_as_it_has_dimensions() -> None:
    """With as many steps back as dimensions mixing is Krylov's method in exact arithmetic (Walker and Ni 2011; from memory)."""
    matrix = np.diag([0.99, 0.95, 0.8, 0.5, 0.2])
    shift = np.array([1.0, -2.0, 3.0, 1.0, 0.5])

    point, steps = _steps(matrix, shift, depth=5, least=1e-6)

    assert point == pytest.approx(np.linalg.solve(np.eye(5) - matrix, shift), rel=1e-4)
    assert steps <= 9


def test_few_steps_back_save_many_applications() -> None:
    generator = np.random.default_rng(3)
    basis, _ = np.linalg.qr(generator.normal(size=(60, 60)))
    matrix = basis @ np.diag(np.linspace(0.0, 0.995, 60)) @ basis.T
    shift = generator.normal(size=60)

    point, steps = _steps(matrix, shift, depth=10)

    assert point == pytest.approx(np.linalg.solve(np.eye(60) - matrix, shift), rel=1e-5)
    applied_alone = np.log(1e-9) / np.log(0.995)
    assert steps < 0.1 * applied_alone


def test_the_first_step_is_the_map_itself() -> None:
    image = np.array([3.0, 4.0])

    assert np.array_equal(Mixing(4).next(np.zeros(2), image), image)
