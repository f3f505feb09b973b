"""Panels of known shape: a sphere and a flat plate, for outlines with a closed form."""

import numpy as np

from configurator.domain.body.records import EdgeKind, Layer, Loop, Mesh, Panel, Side, Surface


def a_sphere(radius: float, *, middle: tuple[float, float, float] = (2000.0, 0.0, 700.0), rings: int = 40) -> Panel:
    """A closed sphere, triangles turned outward."""
    polar = np.linspace(0, np.pi, rings + 1)[1:-1]
    around = np.linspace(0, 2 * np.pi, 2 * rings + 1)[:-1]
    ring = np.stack(
        [np.outer(np.sin(polar), np.cos(around)), np.outer(np.sin(polar), np.sin(around)), np.outer(np.cos(polar), np.ones_like(around))],
        -1,
    )
    points = np.vstack([[[0.0, 0.0, 1.0]], ring.reshape(-1, 3), [[0.0, 0.0, -1.0]]])
    count = len(around)
    here = np.arange(count)
    after = (here + 1) % count
    triangles = [np.stack([np.zeros_like(here), 1 + here, 1 + after], axis=1)]
    for row in range(len(polar) - 1):
        upper, lower = 1 + row * count, 1 + (row + 1) * count
        triangles.append(np.stack([upper + here, lower + here, lower + after], axis=1))
        triangles.append(np.stack([upper + here, lower + after, upper + after], axis=1))
    last = 1 + (len(polar) - 1) * count
    triangles.append(np.stack([last + here, np.full(count, len(points) - 1), last + after], axis=1))
    mesh = Mesh(radius * points + np.array(middle), np.vstack(triangles))
    return Panel("sphere", Side.CENTRE, Surface.PAINT, Layer.BODY, mesh, ())


def a_plate(corners: list[tuple[float, float, float]], id: str = "plate") -> Panel:
    """A flat plate of corners in turn, seen from the side from which they run counter-clockwise."""
    points = np.array(corners, dtype=float)
    triangles = np.array([[0, place, place + 1] for place in range(1, len(points) - 1)])
    loop = Loop(np.arange(len(points)), (EdgeKind.SHUT_LINE,) * len(points), (None,) * len(points))
    return Panel(id, Side.CENTRE, Surface.PAINT, Layer.BODY, Mesh(points, triangles), (loop,))
