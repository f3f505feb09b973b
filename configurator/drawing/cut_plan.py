"""The cut plan of a roll: a printed plan for a person with a knife, first of all; legible in black and white.

Each sheet is an SVG in millimetres of paper. A row shows a stretch of the roll between two rulers; solid lines are cut, dashed lines
are the panel's own edge, the tinted strip between them is turned in, heavy lines are butted against another piece.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from configurator.domain.film_plan.records import SEAM, Placement, Ring, RollPlan, turned
from configurator.drawing import cut_plan_layout as layout
from configurator.drawing.cut_plan_layout import A4, Row, Sheet
from configurator.drawing.cut_plan_spots import BADGE_MM, Label, Spot, find_spots, text_width
from configurator.drawing.cut_plan_strokes import (
    INK,
    PALE,
    PAPER,
    SOFT,
    TINT,
    area_data,
    arrow,
    fitted,
    level_line,
    line_data,
    lines_data,
    point,
    text,
)
from configurator.drawing.svg import Element, group, number, path, written

FACE = "Noto Sans, DejaVu Sans, Arial, Helvetica, sans-serif"
CONTROL_BAR_MM = 50.0
SIZE_MM, POSITION_MM = 18.0, 12.0
"""Width of the list's last two columns."""

SLIVER_MM = 1.4
"""A piece slimmer than this on paper is drawn with finer lines, so that it doesn't fill up."""


@dataclass(frozen=True)
class CutPlanLabels:
    """Every word on a cut plan, in the reader's language. Callables take figures: metres along the roll, millimetres, counts."""

    heading: str
    summary: str
    pieces: Mapping[str, str]
    """piece id -> what it goes on."""
    remarks: Mapping[str, str]
    """piece id -> what to mind at this piece (recesses to relieve by hand), where there is something."""
    cut: str
    fold: str
    turn_in: str
    seam: str
    spare: str
    toward_nose: str
    roll_runs: str
    keeps_direction: str | None
    """Set for a film that may only be turned end for end."""
    control_bar: str
    size: Callable[[float, float], str]
    size_column: str
    position_column: str
    metres: Callable[[float], str]
    millimetres: Callable[[float], str]
    continues_at: Callable[[float], str]
    continued_from: Callable[[float], str]
    cut_off_at: Callable[[float], str]
    sheet_of: Callable[[int, int], str]


@dataclass(frozen=True, eq=False)
class _Frame:
    """Where a row lies on the sheet: film (x along the roll, y across from the near edge) to paper, y downward."""

    scale: float
    roll_width_mm: float
    row: Row
    top_mm: float

    def x(self, film_mm: float) -> float:
        return layout.RULER_LEFT_MM + (film_mm - self.row.shown_from_mm) * self.scale

    def y(self, film_mm: float) -> float:
        return self.top_mm + layout.RULER_TOP_MM + (self.roll_width_mm - film_mm) * self.scale

    def ring(self, ring: Ring) -> Ring:
        return np.stack([self.x(0.0) + ring[:, 0] * self.scale, self.y(0.0) - ring[:, 1] * self.scale], axis=1)

    @property
    def window(self) -> Polygon:
        """All that the row shows."""
        return box(self.x(self.row.shown_from_mm), self.y(self.roll_width_mm), self.x(self.row.shown_to_mm), self.y(0.0))

    @property
    def proper(self) -> Polygon:
        """The row between its breaks."""
        return box(self.x(self.row.start_mm), self.y(self.roll_width_mm), self.x(self.row.end_mm), self.y(0.0))


def draw_cut_plan(roll: RollPlan, labels: CutPlanLabels, *, sheet: Sheet = A4, name: str = "roll") -> list[str]:
    """The sheets of one roll as SVG documents, sized in millimetres. `name` keeps their ids apart where several stand in one page."""
    plan = layout.lay_out(roll, sheet)
    order = {placement.piece.id: index for index, placement in enumerate(layout.cutting_order(roll), start=1)}
    return [
        _sheet(roll, rows, plan.scale, labels, sheet, order, place=(index, len(plan.sheets)), spare=f"{name}-{index}-spare")
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
    spare: str,
) -> str:
    parts = [_spare_pattern(spare), *_heading(labels, sheet, place), *_legend(labels, sheet, spare)]
    top = layout.HEADING_MM + layout.LEGEND_MM
    for row in rows:
        frame = _Frame(scale, roll.roll_width_mm, row, top)
        parts += _row(roll, frame, labels, order, spare)
        top += layout.row_height_mm(roll, scale)
    parts += _list(layout.starting_in(roll, rows), labels, order, top + 1.0, sheet)
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


# -- around the rows


