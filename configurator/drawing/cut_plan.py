"""The cut plan of a roll: a printed plan for a person with a knife, first of all; legible in black and white.

Each sheet is an SVG in millimetres of paper. A row shows a stretch of the roll between two rulers; solid lines are cut, dashed lines
are the panel's own edge, the tinted strip between them is turned in, heavy lines are butted against another piece.
"""

from collections.abc import Mapping, Sequence

from configurator.domain.film_plan.records import RollPlan
from configurator.domain.film_plan.spares import Spare, spare_rectangles
from configurator.drawing import cut_plan_layout as layout
from configurator.drawing.cut_plan_furniture import footer, heading, legend, spare_pattern, tick_list
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.drawing.cut_plan_layout import A4, Row, Sheet
from configurator.drawing.cut_plan_row import Frame, draw_row
from configurator.drawing.svg import Element, number, written

FACE = "Noto Sans, DejaVu Sans, Arial, Helvetica, sans-serif"


def draw_cut_plan(roll: RollPlan, labels: CutPlanLabels, *, sheet: Sheet = A4, name: str = "roll") -> list[str]:
    """The sheets of one roll as SVG documents, sized in millimetres. `name` keeps their ids apart where several stand in one page."""
    plan, offcuts = layout.lay_out(roll, sheet), spare_rectangles(roll)
    order = {placement.piece.id: index for index, placement in enumerate(layout.cutting_order(roll), start=1)}
    return [
        _sheet(
            roll,
            rows,
            plan.scale,
            labels,
            sheet,
            order,
            place=(index, len(plan.sheets)),
            offcuts=offcuts,
            spare=f"{name}-{index}-spare",
        )
        for index, rows in enumerate(plan.sheets, start=1)
    ]


def _sheet(
    roll: RollPlan,
    rows: Sequence[Row],
    scale: float,
    labels: CutPlanLabels,
    sheet: Sheet,
    order: Mapping[str, int],
    *,
    place: tuple[int, int],
    offcuts: Sequence[Spare],
    spare: str,
) -> str:
    listed = layout.starting_in(roll, rows)
    recesses = any(placement.piece.recesses for placement in listed)
    parts = [spare_pattern(spare), *heading(labels, sheet, place), *legend(labels, sheet, spare, recesses=recesses)]
    top = layout.HEADING_MM + layout.LEGEND_MM
    for row in rows:
        parts += draw_row(roll, Frame(scale, roll.roll_width_mm, row, top), labels, order, offcuts, spare)
        top += layout.row_height_mm(roll, scale)
    parts += tick_list(listed, labels, order, top + 1.0, sheet)
    parts += footer(labels, sheet, scale)
    title = f"{labels.heading}, {labels.sheet_of(*place)}"
    root = Element(
        "svg",
        written("title", title),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(sheet.width_mm)} {number(sheet.height_mm)}",
        width=f"{number(sheet.width_mm)}mm",
        height=f"{number(sheet.height_mm)}mm",
        role="img",
        aria_label=title,
        class_="cut-plan",
        font_family=FACE,
    )
    return root.to_string()
