"""How much light is left: bright on dark, the film's tolerance hatched, a line where the film stands."""

from collections.abc import Sequence
from dataclasses import dataclass

from configurator.drawing.ruler import CARD, EDGE, FILM, INK, LIGHT_LEFT, LIGHT_LOST, Ruler, figure, hatch, painted
from configurator.drawing.svg import Element

ROW_PX, BAR_TOP_PX, BAR_PX = 38.0, 20.0, 12.0


@dataclass(frozen=True)
class GaugeRow:
    """One share of light (0 to 1) with its words. `darker`: the share at the darker end of the film's tolerance, where it is known."""

    label: str
    value: str
    share: float
    darker: float | None = None


def light_gauge(rows: Sequence[GaugeRow], *, title: str, prefix: str, rtl: bool = False) -> str:
    """The gauge as SVG, one bar a row; `title` says all of it in one sentence. Raises ValueError for a share outside 0 to 1."""
    for row in rows:
        if not 0 <= (row.darker if row.darker is not None else row.share) <= row.share <= 1:
            raise ValueError(f"not shares of light: {row}")
    ruler = Ruler(rtl)
    drawn = [element for index, row in enumerate(rows) for element in _row(ruler, row, index * ROW_PX, f"{prefix}-lost", f"{prefix}-may")]
    patterns = [
        hatch(f"{prefix}-lost", "figure-lost-line", "#52626c", gap=5),
        hatch(f"{prefix}-may", "figure-may-line", LIGHT_LOST, gap=4),
    ]
    height = ROW_PX * len(rows)
    return figure(*patterns, *drawn, title=title, prefix=prefix, height=height, class_="figure-gauge", rtl=rtl).to_string()


def _row(ruler: Ruler, row: GaugeRow, top: float, lost: str, may: str) -> list[Element]:
    at = {"y": top + BAR_TOP_PX, "height": BAR_PX}
    darker = row.share if row.darker is None else row.darker
    return [
        ruler.text(0, top + 13, row.label, anchor="start", class_="figure-text", fill=INK, font_size=14),
        ruler.text(1, top + 13, row.value, anchor="end", class_="figure-strong", fill=INK, font_size=14, font_weight=600),
        ruler.bar(0, 1, **at, class_="figure-lost", fill=LIGHT_LOST),
        ruler.bar(row.share, 1, **at, fill=painted(lost)),
        ruler.bar(0, row.share, **at, class_="figure-light", fill=LIGHT_LEFT),
        ruler.bar(darker, row.share, **at, fill=painted(may)),
        *_film(ruler, row.share, top + BAR_TOP_PX),
        ruler.bar(0, 1, **at, class_="figure-frame", fill="none", stroke=EDGE, stroke_width=1),
    ]


def _film(ruler: Ruler, share: float, top: float) -> list[Element]:
    """The film: a line across the bar, a little longer than it is thick. Nothing stands in the way of all the light."""
    if share == 1:
        return []
    x, y, height = ruler.at(share), top - 2, BAR_PX + 4
    return [
        Element("rect", x=x, y=y, height=height, width=6, class_="figure-ground", fill=CARD, transform="translate(-3 0)"),
        Element("rect", x=x, y=y, height=height, width=3, class_="figure-film", fill=FILM, transform="translate(-1.5 0)"),
    ]
