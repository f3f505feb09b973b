"""A chart cut into labelled faces: all of it, once, by the first claim."""

import numpy as np
import pytest
import shapely

from configurator.domain.body.partition import TOP_GRID_MM, Claim, Faces, Rules, partition

REGION = shapely.box(0, 0, 1000, 500)
RULES = Rules("rest", TOP_GRID_MM, frozenset({"lamp"}))


def _areas(faces: Faces) -> dict[str, float]:
    found: dict[str, float] = {}
    for face, label in zip(faces.polygons, faces.labels, strict=True):
        found[label] = found.get(label, 0.0) + face.area
    return found


def test_every_mm2_has_one_label_and_neighbours_share_their_edges() -> None:
    cut = shapely.LineString([(400, -50), (430, 200), (380, 600)])
    lamp = shapely.Point(700, 250).buffer(80)
    claims = [Claim("lamp", lamp), Claim("front", shapely.Polygon([(0, 0), *cut.coords, (0, 500)]).buffer(0))]
    faces = partition(REGION, [cut, lamp.exterior], claims, RULES)

    assert sum(_areas(faces).values()) == pytest.approx(REGION.area)
    assert set(faces.labels) == {"lamp", "front", "rest"}
    assert shapely.coverage_is_valid(faces.polygons)


def test_the_first_claim_wins() -> None:
    left = shapely.box(0, 0, 500, 500)
    claims = [Claim("small", shapely.box(0, 0, 250, 500)), Claim("large", left)]
    lines = [shapely.LineString([(x, -1), (x, 501)]) for x in (250, 500)]

    assert _areas(partition(REGION, lines, claims, RULES)) == {"small": 125_000, "large": 125_000, "rest": 250_000}


def test_a_severed_piece_goes_to_the_panel_beside_it_and_not_to_an_inset() -> None:
    """A lamp right across a panel cuts off its end: the end joins the next panel, though its edge with the lamp is longer."""
    lamp = shapely.box(300, 0, 400, 500)
    tip = shapely.box(0, 0, 300, 500)
    claims = [Claim("lamp", lamp), Claim("nose", shapely.box(0, 0, 300, 100)), Claim("panel", shapely.box(0, 0, 1000, 500))]
    lines = [lamp.exterior, tip.exterior, shapely.LineString([(0, 100), (300, 100)])]
    areas = _areas(partition(REGION, lines, claims, RULES))

    assert areas == {"lamp": 50_000, "nose": 150_000, "panel": 300_000}


def test_lines_that_all_but_meet_do_meet() -> None:
    lines = [shapely.LineString([(500, -1), (500, 499.997)]), shapely.LineString([(500.004, 400), (500.004, 501)])]
    faces = partition(REGION, lines, [Claim("front", shapely.box(0, 0, 500, 500))], RULES)

    assert len(faces.polygons) == 2
    assert np.isclose(sorted(shapely.area(faces.polygons)), [250_000, 250_000], atol=60).all()
