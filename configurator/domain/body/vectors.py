"""Products and lengths of many short vectors, one a row (n, 2) or (n, 3).

Worked out by columns: numpy's own `norm`, `cross` and sums along rows walk each short row by itself and take several times as long.
"""

import numpy as np

from configurator.domain.body.records import Points


def dot(a: Points, b: Points) -> Points:
    """(n,) scalar products of rows; either may be a single row (1, k)."""
    plane = a[:, 0] * b[:, 0] + a[:, 1] * b[:, 1]
    return np.asarray(plane if a.shape[1] == 2 else plane + a[:, 2] * b[:, 2])


def lengths(vectors: Points) -> Points:
    """(n,) lengths of rows."""
    return np.asarray(np.sqrt(dot(vectors, vectors)))


def unit(vectors: Points, *, least: float = 1e-9) -> Points:
    """Rows made as long as 1; one shorter than `least` is only divided by that."""
    return np.asarray(vectors / np.maximum(lengths(vectors), least)[:, None])


def cross(a: Points, b: Points) -> Points:
    """(n, 3) vector products of rows (n, 3)."""
    (ax, ay, az), (bx, by, bz) = a.T, b.T
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=1)
