"""What a drawing office puts around a car: ground line, centre lines, dimension lines with end marks, captions, frame, title block."""

from dataclasses import dataclass

from configurator.domain.body.records import Body
from configurator.drawing.frame import ViewBox, view_box
from configurator.drawing.options import Labels
from configurator.drawing.svg import Element, group, path, written

_TEXT_PX = 12.5
_LARGEST_TEXT_MM = 210
_ENDS_PX = 5


@dataclass(frozen=True)
class Pen:
    """Sizes that follow the screen, not the car: `mm_per_px` at the width that the drawing is first shown at."""

    mm_per_px: float

    @property
    def text_mm(self) -> int:
        return round(min(_TEXT_PX * self.mm_per_px, _LARGEST_TEXT_MM))

    def px(self, pixels: float) -> int:
        """Pixels as mm of the drawing."""
        return round(pixels * self.mm_per_px)

    def words(self, text: str, x: float, y: float, *, anchor: str = "middle", css: str = "lettering", turned: bool = False) -> Element:
        place = {"x": round(x), "y": round(y)} if not turned else {"transform": f"translate({round(x)} {round(y)}) rotate(-90)"}
        return written("text", text, text_anchor=anchor, font_size=self.text_mm, class_=css, fill="#44555e", **place)

    def along(self, start: float, end: float, y: float, text: str) -> list[Element]:
        """A level dimension line with its figure in a gap."""
        tick = self.px(_ENDS_PX)
        gap = 0.36 * self.text_mm * len(text) + self.px(5)
        middle = (start + end) / 2
        line = f"M{round(start)} {round(y - tick)}v{2 * tick}M{round(end)} {round(y - tick)}v{2 * tick}"
        line += f"M{round(start)} {round(y)}H{round(middle - gap)}M{round(middle + gap)} {round(y)}H{round(end)}"
        return [_hairline(line, "measure"), self.words(text, middle, y + 0.35 * self.text_mm)]

    def upright(self, low: float, high: float, x: float, text: str) -> list[Element]:
        """An upright dimension line (y grows downward: `low` is the ground) with its figure turned along it."""
        tick = self.px(_ENDS_PX)
        gap = 0.36 * self.text_mm * len(text) + self.px(5)
        middle = (low + high) / 2
        line = f"M{round(x - tick)} {round(low)}h{2 * tick}M{round(x - tick)} {round(high)}h{2 * tick}"
        line += f"M{round(x)} {round(low)}V{round(middle + gap)}M{round(x)} {round(middle - gap)}V{round(high)}"
        return [_hairline(line, "measure"), self.words(text, x + 0.35 * self.text_mm, middle, turned=True)]


def _hairline(data: str, css: str, dashes: str | None = None) -> Element:
    return path(data, class_=f"hair {css}", fill="none", stroke="#6b7c83", stroke_width=4, stroke_dasharray=dashes)


def view_furniture(body: Body, view: str, labels: Labels, pen: Pen) -> list[Element]:
    """Ground or centre line, the caption, and the dimension lines whose figures `labels.sizes` holds."""
    x, y, width, _ = view_box(body, view)
    marks: list[Element] = []
    if view == "top":
        marks.append(
            _hairline(
                f"M{x + pen.px(4)} 0H{pen.px(-14)}M{round(body.size.length_mm) + pen.px(14)} 0H{x + width - pen.px(4)}",
                "axis",
                "90 22 22 22",
            )
        )
    elif "_" not in view:
        marks.append(_hairline(f"M{x} 0h{width}", "ground"))
    caption = labels.views.get(view)
    if caption:
        marks.append(pen.words(caption, x + pen.px(12), y + pen.px(6) + pen.text_mm, anchor="start", css="lettering caption"))
    return [group(*marks, *_dimensions(body, view, labels, pen), class_="furniture", aria_hidden="true")]


def _dimensions(body: Body, view: str, labels: Labels, pen: Pen) -> list[Element]:
    sizes, size, first = labels.sizes, body.size, pen.px(22)
    marks: list[Element] = []
    if view in ("left", "right"):
        sign = -1 if view == "right" else 1
        if "length_mm" in sizes:
            start, end = sorted((0.0, sign * size.length_mm))
            marks += pen.along(start, end, first, sizes["length_mm"])
        if "wheelbase_mm" in sizes:
            front, rear = (sign * wheel.x_mm for wheel in (body.wheels[0], body.wheels[-1]))
            marks += pen.along(min(front, rear), max(front, rear), first + pen.px(19), sizes["wheelbase_mm"])
        if "height_mm" in sizes:
            x = view_box(body, view)[0]
            marks += pen.upright(0, -size.height_mm, x + pen.px(14), sizes["height_mm"])
    elif view == "front" and "width_mm" in sizes:
        marks += pen.along(-size.width_mm / 2, size.width_mm / 2, first, sizes["width_mm"])
    return marks


def sheet_furniture(box: ViewBox, labels: Labels, pen: Pen) -> list[Element]:
    """The hairline frame with its centring marks, and the title block in the lower right corner."""
    _, _, width, height = box
    edge, mark = pen.px(6), pen.px(9)
    frame = f"M{edge} {edge}H{width - edge}V{height - edge}H{edge}z"
    frame += (
        f"M{width // 2} {edge}v{mark}M{width // 2} {height - edge}v{-mark}M{edge} {height // 2}h{mark}M{width - edge} {height // 2}h{-mark}"
    )
    marks = [_hairline(frame, "sheet-frame")]
    if labels.title:
        text = "   ".join(labels.title)
        wide, tall = round(0.56 * pen.text_mm * len(text)) + pen.px(24), pen.text_mm + pen.px(14)
        marks.append(_hairline(f"M{width - edge - wide} {height - edge}v{-tall}h{wide}", "sheet-frame"))
        marks.append(pen.words(text, width - edge - pen.px(12), height - edge - pen.px(8) - 0.12 * pen.text_mm, anchor="end"))
    return [group(*marks, class_="furniture", aria_hidden="true")]
