"""What the tail carries beside its panels: the band of light between the lamps, and the exhausts' tips."""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Panel, Points
from configurator.drawing.frames import Frame, frame_seen_from
from configurator.drawing.ornaments import Ornament
from configurator.drawing.projection import projection

_TIP_CORNER = 0.45
"""A tip's corner radius as a share of its height."""
_TIP_WALL_MM = 6.0
_MIDDLE = 0.55
"""Share of the half width in which the tail's lower and upper edges are looked for."""
_CARRIERS = ("rear_lip", "rear_bumper")
"""What may stand around a tip, the first that does."""


@lru_cache(maxsize=48)
def tail_ornaments(body: Body) -> dict[str, tuple[Ornament, ...]]:
    """Panel id -> what lies on it at the tail."""
    found: dict[str, list[Ornament]] = {}
    for panel, ornament in (*_light_band(body), *_exhausts(body)):
        found.setdefault(panel, []).append(ornament)
    return {panel: tuple(ornaments) for panel, ornaments in found.items()}


def _light_band(body: Body) -> Iterator[tuple[str, Ornament]]:
    """A band of light across the rear lid from lamp to lamp, where the style has one; its ends lie under the lamps."""
    lamps = [lamp.mesh.vertices for name in ("tail_lamp_left", "tail_lamp_right") if (lamp := body.panels.get(name))]
    lid = body.panels.get("rear_lid")
    if body.face.get("tail_bar") != "between" or lid is None or len(lamps) != 2:
        return
    inner = min(float(np.abs(lamp[:, 1]).min()) for lamp in lamps)
    top = max(float(lamp[np.abs(lamp[:, 1]) < inner + 60, 2].max()) for lamp in lamps)
    lift = frame_seen_from(lid, projection(body, "rear")).lift
    y = np.linspace(-inner - 12, inner + 12, 17)
    for look, upper, lower in (("tail_bed", 12.0, 38.0), ("tail_bright", 21.0, 30.0)):
        yield "rear_lid", Ornament(look, lift(_band(y, -top + upper, -top + lower)), closed=True)


def _band(across: Points, upper: float, lower: float) -> Points:
    edges = [np.stack([across, np.full(len(across), level)], axis=1) for level in (upper, lower)]
    return np.vstack([edges[0], edges[1][::-1]])


def _exhausts(body: Body) -> Iterator[tuple[str, Ornament]]:
    """Tips where the style has them, on the bumper or the diffuser that is there to carry them."""
    bumper, tips = body.panels.get("rear_bumper"), body.face.get("exhausts", ())
    carriers = [panel for name in _CARRIERS if (panel := body.panels.get(name))]
    if bumper is None or not isinstance(tips, tuple):
        return
    frames = [frame_seen_from(panel, projection(body, "rear")) for panel in carriers]
    low, high = _span(carriers, bumper)
    half = float(bumper.mesh.vertices[:, 1].max())
    for across, up, long, tall in tips:
        for side in (-1.0, 1.0):
            middle = (side * across * half, -(low + up * (high - low)))
            frame = next((frame for frame in frames if _holds(frame, middle)), None)
            if frame is not None:
                yield from ((frame.panel.id, ornament) for ornament in _tip(frame, middle, long, tall))


def _span(carriers: list[Panel], bumper: Panel) -> tuple[float, float]:
    """The tail's lower edge near the car's middle and the bumper's upper one, mm."""
    half = float(bumper.mesh.vertices[:, 1].max())
    middles = [panel.mesh.vertices[np.abs(panel.mesh.vertices[:, 1]) < _MIDDLE * half, 2] for panel in carriers]
    return min(float(heights.min()) for heights in middles), max(float(heights.max()) for heights in middles)


def _holds(frame: Frame, place: tuple[float, float]) -> bool:
    """Whether some triangle has the place inside: all three of its corners are passed the same way round it."""
    a, b, c = (frame.flat[frame.triangles[:, corner]] - place for corner in range(3))
    turns = np.stack([p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0] for p, q in ((a, b), (b, c), (c, a))])
    return bool(((turns > 0).all(axis=0) | (turns < 0).all(axis=0)).any())


def _tip(frame: Frame, middle: tuple[float, float], long: float, tall: float) -> Iterator[Ornament]:
    """A bright rounded rim and the dark of the pipe."""
    corner = _TIP_CORNER * tall
    core = shapely.box(-long / 2 + corner, -tall / 2 + corner, long / 2 - corner, tall / 2 - corner)
    for look, radius in (("exhaust_rim", corner), ("exhaust", corner - _TIP_WALL_MM)):
        ring = shapely.get_coordinates(shapely.buffer(core, radius, quad_segs=4).exterior)[:-1]
        yield Ornament(look, frame.lift(ring + np.array(middle)), closed=True)
