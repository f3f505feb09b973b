"""Factory stripes over a panel: which finish lies in which band, where two finishes meet, and how long that seam is."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import inf

import numpy as np

from configurator.domain.body.measure import seam_length_mm
from configurator.domain.body.records import Panel
from configurator.domain.measures import measures
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import FinishBand, StripeCut
from configurator.domain.selection import Stripes

STRIPED_PANELS = ("front_bumper", "hood", "roof", "rear_lid", "rear_spoiler", "rear_bumper")
"""The panels that stripes run over, where a body has them: a spoiler carries on what it hides of the lid."""


@dataclass(frozen=True)
class _Span:
    """A strip of the car between two planes y = const, before it is known how much of a panel lies in it."""

    y_from_mm: float
    y_to_mm: float
    role: str
    finish: str


def finish_bands(panel: Panel, finish: str, stripes: Stripes | None, book: PriceBook) -> tuple[FinishBand, ...]:
    """The bands of a panel in `finish` under `stripes`, left to right; one band where no stripe runs or all finishes agree.

    Bands that hold less than a square millimetre of the panel are left out.
    """
    if stripes is None or panel.id not in STRIPED_PANELS:
        return (FinishBand(-inf, inf, "base", finish, book.film_for(finish).id, measures(panel).area_m2),)
    spans = _joined(_spans(finish, stripes))
    bands = (
        FinishBand(span.y_from_mm, span.y_to_mm, span.role, span.finish, book.film_for(span.finish).id, _area_between(panel, span))
        for span in spans
    )
    return tuple(band for band in bands if band.area_m2 > 1e-6)


def stripe_cuts(panel: Panel, bands: tuple[FinishBand, ...]) -> tuple[StripeCut, ...]:
    """The butt seams between neighbouring bands: the length of the plane y = const on the panel's surface."""
    cuts = (StripeCut(left.y_to_mm, seam_length_mm(panel, left.y_to_mm)) for left, _ in pairwise(bands))
    return tuple(cut for cut in cuts if cut.length_mm > 0)


def _spans(base_finish: str, stripes: Stripes) -> Iterator[_Span]:
    """The whole width of the car, left to right: base, border, stripe, border, base, and so on."""
    border = stripes.border.width_mm if stripes.border else 0.0
    at = -inf
    for centre in stripe_centres_mm(stripes):
        left, right = centre - stripes.width_mm / 2, centre + stripes.width_mm / 2
        yield _Span(at, left - border, "base", base_finish)
        if stripes.border:
            yield _Span(left - border, left, "border", stripes.border.finish)
        yield _Span(left, right, "stripe", stripes.finish)
        if stripes.border:
            yield _Span(right, right + border, "border", stripes.border.finish)
        at = right + border
    yield _Span(at, inf, "base", base_finish)


def stripe_centres_mm(stripes: Stripes) -> tuple[float, ...]:
    """y of each stripe's middle: one on the offset, two half a width and half a gap to either side of it."""
    if stripes.count == 1:
        return (stripes.offset_mm,)
    apart = (stripes.width_mm + stripes.gap_mm) / 2
    return (stripes.offset_mm - apart, stripes.offset_mm + apart)


def _joined(spans: Iterator[_Span]) -> list[_Span]:
    """Neighbours of one finish as one span (one piece covers both, so there is no seam); the wider one's role stays."""
    joined: list[_Span] = []
    for span in spans:
        if span.y_to_mm <= span.y_from_mm:
            continue
        if joined and joined[-1].finish == span.finish:
            wider = max(joined[-1], span, key=lambda one: one.y_to_mm - one.y_from_mm)
            joined[-1] = replace(joined[-1], y_to_mm=span.y_to_mm, role=wider.role)
        else:
            joined.append(span)
    return joined


def _area_between(panel: Panel, span: _Span) -> float:
    return measures(panel).area_m2 * (_share_left_of(panel, span.y_to_mm) - _share_left_of(panel, span.y_from_mm))


@lru_cache(maxsize=512)
def _share_left_of(panel: Panel, y_mm: float) -> float:
    """Share (0..1) of the panel's mesh area that lies at y < `y_mm`, exact on each triangle.

    A triangle with corner heights y0 <= y1 <= y2 has the share (y - y0)^2 / ((y1 - y0)(y2 - y0)) below y while y <= y1, and
    1 - (y2 - y)^2 / ((y2 - y1)(y2 - y0)) above.
    """
    if not np.isfinite(y_mm):
        return 1.0 if y_mm > 0 else 0.0
    corners = panel.mesh.vertices[panel.mesh.triangles]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    low, middle, high = np.sort(corners[:, :, 1], axis=1).T
    whole = np.maximum(high - low, 1e-12)
    rising = (y_mm - low) ** 2 / (np.maximum(middle - low, 1e-12) * whole)
    falling = 1 - (high - y_mm) ** 2 / (np.maximum(high - middle, 1e-12) * whole)
    share = np.where(y_mm <= middle, rising, falling)
    share = np.where(y_mm <= low, 0.0, np.where(y_mm >= high, 1.0, share))
    return float(np.dot(areas, share) / areas.sum())