def _spare_pattern(spare: str) -> Element:
    lines = path("M0 2.4L2.4 0", stroke=PALE, stroke_width=0.12, fill="none")
    return Element("defs", Element("pattern", lines, id=spare, width=2.4, height=2.4, patternUnits="userSpaceOnUse"))


def _heading(labels: CutPlanLabels, sheet: Sheet, place: tuple[int, int]) -> list[Element]:
    parts = [
        text(labels.heading, 0, 4.6, size=4.4, bold=True),
        text(labels.summary, 0, 9.4, size=2.9, fill=SOFT),
        text(labels.sheet_of(*place), sheet.width_mm, 4.6, size=2.9, anchor="end"),
    ]
    if labels.keeps_direction:
        parts.append(text(labels.keeps_direction, sheet.width_mm, 9.4, size=2.9, bold=True, anchor="end"))
    return parts


def _legend(labels: CutPlanLabels, sheet: Sheet, spare: str) -> list[Element]:
    y, x, parts = layout.HEADING_MM + 1.6, 0.0, []
    for sample, words in (
        (level_line(7, stroke=INK, stroke_width=0.35), labels.cut),
        (level_line(7, stroke=INK, stroke_width=0.18, stroke_dasharray="1.2 0.8"), labels.fold),
        (Element("rect", x=0, y=-1.3, width=7, height=2.6, fill=TINT), labels.turn_in),
        (level_line(7, stroke=INK, stroke_width=0.9), labels.seam),
        (Element("rect", x=0, y=-1.3, width=7, height=2.6, fill=f"url(#{spare})", stroke=PALE, stroke_width=0.1), labels.spare),
        (arrow(3.5, 0, 7.0, (1.0, 0.0)), labels.toward_nose),
    ):
        parts.append(group(sample, transform=f"translate({number(x)} {number(y)})"))
        parts.append(text(words, x + 8.4, y + 0.9, size=2.5))
        x += 8.4 + text_width(words, 2.5) + 5.0
    left = sheet.width_mm - CONTROL_BAR_MM
    if x < left - text_width(labels.control_bar, 2.2) - 4:
        parts += _control_bar(left, y, labels)
    return parts


def _control_bar(left: float, y: float, labels: CutPlanLabels) -> list[Element]:
    ticks = "".join(f"M{number(left + at)} {number(y - 1)}v2" for at in (0.15, 10, 20, 30, 40, CONTROL_BAR_MM - 0.15))
    return [
        path(f"M{number(left)} {number(y)}h{number(CONTROL_BAR_MM)}{ticks}", stroke=INK, stroke_width=0.3, fill="none"),
        text(labels.control_bar, left - 1.6, y + 0.8, size=2.2, fill=SOFT, anchor="end"),
    ]


