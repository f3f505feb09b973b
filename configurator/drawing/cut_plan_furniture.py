"""What stands around the rows of a cut plan: heading, legend, the list to tick off, and the bar to check the print by."""

from collections.abc import Mapping, Sequence

from configurator.domain.film_plan.records import Placement
from configurator.drawing import cut_plan_layout as layout
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.drawing.cut_plan_layout import Sheet
from configurator.drawing.cut_plan_row import nose_on_paper, size_of
from configurator.drawing.cut_plan_spots import text_width
from configurator.drawing.cut_plan_strokes import INK, PALE, PAPER, SOFT, TINT, arrow, fitted, level_line, point, text
from configurator.drawing.svg import Element, group, number, path

CONTROL_BAR_MM = 50.0
SIZE_MM, POSITION_MM, RECESS_MM = 18.0, 12.0, 8.0
"""Width of the list's last columns."""
SAMPLE_MM, LEGEND_SIZE_MM, LEGEND_LINE_MM = 8.4, 2.5, 1.6
NAME_FROM_MM, GUTTER_MM = 13.4, 5.0


def spare_pattern(spare: str) -> Element:
    """The hatch of film that is left over; `spare` is its id."""
    lines = path("M0 2.4L2.4 0", stroke=PALE, stroke_width=0.12, fill="none")
    return Element("defs", Element("pattern", lines, id=spare, width=2.4, height=2.4, patternUnits="userSpaceOnUse"))


def heading(labels: CutPlanLabels, sheet: Sheet, place: tuple[int, int]) -> list[Element]:
    """What to take off which roll, for whom, on which of how many sheets."""
    parts = [
        text(labels.heading, 0, 4.6, size=4.4, bold=True),
        text(labels.job, sheet.width_mm, 4.6, size=3.2, bold=True, anchor="end"),
        text(labels.summary, 0, 9.6, size=2.9, fill=SOFT),
        text(labels.sheet_of(*place), sheet.width_mm, 9.6, size=2.9, anchor="end"),
    ]
    if labels.keeps_direction:
        parts.append(text(labels.keeps_direction, text_width(labels.summary, 2.9) + 6.0, 9.6, size=2.9, bold=True))
    return parts


def legend(labels: CutPlanLabels, sheet: Sheet, spare: str, *, recesses: bool) -> list[Element]:
    """A sample of every kind of line, with what it means; on two lines where one doesn't hold them."""
    samples = [
        (level_line(7, stroke=INK, stroke_width=0.35), labels.cut),
        (level_line(7, stroke=INK, stroke_width=0.18, stroke_dasharray="1.2 0.8"), labels.fold),
        (Element("rect", x=0, y=-1.3, width=7, height=2.6, fill=TINT), labels.turn_in),
        (level_line(7, stroke=INK, stroke_width=0.9), labels.seam),
        (Element("rect", x=0, y=-1.3, width=7, height=2.6, fill=f"url(#{spare})", stroke=PALE, stroke_width=0.1), labels.spare),
        (arrow(3.5, 0, 7.0, (1.0, 0.0)), labels.toward_nose),
    ]
    if recesses:
        samples.append((_recess_mark(4.6, 0.9), labels.recesses))
    wide = [SAMPLE_MM + text_width(words, LEGEND_SIZE_MM) + 4.0 for _, words in samples]
    lines = [0 if sum(wide[: index + 1]) <= sheet.width_mm else 1 for index in range(len(samples))]
    first = layout.HEADING_MM + (LEGEND_LINE_MM if 1 not in lines else 0.4)
    x, parts = [0.0, 0.0], []
    for (sample, words), line, width in zip(samples, lines, wide, strict=True):
        y = first + line * LEGEND_LINE_MM * 2.3
        parts.append(group(sample, transform=f"translate({point(x[line], y)})"))
        parts.append(text(words, x[line] + SAMPLE_MM, y + 0.9, size=LEGEND_SIZE_MM))
        x[line] += width
    return parts


def footer(labels: CutPlanLabels, sheet: Sheet, scale: float) -> list[Element]:
    """By how much the drawing is smaller than the film; and a bar to measure, since a printer may shrink a page."""
    y, left = sheet.height_mm - 1.6, sheet.width_mm - CONTROL_BAR_MM
    ticks = "".join(f"M{number(left + at)} {number(y - 1)}v2" for at in (0.15, 10, 20, 30, 40, CONTROL_BAR_MM - 0.15))
    return [
        text(labels.scale(1 / scale), 0, y + 0.8, size=2.4, fill=SOFT),
        path(
            f"M{number(left)} {number(y)}h{number(CONTROL_BAR_MM)}{ticks}", stroke=INK, stroke_width=0.3, fill="none", class_="control-bar"
        ),
        text(labels.control_bar, left - 1.6, y + 0.8, size=2.4, anchor="end"),
    ]


def tick_list(placements: Sequence[Placement], labels: CutPlanLabels, order: Mapping[str, int], top: float, sheet: Sheet) -> list[Element]:
    """Tick boxes in cutting order, with what each piece goes on, its size, where it begins and which way the car's nose lies."""
    if not placements:
        return []
    columns = layout.columns_for(len(placements), sheet.height_mm - layout.FOOTER_MM - top)
    lines = -(-len(placements) // columns)
    width = (sheet.width_mm + GUTTER_MM) / columns
    parts = [_list_head(labels, column * width, top + 2.6, width - GUTTER_MM) for column in range(-(-len(placements) // lines))]
    for index, placement in enumerate(placements):
        x, y = (index // lines) * width, top + layout.LIST_HEAD_MM + (index % lines) * layout.LIST_LINE_MM + 2.6
        parts.append(group(*_list_line(placement, labels, order, width - GUTTER_MM), transform=f"translate({point(x, y)})"))
    return parts


def _list_head(labels: CutPlanLabels, x: float, y: float, width: float) -> Element:
    return group(
        text(labels.size_column, x + width - POSITION_MM, y, size=2.3, fill=SOFT, anchor="end"),
        text(labels.position_column, x + width, y, size=2.3, fill=SOFT, anchor="end"),
    )


def _list_line(placement: Placement, labels: CutPlanLabels, order: Mapping[str, int], width: float) -> list[Element]:
    piece = placement.piece
    room = width - NAME_FROM_MM - SIZE_MM - POSITION_MM - (RECESS_MM if piece.recesses else 0.0)
    return [
        Element("rect", x=0.15, y=-2.5, width=2.8, height=2.8, fill=PAPER, stroke=INK, stroke_width=0.25),
        text(str(order[piece.id]), 8.0, 0, size=2.7, bold=True, anchor="end"),
        arrow(10.8, -1.0, 3.0, nose_on_paper(placement)),
        fitted(labels.pieces[piece.id], NAME_FROM_MM, 0, width=room, size=2.6),
        *(_recesses(piece.recesses, NAME_FROM_MM + room + 1.0) if piece.recesses else []),
        text(size_of(placement, labels), width - POSITION_MM, 0, size=2.5, fill=SOFT, anchor="end"),
        text(labels.millimetres(layout.left_mm(placement)), width, 0, size=2.5, anchor="end"),
        path(f"M0 1.2H{number(width)}", stroke=PALE, stroke_width=0.1),
    ]


def _recesses(count: int, x: float) -> list[Element]:
    return [_recess_mark(x, 0), text(str(count), x + 2.8, 0, size=2.5)]


def _recess_mark(x: float, y: float) -> Element:
    """A small triangle standing on the line of writing."""
    return path(f"M{point(x, y)}h2.2l-1.1 -2z", fill="none", stroke=INK, stroke_width=0.25, stroke_linejoin="round")
