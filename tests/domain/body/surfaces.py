"""Panels cut from surfaces whose measures are known in closed form, and the real bodies at a size."""

from collections.abc import Callable

import numpy as np

from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body, EdgeKind, Layer, Loop, Mesh, Panel, Side, Size, Surface
from configurator.domain.body.style import BodyStyle
from configurator.loading.body_styles import load_body_styles

STYLES = load_body_styles()
BODIES = tuple(STYLES)


def a_body(style: str, *, features: frozenset[str] | None = None, fuel_door: Side | None = None, **lengths: float) -> Body:
    """A body at its typical size but for the given lengths, with its usual features unless others are given."""
    chosen = STYLES[style]
    typical = chosen.typical_size
    size = Size(**{name: lengths.get(name, getattr(typical, name)) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")})
    wanted = chosen.usual_features if features is None else features
    return build_body(chosen, size=size, features=wanted, fuel_door=fuel_door or chosen.fuel_door)


def everything(style: BodyStyle) -> frozenset[str]:
    """All features that a body can have at once."""
    return style.possible_features


def a_patch(surface: Callable[[np.ndarray, np.ndarray], np.ndarray], *, columns: int, rows: int, lay: bool = True) -> Panel:
    """A rectangular patch of a surface given over the unit square (u, v) -> (n, 3) mm, as a panel with one ring."""
    u, v = np.meshgrid(np.linspace(0, 1, columns), np.linspace(0, 1, rows))
    vertices = surface(u.ravel(), v.ravel())
    corner = np.arange(columns * rows).reshape(rows, columns)
    lower = np.stack([corner[:-1, :-1], corner[:-1, 1:], corner[1:, :-1]], axis=-1).reshape(-1, 3)
    upper = np.stack([corner[1:, 1:], corner[1:, :-1], corner[:-1, 1:]], axis=-1).reshape(-1, 3)
    ring = np.concatenate([corner[0, :-1], corner[:-1, -1], corner[-1, :0:-1], corner[:0:-1, 0]])
    guess = np.stack([u.ravel() * 1000, v.ravel() * 1000], axis=1) if lay else None
    return a_panel(Mesh(vertices, np.concatenate([lower, upper]), guess), ring)


def a_cap(*, radius_mm: float, reach_mm: float, rings: int = 24, around: int = 72) -> Panel:
    """A spherical cap of geodesic radius `reach_mm` about the top of a sphere, laid out by true distance from its middle."""
    distance = np.repeat(np.linspace(0, reach_mm, rings + 1)[1:], around)
    angle = np.tile(np.arange(around) * 2 * np.pi / around, rings)
    polar = distance / radius_mm
    vertices = radius_mm * np.stack([np.sin(polar) * np.cos(angle), np.sin(polar) * np.sin(angle), np.cos(polar)], axis=1)
    lay = np.stack([distance * np.cos(angle), distance * np.sin(angle)], axis=1)
    here = np.arange(around)
    after = (here + 1) % around
    triangles = [np.stack([np.zeros_like(here), 1 + here, 1 + after], axis=1)]
    for ring in range(rings - 1):
        inner, outer = 1 + ring * around, 1 + (ring + 1) * around
        triangles += [
            np.stack([inner + here, outer + here, outer + after], axis=1),
            np.stack([inner + here, outer + after, inner + after], axis=1),
        ]
    mesh = Mesh(np.vstack([[[0, 0, radius_mm]], vertices]), np.vstack(triangles), np.vstack([[[0, 0]], lay]))
    return a_panel(mesh, 1 + (rings - 1) * around + here)


def a_panel(mesh: Mesh, ring: np.ndarray) -> Panel:
    loop = Loop(ring, (EdgeKind.SHUT_LINE,) * len(ring), ("beside",) * len(ring))
    return Panel("patch", Side.CENTRE, Surface.PAINT, Layer.BODY, mesh, (loop,))
