"""Roof rails: a bar swept along the roof, its ends run out to nothing."""

import numpy as np

from configurator.domain.body.charts import Charts
from configurator.domain.body.panels import Half
from configurator.domain.body.records import Indices
from configurator.domain.body.sides import outline
from configurator.domain.body.style import TopPatch

_STATION_MM = 70.0
_RUN_OUT_MM = 110.0
_ACROSS = (0.0, 0.18, 0.82, 1.0)
_UP = (0.0, 1.0, 1.0, 0.0)
"""The bar's section: shares of its width and of its height."""


def rail_half(patch: TopPatch, charts: Charts) -> Half:
    """The right-hand rail over its footprint in the roof."""
    x_from, x_to = float(charts.scaling.x(patch.x_from_mm)), float(charts.scaling.x(patch.x_to_mm))
    stations = np.linspace(x_from, x_to, max(8, int((x_to - x_from) / _STATION_MM)))
    ends = np.sort(np.concatenate([stations, [x_from + _RUN_OUT_MM, x_to - _RUN_OUT_MM]]))
    height = patch.raised_mm * np.clip(np.minimum(ends - x_from, x_to - ends) / _RUN_OUT_MM, 0.0, 1.0)
    share = patch.share_from + (patch.share_to - patch.share_from) * np.array(_ACROSS)
    x = np.repeat(ends, len(_ACROSS))
    y = np.tile(share, len(ends)) * charts.top.half_width(x)
    vertices = charts.top.lift(x, y, np.repeat(height, len(_ACROSS)) * np.tile(_UP, len(ends)))
    triangles = _bands(len(ends), len(_ACROSS))
    ends = outline(triangles, len(vertices))
    return Half(vertices, np.stack([x, y], axis=1), triangles, ends, ("roof",) * len(ends), folded=True)


def _bands(rows: int, columns: int) -> Indices:
    """Triangles of a grid of rows x columns points, seen from above counter-clockwise (rows run rearward, columns outward)."""
    here = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)).ravel()
    after = here + columns
    return np.vstack([np.stack([here, after, after + 1], axis=1), np.stack([here, after + 1, here + 1], axis=1)])
