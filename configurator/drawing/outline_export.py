"""A roll's outlines at true size in open formats, for a plotter or a drawing program: SVG in millimetres, and DXF."""

from io import StringIO

from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from configurator.domain.film_plan.records import Placement, Ring, RollPlan
from configurator.drawing.cut_plan_strokes import ring_data
from configurator.drawing.svg import Element, group, number, path, written

LAYERS = {"CUT": 1, "OPENING": 3, "FOLD": 5, "ROLL": 8, "LABEL": 7}
"""DXF layer -> colour by AutoCAD's index: red to cut, green to cut inside, blue folds, grey roll, black words."""

TEXT_MM = 20.0


def roll_as_svg(roll: RollPlan) -> str:
    """One group per piece, ids as in the plan; 1 unit is 1 mm, y downward from the roll's far edge."""
    size = (roll.length_mm, roll.roll_width_mm)
    frame = Element("rect", x=0, y=0, width=size[0], height=size[1], fill="none", stroke="#999", stroke_width=1.0, class_="roll")
    return Element(
        "svg",
        written("title", roll.film),
        frame,
        *[_svg_piece(placement, roll.roll_width_mm) for placement in roll.placements],
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(size[0])} {number(size[1])}",
        width=f"{number(size[0])}mm",
        height=f"{number(size[1])}mm",
    ).to_string()


def _svg_piece(placement: Placement, roll_width_mm: float) -> Element:
    piece = placement.piece
    lines = [("cut", piece.cut), *[("opening", opening) for opening in piece.openings], ("fold", piece.fold)]
    return group(*[_svg_line(kind, placement.placed(line), roll_width_mm) for kind, line in lines], id=piece.id)


def _svg_line(kind: str, placed: Ring, roll_width_mm: float) -> Element:
    return path(ring_data(_downward(placed, roll_width_mm)), class_=kind, fill="none", stroke=_SVG_COLOURS[kind], stroke_width=0.5)


_SVG_COLOURS = {"cut": "#c00", "opening": "#080", "fold": "#00c"}


def _downward(ring: Ring, roll_width_mm: float) -> Ring:
    turned = ring.copy()
    turned[:, 1] = roll_width_mm - turned[:, 1]
    return turned


def roll_as_dxf(roll: RollPlan) -> bytes:
    """AutoCAD R2010 DXF, units millimetres, x along the roll and y across it; closed polylines on the layers of `LAYERS`.

    Dates and random numbers are left out of the file, so the same plan gives the same bytes.
    """
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        drawing = _dxf_drawing(roll)
        out = StringIO()
        drawing.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return out.getvalue().encode(drawing.output_encoding)


def _dxf_drawing(roll: RollPlan) -> Drawing:
    drawing = new("R2010", units=units.MM)
    for layer, colour in LAYERS.items():
        drawing.layers.add(layer, color=colour)
    space = drawing.modelspace()
    corners = [(0.0, 0.0), (roll.length_mm, 0.0), (roll.length_mm, roll.roll_width_mm), (0.0, roll.roll_width_mm)]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "ROLL"})
    for placement in roll.placements:
        _dxf_piece(space, placement)
    return drawing


def _dxf_piece(space: Modelspace, placement: Placement) -> None:
    piece = placement.piece
    for layer, rings in (("CUT", [piece.cut]), ("OPENING", list(piece.openings)), ("FOLD", [piece.fold])):
        for ring in rings:
            space.add_lwpolyline([(float(x), float(y)) for x, y in placement.placed(ring)], close=True, dxfattribs={"layer": layer})
    middle = placement.placed(piece.cut).mean(axis=0)
    label = space.add_text(piece.id, height=TEXT_MM, dxfattribs={"layer": "LABEL"})
    label.set_placement((float(middle[0]), float(middle[1])))
