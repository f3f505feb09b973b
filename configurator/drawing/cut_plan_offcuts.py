"""Offcuts worth keeping, outlined on the spare film of a cut plan."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from configurator.domain.film_plan.records import Ring
from configurator.domain.film_plan.spares import Spare
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.drawing.cut_plan_spots import text_width
from configurator.drawing.cut_plan_strokes import INK, PAPER, area_data, text
from configurator.drawing.svg import Element, group, path

SIZE_MM = 2.5


@dataclass(frozen=True, eq=False)
class Offcut:
    """What is drawn, and the room on paper that its words take."""

    drawing: Element
    room: Polygon


def corners(spare: Spare) -> Ring:
    """The rectangle on the film, mm."""
    x0, y0, x1, y1 = spare.x_mm, spare.y_mm, spare.x_mm + spare.along_mm, spare.y_mm + spare.across_mm
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def draw_offcut(spare: Spare, ring: Ring, window: Polygon, labels: CutPlanLabels) -> Offcut | None:
    """`ring`: the offcut on paper. None in a row that shows too little of it for its words; the next one does."""
    shown = Polygon(ring).intersection(window)
    words = labels.keep(labels.size(spare.along_mm, spare.across_mm))
    wide = text_width(words, SIZE_MM) + 1.6
    x0, y0, x1, y1 = shown.bounds if not shown.is_empty else (0.0, 0.0, 0.0, 0.0)
    if x1 - x0 < wide or y1 - y0 < SIZE_MM + 1.5:
        return None
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    room = shapely.box(x - wide / 2, y - 1.9, x + wide / 2, y + 1.9)
    drawing = group(
        path(area_data(shown), fill="none", stroke=INK, stroke_width=0.2, stroke_dasharray="0.4 1"),
        path(area_data(room), fill=PAPER),
        text(words, x, y + 0.9, size=SIZE_MM, anchor="middle"),
        class_="offcut",
    )
    return Offcut(drawing, room)
