"""A range as a measure with a tolerance: a dimension line from low to high with end marks, and the typical figure as a mark on it."""

from dataclasses import dataclass

from configurator.drawing.ruler import CARD, FILM, INK, Ruler, figure, painted
from configurator.drawing.svg import Element

MIDDLE_PX, END_MARK_PX = 10.0, 18.0
CLOSE_TO_AN_END = 0.3
"""Nearer to an end than this share, the mark's words begin (or end) at the mark instead of straddling it."""


@dataclass(frozen=True)
class BandWords:
    """`title`: the whole band as one sentence. `typical`: what stands under the mark; `low`, `high`: under the ends, where wanted."""

    title: str
    typical: str
    low: str | None = None
    high: str | None = None


def range_band(low: float, typical: float, high: float, words: BandWords, *, prefix: str, rtl: bool = False) -> str:
    """The band as SVG; where all three figures are the same there is only the mark. Raises ValueError unless low <= typical <= high."""
    if not low <= typical <= high:
        raise ValueError(f"not a range: {low}, {typical}, {high}")
    ruler = Ruler(rtl)
    share = (typical - low) / (high - low) if high > low else 0.5
    ends = [*_end(ruler, 0.0, words.low), *_end(ruler, 1.0, words.high)]
    return figure(
        *(_line(ruler, share, f"{prefix}-fade") if high > low else ()),
        *_mark(ruler, share, words.typical),
        *ends,
        title=words.title,
        prefix=prefix,
        height=62 if ends else 42,
        class_="figure-band",
        rtl=rtl,
    ).to_string()


def _line(ruler: Ruler, share: float, fade: str) -> list[Element]:
    """The dimension line; its tint is strongest at the mark, since that is where most jobs end."""
    stops = ((0.0, 0.0), (1 - share if ruler.rtl else share, 0.5), (1.0, 0.0))
    tint = [Element("stop", offset=at, class_="figure-film-stop", stop_color=FILM, stop_opacity=opacity) for at, opacity in stops]
    return [
        Element("linearGradient", *tint, id=fade),
        ruler.bar(0, 1, y=MIDDLE_PX - 5, height=10, fill=painted(fade)),
        Element("rect", x="0%", width="100%", y=MIDDLE_PX - 1, height=2, class_="figure-ink", fill=INK),
        _upright("0%", 0, END_MARK_PX, 2, "figure-ink", INK),
        _upright("100%", -2, END_MARK_PX, 2, "figure-ink", INK),
    ]


def _mark(ruler: Ruler, share: float, words: str) -> list[Element]:
    anchor = "start" if share < CLOSE_TO_AN_END else "end" if share > 1 - CLOSE_TO_AN_END else "middle"
    return [
        _upright(ruler.at(share), -4, 20, 8, "figure-ground", CARD),
        _upright(ruler.at(share), -2, 20, 4, "figure-film", FILM),
        ruler.text(share, 36, words, anchor=anchor, class_="figure-text", fill=INK, font_size=14),
    ]


def _end(ruler: Ruler, share: float, words: str | None) -> list[Element]:
    return [ruler.text(share, 56, words, anchor="end" if share else "start", class_="figure-text-2", fill=INK)] if words else []


def _upright(x: str, shift: float, height: float, width: float, class_: str, colour: str) -> Element:
    """A thick upright line about the band's middle; `shift` moves it by pixels from a share of the width."""
    top = MIDDLE_PX - height / 2
    return Element("rect", x=x, y=top, width=width, height=height, class_=class_, fill=colour, transform=f"translate({shift:g} 0)")
