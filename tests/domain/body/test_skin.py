"""The skin is one closed surface at any size: panels share their edges, none lies on another, none is turned inside out."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.domain.body.parts import OPENINGS
from configurator.domain.body.records import Body, Layer, Panel
from tests.domain.body.sizes import plausible_bodies
from tests.domain.body.surfaces import BODIES, STYLES, a_body, everything

SOME_BODIES = settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SHUT_GAP_MM = 4.0
"""The gap between two closed panels of a car (common practice, no source)."""
_LIES_ON = ("front_plate", "rear_plate", "windshield_camera")
"""Hangs before or behind a panel and takes nothing from it."""
_LAID_OVER = ("rear_spoiler", *_LIES_ON)


def skin(body: Body) -> list[Panel]:
    """What was cut out of the two charts, so that its edges must meet."""
    return [panel for panel in body.panels.values() if panel.layer in (Layer.BODY, Layer.GLASS, Layer.INSET) and panel.id not in _LIES_ON]


Place = tuple[float, float, float]


def _sides(panel: Panel) -> Iterator[tuple[tuple[Place, Place], str | None]]:
    """Directed edges as pairs of places to a thousandth of a millimetre, and what lies beyond."""
    for loop in panel.loops:
        places = [tuple(place) for place in panel.mesh.vertices[loop.indices].round(3).tolist()]
        yield from zip(pairwise([*places, places[0]]), loop.neighbours, strict=True)


def _facing(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    """Areas (m,) of the triangles, and for each the least cosine between it and the surface's normals at its corners."""
    corners = panel.mesh.vertices[panel.mesh.triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    doubled = np.linalg.norm(across, axis=1)
    assert panel.mesh.normals is not None
    cosine = (panel.mesh.normals[panel.mesh.triangles] * (across / np.maximum(doubled, 1e-9)[:, None])[:, None]).sum(axis=2).min(axis=1)
    return doubled / 2, cosine


@pytest.mark.parametrize("name", BODIES)
@given(data=st.data())
@SOME_BODIES
def test_neighbours_share_every_edge(name: str, data: st.DataObject) -> None:
    """Each stretch of a panel's edge is one neighbour's edge run the other way; only openings and what stands on the skin are beyond."""
    body = data.draw(plausible_bodies(STYLES[name]))
    panels = skin(body)
    cut_out = {panel.id for panel in panels}
    owners: dict[tuple[Place, Place], str] = {}
    for panel in panels:
        for side, _ in _sides(panel):
            assert side not in owners, (panel.id, owners[side])
            owners[side] = panel.id
    for panel in panels:
        for (start, end), beyond in _sides(panel):
            across = owners.get((end, start))
            if beyond is None or beyond in OPENINGS or beyond not in cut_out:
                assert across is None, (panel.id, beyond, across)
            else:
                assert across == beyond, panel.id


@pytest.mark.parametrize("style", BODIES)
def test_every_triangle_faces_outward(style: str) -> None:
    for features in (frozenset(), STYLES[style].usual_features, everything(STYLES[style])):
        for panel in a_body(style, features=features).panels.values():
            if panel.mesh.normals is not None:
                assert _facing(panel)[1].min() > 0, panel.id


@pytest.mark.parametrize("name", BODIES)
@given(data=st.data())
@SOME_BODIES
def test_nothing_folds_over_at_any_size(name: str, data: st.DataObject) -> None:
    """But for a sliver of less than 4 cm2, where at some sizes a tailgate's gap runs out at the very corner of the roof."""
    for panel in skin(data.draw(plausible_bodies(STYLES[name]))):
        areas, cosine = _facing(panel)
        assert areas[cosine <= 0].sum() < 400, panel.id


@pytest.mark.parametrize("style", BODIES)
def test_what_stands_on_the_skin_fills_its_hole(style: str) -> None:
    """Handles, badges, jets, antenna: their rim runs along the rim of the hole, no further from it than a shut line is wide."""
    body = a_body(style, features=everything(STYLES[style]))
    for panel in body.panels.values():
        if panel.layer is not Layer.FITTING or panel.id in _LAID_OVER or panel.id.startswith(("mirror_foot", "roof_rail")):
            continue
        host = body.panels[str(panel.loops[0].neighbours[0])]
        hole = _edge_points(host, panel.id)
        rim = _edge_points(panel, host.id)
        assert len(hole), panel.id
        assert max(_farthest(hole, rim), _farthest(rim, hole)) < SHUT_GAP_MM, panel.id


def _edge_points(panel: Panel, neighbour: str) -> np.ndarray:
    """(n, 3) points along the edges of a panel that meet a neighbour, no further apart than 2 mm."""
    found = []
    for loop in panel.loops:
        ring = panel.mesh.vertices[loop.indices]
        for start, end, beyond in zip(ring, np.roll(ring, -1, axis=0), loop.neighbours, strict=True):
            if beyond == neighbour:
                steps = np.linspace(0, 1, max(2, int(np.linalg.norm(end - start) / 2)))[:, None]
                found.append(start + steps * (end - start))
    return np.vstack(found) if found else np.zeros((0, 3))


def _farthest(points: np.ndarray, others: np.ndarray) -> float:
    return float(np.sqrt(((points[:, None] - others[None]) ** 2).sum(axis=2).min(axis=1)).max())


@pytest.mark.parametrize("name", BODIES)
@given(data=st.data())
@SOME_BODIES
def test_no_panel_runs_across_itself_in_its_own_plane(name: str, data: st.DataObject) -> None:
    """In the chart that it was cut from every panel's edge is a simple ring: laid flat it can be cut out."""
    for panel in skin(data.draw(plausible_bodies(STYLES[name]))):
        if panel.mesh.lay is not None and panel.id != "rear_lid":
            for loop in panel.loops:
                assert shapely.LinearRing(panel.mesh.lay[loop.indices]).is_valid, panel.id


@pytest.mark.parametrize("name", BODIES)
@given(data=st.data())
@SOME_BODIES
def test_left_is_right_turned_over(name: str, data: st.DataObject) -> None:
    """Vertex by vertex, but for the panel that the fuel door is cut from."""
    body = data.draw(plausible_bodies(STYLES[name]))
    pairs = [(panel, body.panels[f"{panel.id[:-5]}_right"]) for panel in body.panels.values() if panel.id.endswith("_left")]
    differing = [left.id for left, right in pairs if not _is_mirror_image(left, right)]

    assert len(pairs) > 15
    assert differing in ([], *([f"{host}_left"] for host in ("quarter", "bed_side", "fender", "door_front")))


def _is_mirror_image(left: Panel, right: Panel) -> bool:
    if len(left.mesh.vertices) != len(right.mesh.vertices):
        return False
    return bool((left.mesh.vertices == right.mesh.vertices * [1.0, -1.0, 1.0]).all())


@pytest.mark.parametrize("style", BODIES)
def test_mirrors_stand_on_the_front_doors(style: str) -> None:
    """Nothing else makes room for their feet: no glass, no seal."""
    body = a_body(style, features=everything(STYLES[style]))
    beside = {panel.id for panel in skin(body) for loop in panel.loops if "mirror_right" in loop.neighbours}

    assert beside == {"door_front_right"}
