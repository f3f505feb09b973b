"""The small cars on cards: each body bare, and the plan's car with each package's panels filled."""

import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from configurator.domain.body.records import Body
from configurator.domain.scope import Scope, ScopedPanel
from configurator.drawing.car import draw_miniature
from configurator.drawing.frame import ViewBox
from configurator.web.visitor.coverage_page import is_strip

Parts = tuple[tuple[str, ViewBox], ...]


@dataclass(frozen=True)
class Mini:
    """A card's picture; `svg` is empty when the browser has it. It says nothing that the card's text doesn't."""

    digest: str
    svg: Markup


def body_mini(body: Body, have: Collection[str]) -> Mini:
    """A bare car for a body's card."""
    return _unless_had(_drawn(body, (), (), f"b-{body.style}"), have)


def package_mini(body: Body, scope: Scope, name: str, have: Collection[str]) -> Mini:
    """The plan's car as a package covers it; where film stops on a panel, the picture's does too."""
    parts = tuple((panel.id, _box(panel)) for panel in scope.covered if is_strip(panel))
    return _unless_had(_drawn(body, tuple(panel.id for panel in scope.covered), parts, f"m-{name}"), have)


def _unless_had(mini: Mini, have: Collection[str]) -> Mini:
    return Mini(mini.digest, Markup("")) if mini.digest in have else mini


@lru_cache(maxsize=300)
def _drawn(body: Body, covered: tuple[str, ...], parts: Parts, prefix: str) -> Mini:
    svg = draw_miniature(body, covered, parts=dict(parts), prefix=prefix)
    return Mini(hashlib.sha256(svg.encode()).hexdigest()[:12], Markup(svg))  # noqa: S704  # our own drawing, escaped by its writer


def _box(panel: ScopedPanel) -> ViewBox:
    """Where the covered part of a panel lies in the left view (x rearward, y downward), mm."""
    points = (panel.covered_panel or panel.panel).mesh.vertices
    low, high = points.min(axis=0), points.max(axis=0)
    return round(low[0]), round(-high[2]), round(high[0] - low[0]), round(high[2] - low[2])