def _list(placements: Sequence[Placement], labels: CutPlanLabels, order: Mapping[str, int], top: float, sheet: Sheet) -> list[Element]:
    """Tick boxes in cutting order, with what each piece goes on, its size, where it begins and which way the car's nose lies."""
    roomy = layout.list_height_mm(len(placements), 2) <= sheet.height_mm - top
    columns = 2 if roomy else layout.MOST_COLUMNS
    lines = max(1, -(-len(placements) // columns))
    width = sheet.width_mm / columns
    parts = [_list_head(labels, column * width, top + 2.6, width - 4.0) for column in range(-(-len(placements) // lines))]
    for index, placement in enumerate(placements):
        x, y = (index // lines) * width, top + layout.LIST_HEAD_MM + (index % lines) * layout.LIST_LINE_MM + 2.6
        parts.append(group(*_list_line(placement, labels, order, width - 4.0), transform=f"translate({point(x, y)})"))
    return parts


def _list_head(labels: CutPlanLabels, x: float, y: float, width: float) -> Element:
    return group(
        text(labels.size_column, x + width - POSITION_MM, y, size=2.2, fill=SOFT, anchor="end"),
        text(labels.position_column, x + width, y, size=2.2, fill=SOFT, anchor="end"),
    )


def _list_line(placement: Placement, labels: CutPlanLabels, order: Mapping[str, int], width: float) -> list[Element]:
    piece = placement.piece
    remark = labels.remarks.get(piece.id)
    name = labels.pieces[piece.id] + (f" · {remark}" if remark else "")
    return [
        Element("rect", x=0, y=-2.5, width=2.8, height=2.8, fill=PAPER, stroke=INK, stroke_width=0.25),
        text(str(order[piece.id]), 8.0, 0, size=2.7, bold=True, anchor="end"),
        arrow(10.8, -1.0, 3.0, _nose_on_paper(placement)),
        fitted(name, 13.4, 0, width=width - 13.4 - SIZE_MM - POSITION_MM, size=2.5),
        text(_size(placement, labels), width - POSITION_MM, 0, size=2.4, fill=SOFT, anchor="end"),
        text(labels.millimetres(layout.left_mm(placement)), width, 0, size=2.4, anchor="end"),
        path(f"M0 1.2H{number(width)}", stroke=PALE, stroke_width=0.1),
    ]


# -- a row


def _row(roll: RollPlan, frame: _Frame, labels: CutPlanLabels, order: Mapping[str, int], spare: str) -> list[Element]:
    window = frame.window
    shown = [(placement, shape) for placement in layout.cutting_order(roll) if (shape := _visible(placement, frame, window)) is not None]
    named = [(placement, shape) for placement, shape in shown if shape.intersects(frame.proper)]
    words = [Label(order[placement.piece.id], labels.pieces[placement.piece.id], _size(placement, labels)) for placement, _ in named]
    spots = find_spots([shape for _, shape in named], words, window)
    x0, y0, x1, y1 = window.bounds
    parts = [Element("rect", x=x0, y=y0, width=x1 - x0, height=y1 - y0, fill=f"url(#{spare})", stroke=INK, stroke_width=0.3)]
    parts += [_piece(placement, frame, window) for placement, _ in shown]
    parts += [_label(placement, spot, label) for (placement, _), spot, label in zip(named, spots, words, strict=True)]
    return [*parts, *_rulers(frame, labels), *_ends(roll, frame, labels)]


def _visible(placement: Placement, frame: _Frame, window: Polygon) -> Polygon | None:
    """The piece on paper as far as the row shows it; None when it shows (next to) nothing."""
    openings = [frame.ring(placement.placed(opening)) for opening in placement.piece.openings]
    shape = Polygon(frame.ring(placement.placed(placement.piece.cut)), openings).buffer(0).intersection(window)
    largest = max(getattr(shape, "geoms", [shape]), key=lambda part: part.area)
    return largest if largest.geom_type == "Polygon" and largest.area > 0.05 else None


def _piece(placement: Placement, frame: _Frame, window: Polygon) -> Element:
    piece = placement.piece
    cut, fold = (frame.ring(placement.placed(ring)) for ring in (piece.cut, piece.fold))
    inside = Polygon(cut).buffer(0)
    turn_in = inside.difference(Polygon(fold).buffer(0)).intersection(window)
    visible = inside.intersection(window)
    openings = [frame.ring(placement.placed(opening)) for opening in piece.openings]
    sliver = 2 * inside.area / inside.length < SLIVER_MM
    return group(
        path(area_data(visible), fill=PAPER),
        path(area_data(turn_in), fill=TINT, fill_rule="evenodd"),
        path(line_data(fold, window), fill="none", stroke=INK, stroke_width=0.18, stroke_dasharray="1.2 0.8"),
        path(line_data(cut, window), fill="none", stroke=INK, stroke_width=0.15 if sliver else 0.35, stroke_linejoin="round"),
        *([] if sliver else _heavy_seams(cut, piece.edge_kinds, window)),
        *[path(line_data(opening, window), fill="none", stroke=INK, stroke_width=0.35) for opening in openings],
        class_="piece",
        data_piece=piece.id,
    )


def _heavy_seams(cut: Ring, kinds: Sequence[str], window: Polygon) -> list[Element]:
    following = np.roll(cut, -1, axis=0)
    sides = [shapely.LineString([cut[i], following[i]]) for i, kind in enumerate(kinds) if kind == SEAM]
    if not sides:
        return []
    data = lines_data(shapely.line_merge(shapely.union_all(sides)).intersection(window))
    return [path(data, fill="none", stroke=INK, stroke_width=0.7, class_="seam")]


def _label(placement: Placement, spot: Spot, label: Label) -> Element:
    parts: list[Element] = []
    if spot.target:
        parts.append(path(f"M{point(spot.x, spot.y)}L{point(*spot.target)}", stroke=INK, stroke_width=0.2))
        parts.append(Element("circle", cx=spot.target[0], cy=spot.target[1], r=0.5, fill=INK))
    if spot.style == "tiny":
        parts += _tiny(spot, label)
    else:
        parts.append(_badged(spot, label))
    if spot.arrow:
        parts.append(arrow(*spot.arrow, _nose_on_paper(placement)))
    return group(*parts, class_="label", data_piece=placement.piece.id)


def _tiny(spot: Spot, label: Label) -> list[Element]:
    return [
        Element("rect", x=spot.x - 1.7, y=spot.y - 1.1, width=3.4, height=2.2, fill=PAPER),
        text(str(label.number), spot.x, spot.y + 0.75, size=2.1, bold=True, anchor="middle"),
    ]


def _badged(spot: Spot, label: Label) -> Element:
    disc = [
        Element("circle", cx=0, cy=0, r=BADGE_MM, fill=INK if spot.style != "leader" else PAPER, stroke=INK, stroke_width=0.25),
        text(str(label.number), 0, 1.0, size=2.8, bold=True, anchor="middle", fill=PAPER if spot.style != "leader" else INK),
    ]
    if spot.style in ("badge", "leader"):
        return group(*disc, transform=f"translate({number(spot.x)} {number(spot.y)})")
    size = 3.0 if spot.style == "full" else 2.5
    long = max(text_width(label.title, size, bold=True), text_width(label.size, 2.3) if spot.style == "full" else 0.0)
    left = BADGE_MM + 1.1
    lines = [text(label.title, left, -0.1 if spot.style == "full" else 0.9, size=size, bold=True)]
    if spot.style == "full":
        lines.append(text(label.size, left, 2.9, size=2.3, fill=SOFT))
    shift = -(left + long - BADGE_MM) / 2
    turn = "rotate(-90) " if spot.upright else ""
    return group(*disc, *lines, transform=f"translate({number(spot.x)} {number(spot.y)}) {turn}translate({number(shift)} 0)")


def _rulers(frame: _Frame, labels: CutPlanLabels) -> list[Element]:
    """Metres from the roll's free end above the row, millimetres from its near edge at the left."""
    x0, y0, _, _ = frame.window.bounds
    ticks, parts = [], []
    first = int(np.ceil(frame.row.shown_from_mm / 100 - 1e-9))
    for step in range(first, int(frame.row.shown_to_mm // 100) + 1):
        x, long = frame.x(step * 100.0), 2.2 if step % 5 == 0 else 1.1
        ticks.append(f"M{number(x)} {number(y0)}v{number(-long)}")
        if step % 5 == 0:
            parts.append(text(labels.metres(step / 10), x, y0 - 3.0, size=2.4, anchor="middle"))
    for step in range(int(frame.roll_width_mm // 100) + 1):
        y, long = frame.y(step * 100.0), 2.2 if step % 5 == 0 else 1.1
        ticks.append(f"M{number(x0)} {number(y)}h{number(-long)}")
        if step % 5 == 0 and frame.roll_width_mm - step * 100 > 60:
            parts.append(text(labels.millimetres(step * 100.0), x0 - 2.8, y + 0.8, size=2.4, anchor="end"))
    ticks.append(f"M{number(x0)} {number(y0)}h-2.2")
    parts.append(text(labels.millimetres(frame.roll_width_mm), x0 - 2.8, y0 + 0.8, size=2.4, anchor="end"))
    return [path("".join(ticks), stroke=INK, stroke_width=0.18, fill="none"), *parts]


def _ends(roll: RollPlan, frame: _Frame, labels: CutPlanLabels) -> list[Element]:
    """What stands at a row's ends: where it continues, or where the film is cut off; and which way the roll runs."""
    x0, y0, x1, y1 = frame.window.bounds
    parts = [arrow(x0 + 6.0, y1 + 3.4, 12.0, (1.0, 0.0)), text(labels.roll_runs, x0 + 13.4, y1 + 4.3, size=2.4)]
    if frame.row.start_mm > 0:
        words = labels.continued_from(frame.row.start_mm / 1000)
        parts += [_break_line(frame.x(frame.row.start_mm), y0, y1), text(words, x0 + 46.0, y1 + 4.3, size=2.4, fill=SOFT)]
    if frame.row.end_mm < roll.length_mm:
        words = labels.continues_at(frame.row.end_mm / 1000)
        return [*parts, _break_line(frame.x(frame.row.end_mm), y0, y1), text(words, x1, y1 + 4.3, size=2.4, bold=True, anchor="end")]
    end = path(f"M{number(x1)} {number(y0 - 2)}V{number(y1 + 2)}", stroke=INK, stroke_width=0.8)
    return [*parts, end, text(labels.cut_off_at(roll.length_mm / 1000), x1, y1 + 5.0, size=2.9, bold=True, anchor="end")]


def _break_line(x: float, y0: float, y1: float) -> Element:
    return path(f"M{number(x)} {number(y0 - 1)}V{number(y1 + 1)}", stroke=INK, stroke_width=0.25, stroke_dasharray="4 1 0.8 1", fill="none")


def _nose_on_paper(placement: Placement) -> tuple[float, float]:
    nose = turned(np.array([placement.piece.nose]), placement.angle_deg)[0]
    return float(nose[0]), -float(nose[1])


def _size(placement: Placement, labels: CutPlanLabels) -> str:
    along, across = np.ptp(placement.placed(placement.piece.cut), axis=0)
    return labels.size(float(along), float(across))
