"""The box of a pickup's bed: walls and ribbed floor, dark enough to say that nothing there takes film."""

import numpy as np

from configurator.domain.body.records import Panel, Points
from configurator.drawing.curves import line_data
from configurator.drawing.scene import Scene
from configurator.drawing.svg import Element, group, path

_FLOOR, _SIDE = "#353c40", "#20262a"
_FILL = {"bed_floor": _FLOOR, "bed_wall_front": "#1a1f22", "bed_wall_rear": "#262c2f"}
_RIBS = 9
_RIB_ENDS_MM = 55.0
_STROKES = (("#22282b", 16), ("#50585d", 4))
"""Colour and width of a rib's shade and of the light on it."""


def bed_elements(drawn: Scene) -> list[Element]:
    """The box as far as it is seen, to be laid under the body."""
    outlines = {shape.panel.id: shape.data for shape in drawn.under}
    marks = []
    for shape in drawn.under:
        marks.append(path(outlines[shape.outline], fill=_FILL.get(shape.panel.id, _SIDE), transform=shape.flip))
        if shape.panel.id == "bed_floor":
            marks.append(_ribs(shape.panel, drawn))
    return marks


def _ribs(floor: Panel, drawn: Scene) -> Element:
    data = line_data([drawn.view.plane(rib) for rib in rib_lines(floor)])
    return group(*(path(data, stroke=colour, stroke_width=width) for colour, width in _STROKES), fill="none", stroke_linecap="round")


def rib_lines(floor: Panel) -> list[Points]:
    """Lines along the floor (2, 3) mm, evenly over its width and alike on both sides."""
    (x_from, _, z), (x_to, half, _) = floor.mesh.vertices.min(axis=0), floor.mesh.vertices.max(axis=0)
    ends = np.array([x_from + _RIB_ENDS_MM, x_to - _RIB_ENDS_MM])
    across = (np.arange(_RIBS) - (_RIBS - 1) / 2) * 2 * half / _RIBS
    return [np.stack([ends, np.full(2, y), np.full(2, z)], axis=1) for y in across.tolist()]
