"""Outlines for plotters, read back: SVG by ElementTree, DXF by ezdxf; true size, closed, every piece on its layer."""

from functools import cache
from io import StringIO

import ezdxf
import numpy as np
import pytest
import shapely

from configurator.domain.film_plan.records import RollPlan
from configurator.drawing.outline_export import roll_as_dxf, roll_as_svg
from configurator.services.film.film_planning import plan_film
from tests.drawing.reading import SVG, read
from tests.shops import chosen, demo_shop

DXF_MILLIMETRES = 4
"""$INSUNITS of the DXF reference: 4 means millimetres."""


@cache
def roll() -> RollPlan:
    return plan_film(demo_shop(), chosen("suv", "full_front", edges="hidden")).rolls[0]


def test_the_svg_is_as_large_as_the_film_in_millimetres() -> None:
    root = read(roll_as_svg(roll()))
    left, top, width, height = (float(value) for value in root.get("viewBox", "").split())

    assert (left, top) == (0, 0)
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    assert (width, height) == (pytest.approx(roll().length_mm, abs=0.01), roll().roll_width_mm)


def test_every_line_of_the_svg_lies_where_the_plan_has_it() -> None:
    """y runs downward from the roll's far edge; coordinates are written to a hundredth."""
    root = read(roll_as_svg(roll()))
    groups = {group.get("id"): group for group in root.iter(f"{SVG}g")}

    assert set(groups) == {placement.piece.id for placement in roll().placements}
    for placement in roll().placements:
        group = groups[placement.piece.id]
        for kind, rings in (("cut", [placement.piece.cut]), ("opening", placement.piece.openings), ("fold", [placement.piece.fold])):
            lines = [_ring(node.get("d", "")) for node in group if node.get("class") == kind]
            assert len(lines) == len(rings)
            for line, ring in zip(lines, rings, strict=True):
                placed = placement.placed(ring) * [1, -1] + [0, roll().roll_width_mm]
                assert np.allclose(line, placed, atol=0.006)


def _ring(data: str) -> np.ndarray:
    assert data.endswith("Z")
    return np.array([[float(value) for value in pair.split()] for pair in data[1:-1].split("L")])


@cache
def drawing() -> ezdxf.document.Drawing:
    return ezdxf.read(StringIO(roll_as_dxf(roll()).decode()))


def test_the_dxf_is_sound_in_millimetres_with_closed_lines_on_named_layers() -> None:
    space = drawing().modelspace()
    lines = list(space.query("LWPOLYLINE"))

    assert not drawing().audit().has_errors
    assert drawing().header["$INSUNITS"] == DXF_MILLIMETRES
    assert all(line.closed for line in lines)
    assert {line.dxf.layer for line in lines} <= {"CUT", "OPENING", "FOLD", "ROLL"}
    assert len(list(space.query('LWPOLYLINE[layer=="CUT"]'))) == len(roll().placements)
    assert len(list(space.query('LWPOLYLINE[layer=="OPENING"]'))) == sum(len(p.piece.openings) for p in roll().placements)


def test_the_dxf_holds_the_pieces_at_true_size_and_on_the_roll() -> None:
    space = drawing().modelspace()
    (film,) = space.query('LWPOLYLINE[layer=="ROLL"]')
    shapes = [shapely.Polygon([point[:2] for point in line.get_points()]) for line in space.query('LWPOLYLINE[layer=="CUT"]')]
    expected = [placement.piece.cut_area_mm2 for placement in roll().placements]

    assert sorted(shape.area for shape in shapes) == pytest.approx(sorted(expected), rel=1e-9)
    on_roll = shapely.Polygon([point[:2] for point in film.get_points()]).buffer(0.05)
    assert all(on_roll.contains(shape) for shape in shapes)
    assert {text.dxf.text for text in space.query("TEXT")} == {placement.piece.id for placement in roll().placements}


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert roll_as_dxf(roll()) == roll_as_dxf(roll())
    assert roll_as_svg(roll()) == roll_as_svg(roll())
