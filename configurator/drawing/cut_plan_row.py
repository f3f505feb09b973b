"""A row of a cut plan: a stretch of the roll between two rulers, its pieces with their labels, and what stands at its ends."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from configurator.domain.film_plan.records import SEAM, Placement, Ring, RollPlan, turned
from configurator.domain.film_plan.spares import Spare
from configurator.drawing import cut_plan_layout as layout
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.drawing.cut_plan_layout import Row
from configurator.drawing.cut_plan_offcuts import corners, draw_offcut
from configurator.drawing.cut_plan_spots import BADGE_MM, TINY_MM, Label, Spot, find_spots, text_width
from configurator.drawing.cut_plan_strokes import INK, PAPER, SOFT, TINT, area_data, arrow, line_data, lines_data, point, text
from configurator.drawing.svg import Element, group, number, path

SLIVER_MM = 1.4
"""A piece slimmer than this on paper is drawn with finer lines, so that it doesn't fill up."""

BESIDE_MM = 110.0
"""On a row shorter than this on paper the words at its end stand beside it, not below."""


@dataclass(frozen=True, eq=False)
class Frame:
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


def draw_row(
    roll: RollPlan, frame: Frame, labels: CutPlanLabels, order: Mapping[str, int], offcuts: Sequence[Spare], spare: str
) -> list[Element]:
    """`order`: piece id -> number. `spare`: id of the hatch of spare film, in which `offcuts` are worth keeping."""
    window = frame.window
    shown = [(placement, shape) for placement in layout.cutting_order(roll) if (shape := _visible(placement, frame, window)) is not None]
    named = [(placement, shape) for placement, _ in shown if (shape := _visible(placement, frame, frame.proper)) is not None]
    words = [Label(order[placement.piece.id], labels.pieces[placement.piece.id], size_of(placement, labels)) for placement, _ in named]
    kept = [drawn for offcut in offcuts if (drawn := draw_offcut(offcut, frame.ring(corners(offcut)), frame.proper, labels))]
    spots = find_spots([shape for _, shape in named], words, frame.proper, reserved=[offcut.room for offcut in kept])
    x0, y0, x1, y1 = window.bounds
    parts = [Element("rect", x=x0, y=y0, width=x1 - x0, height=y1 - y0, fill=f"url(#{spare})", stroke=INK, stroke_width=0.3)]
    parts += [offcut.drawing for offcut in kept]
    parts += [_piece(placement, frame, window) for placement, _ in shown]
    parts += [_label(placement, spot, label) for (placement, _), spot, label in zip(named, spots, words, strict=True)]
    return [*parts, *_rulers(frame, labels), *_ends(roll, frame, labels)]


def _visible(placement: Placement, frame: Frame, window: Polygon) -> Polygon | None:
    """The piece on paper as far as the row shows it; None when it shows (next to) nothing."""
    openings = [frame.ring(placement.placed(opening)) for opening in placement.piece.openings]
    shape = Polygon(frame.ring(placement.placed(placement.piece.cut)), openings).buffer(0).intersection(window)
    largest = max(getattr(shape, "geoms", [shape]), key=lambda part: part.area)
    return largest if largest.geom_type == "Polygon" and largest.area > 0.05 else None


def _piece(placement: Placement, frame: Frame, window: Polygon) -> Element:
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
        parts.append(arrow(*spot.arrow, nose_on_paper(placement)))
    return group(*parts, class_="label", data_piece=placement.piece.id)


def _tiny(spot: Spot, label: Label) -> list[Element]:
    width, height = TINY_MM
    return [
        Element("rect", x=spot.x - width / 2, y=spot.y - height / 2, width=width, height=height, fill=PAPER),
        text(str(label.number), spot.x, spot.y + 0.95, size=2.7, bold=True, anchor="middle"),
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


def _rulers(frame: Frame, labels: CutPlanLabels) -> list[Element]:
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


def _ends(roll: RollPlan, frame: Frame, labels: CutPlanLabels) -> list[Element]:
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
    beside = x1 - x0 < BESIDE_MM
    words = text(
        labels.cut_off_at(roll.length_mm / 1000),
        x1 + (2.0 if beside else 0.0),
        y1 + 5.0,
        size=2.9,
        bold=True,
        anchor=None if beside else "end",
    )
    return [*parts, end, words]


def _break_line(x: float, y0: float, y1: float) -> Element:
    return path(f"M{number(x)} {number(y0 - 1)}V{number(y1 + 1)}", stroke=INK, stroke_width=0.25, stroke_dasharray="4 1 0.8 1", fill="none")


def nose_on_paper(placement: Placement) -> tuple[float, float]:
    nose = turned(np.array([placement.piece.nose]), placement.angle_deg)[0]
    return float(nose[0]), -float(nose[1])


def size_of(placement: Placement, labels: CutPlanLabels) -> str:
    along, across = np.ptp(placement.placed(placement.piece.cut), axis=0)
    return labels.size(float(along), float(across))
