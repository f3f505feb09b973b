"""The small cars on cards: each body bare, and the plan's car with each package's panels filled."""

from functools import lru_cache

from markupsafe import Markup

from configurator.domain.body.records import Body
from configurator.domain.scope import Scope, ScopedPanel
from configurator.drawing.car import draw_miniature
from configurator.drawing.frame import ViewBox
from configurator.web.visitor.coverage_page import is_strip


@lru_cache(maxsize=200)
def body_mini(body: Body) -> Markup:
    """A bare car for a body's card. It says nothing that the card's text doesn't."""
    return Markup(draw_miniature(body, (), prefix=f"b-{body.style}"))  # noqa: S704  # our own drawing, escaped by its writer


def package_mini(body: Body, scope: Scope, name: str) -> Markup:
    """The plan's car as a package covers it; where film stops on a panel, the picture's does too."""
    parts = tuple((panel.id, _box(panel)) for panel in scope.covered if is_strip(panel))
    return _package_mini(body, tuple(panel.id for panel in scope.covered), parts, name)


@lru_cache(maxsize=200)
def _package_mini(body: Body, covered: tuple[str, ...], parts: tuple[tuple[str, ViewBox], ...], name: str) -> Markup:
    return Markup(draw_miniature(body, covered, parts=dict(parts), prefix=f"m-{name}"))  # noqa: S704  # our own drawing


def _box(panel: ScopedPanel) -> ViewBox:
    """Where the covered part of a panel lies in the left view (x rearward, y downward), mm."""
    points = (panel.covered_panel or panel.panel).mesh.vertices
    low, high = points.min(axis=0), points.max(axis=0)
    return round(low[0]), round(-high[2]), round(high[0] - low[0]), round(high[2] - low[2])
