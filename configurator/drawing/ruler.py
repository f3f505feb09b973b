"""What the small figures share: shares of a width that may run from right to left, patterns, and a frame that says itself in one sentence.

Widths are per cent of whatever room the page gives and heights are pixels, so lettering and line weights stay the same from a narrow
phone to a wide page. Colours come from `static/css/figures.css`; the attributes written here are what is left without a stylesheet.
"""

from dataclasses import dataclass

from configurator.drawing.svg import Element, Value, number, written

INK, INK2, RULE, EDGE, FILM, CARD = "#13212a", "#44555e", "#cfd8d8", "#6b7c83", "#00656b", "#ffffff"
LIGHT_LEFT, LIGHT_LOST = "#ffd25c", "#27323a"


@dataclass(frozen=True)
class Ruler:
    """Shares (0 to 1) of a width, in reading direction, as SVG lengths."""

    rtl: bool = False

    def at(self, share: float) -> str:
        return _percent(1 - share if self.rtl else share)

    def bar(self, start: float, end: float, **attributes: Value | None) -> Element:
        """A rectangle from one share to another."""
        left = 1 - end if self.rtl else start
        return Element("rect", x=_percent(left), width=_percent(end - start), **attributes)

    def mark(self, share: float, top: float, bottom: float, **attributes: Value | None) -> Element:
        """An upright line at a share."""
        return Element("line", x1=self.at(share), x2=self.at(share), y1=top, y2=bottom, **attributes)

    def cell(self, start: float, end: float, top: float, height: float, *children: Element) -> Element:
        """A part of the width with shares of its own; what doesn't fit into it is cut off."""
        left = 1 - end if self.rtl else start
        return Element("svg", *children, x=_percent(left), y=top, width=_percent(end - start), height=height)

    def text(self, share: float, y: float, text: str, *, anchor: str = "middle", **attributes: Value | None) -> Element:
        return written("text", text, x=self.at(share), y=y, text_anchor=anchor, **attributes)


def figure(*children: Element, title: str, prefix: str, height: float, class_: str, rtl: bool = False) -> Element:
    """The root: a picture to a screen reader, with `title` as its one sentence. `prefix` makes ids unique on a page."""
    return Element(
        "svg",
        written("title", title, id=f"{prefix}-title"),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        class_=f"figure {class_}",
        width="100%",
        height=height,
        role="img",
        aria_labelledby=f"{prefix}-title",
        focusable="false",
        direction="rtl" if rtl else None,
        font_size=12,
    )


def stripes(identifier: str, class_: str = "figure-film-line", colour: str = FILM) -> Element:
    """Upright strokes: may be needed, may be less."""
    line = Element("line", x1=1, x2=1, y1=0, y2=6, class_=class_, stroke=colour, stroke_width=2)
    return Element("pattern", line, id=identifier, width=6, height=6, patternUnits="userSpaceOnUse")


def hatch(identifier: str, class_: str = "figure-edge-line", colour: str = EDGE, gap: float = 6) -> Element:
    """Thin slanted strokes: closed, or nobody there."""
    line = Element("line", x1=0, x2=0, y1=0, y2=gap, class_=class_, stroke=colour, stroke_width=1)
    return Element("pattern", line, id=identifier, width=gap, height=gap, patternUnits="userSpaceOnUse", patternTransform="rotate(45)")


def dots(identifier: str, class_: str = "figure-film-fill", colour: str = FILM) -> Element:
    dot = Element("circle", cx=2.5, cy=2.5, r=1.1, class_=class_, fill=colour)
    return Element("pattern", dot, id=identifier, width=5, height=5, patternUnits="userSpaceOnUse")


def painted(identifier: str) -> str:
    return f"url(#{identifier})"


def _percent(share: float) -> str:
    return number(100 * share) + "%"
