"""Painted stripes run on from panel to panel in every view, and where there is no paint there are none."""

import numpy as np
import pytest
import shapely

from configurator.domain.body.records import Body
from configurator.domain.finish_bands import stripe_centres_mm
from configurator.domain.selection import Stripes
from configurator.drawing.film import FilmLayers
from configurator.drawing.scene import scene
from tests.drawing.cars import STYLES, body_of
from tests.drawing.path_reading import points_of

TWO = Stripes(count=2, width_mm=240, gap_mm=110, offset_mm=0, finish="matte", border=None)
_STRAY_MM = 5.0
_JOINT_MM = 30.0
"""A shut line with its shaded edges, or the step from a lid up to the spoiler on it."""


def striped(body: Body, view: str) -> dict[str, shapely.Geometry]:
    """Panel -> the area of its stripes as drawn."""
    drawn = scene(body, view)
    layers = FilmLayers(drawn, {}, TWO, "t-", lambda name, element: name, interactive=False)
    areas: dict[str, list[shapely.Geometry]] = {}
    for shape in drawn.shapes:
        for mark in layers.stripes_on(shape.panel.id):
            areas.setdefault(shape.panel.id, []).extend(
                shapely.Polygon(ring).buffer(0) for ring in points_of(mark.attribs["d"]) if len(ring) > 3
            )
    return {panel: shapely.union_all(found) for panel, found in areas.items()}


@pytest.mark.parametrize("view", ["front", "top", "rear"])
@pytest.mark.parametrize("style", STYLES)
def test_stripes_lie_between_their_two_planes(style: str, view: str) -> None:
    """Looked at along the car or from above a stripe is as broad as it was ordered, wherever it shows."""
    axis = 1 if view == "top" else 0
    for panel, area in striped(body_of(style), view).items():
        points = shapely.get_coordinates(area)[:, axis]
        within = [np.abs(points - centre) <= TWO.width_mm / 2 + _STRAY_MM for centre in (*stripe_centres_mm(TWO),)]
        assert np.logical_or(*within).all(), panel


@pytest.mark.parametrize("style", STYLES)
def test_stripes_run_on_from_the_bumper_to_the_tail_but_for_glass_and_gaps(style: str) -> None:
    """In the plan, down the middle of a stripe: paint without a stripe nowhere, but for fittings and shut lines."""
    body = body_of(style)
    stripes = shapely.union_all(list(striped(body, "top").values()))
    drawn = scene(body, "top")
    bare = shapely.union_all(
        [shape.region for shape in drawn.shapes if str(shape.panel.surface) != "paint" or str(shape.panel.layer) in ("inset", "zone")]
    )
    middle = shapely.LineString([(drawn.reach[0], stripe_centres_mm(TWO)[0]), (drawn.reach[1], stripe_centres_mm(TWO)[0])])
    left = middle.intersection(drawn.silhouette).difference(stripes).difference(bare.buffer(1))

    assert all(part.length < _JOINT_MM for part in shapely.get_parts(left)), [part.wkt for part in shapely.get_parts(left)]


def test_a_fabric_roof_has_no_stripes_and_a_steel_one_has() -> None:
    assert "roof" not in striped(body_of("convertible"), "top")
    assert "roof" in striped(body_of("sedan"), "top")


def test_a_spoiler_carries_on_the_lids_stripes() -> None:
    assert "rear_spoiler" in striped(body_of("hatchback"), "top")
