"""How much of which panel is wanted: a package's rule over a body's panels, with what was added and taken away."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from configurator.domain.body.cut import keep_below, leading_strip
from configurator.domain.body.records import Body, Layer, Panel, Surface
from configurator.domain.price_book import PackageRule, PriceBook
from configurator.domain.selection import Package, Selection

GLASS_AND_LENSES = frozenset({Surface.LENS, Surface.WINDSHIELD_GLASS, Surface.OTHER_GLASS})


class Extent(StrEnum):
    WHOLE = "whole"
    STRIP = "strip"
    BELOW_ARCH = "below_arch"


@dataclass(frozen=True)
class Wanted:
    """How much of a panel is wanted. `depth_mm`: of a strip from the leading edge back; `top_mm`: the height film ends at."""

    extent: Extent
    depth_mm: float = 0.0
    top_mm: float = 0.0


WHOLE = Wanted(Extent.WHOLE)


def is_body_panel(panel: Panel) -> bool:
    """A panel that `coverage` can name: neither lamp nor glass, which have keys of their own."""
    return panel.selectable and panel.surface not in GLASS_AND_LENSES


def host_of(panel: str) -> str | None:
    """The panel that an extra zone lies on (a door's edge and cups, the bumper's loading edge); None for any other panel."""
    for zone in ("door_edge_", "door_cup_"):
        if panel.startswith(zone):
            return panel.replace(zone, "door_")
    return "rear_bumper" if panel == "loading_edge" else None


def lamps_of_group(group: str, body: Body) -> tuple[Panel, ...]:
    """The lamps of a group (`headlamps`: headlamp_left, headlamp_right) that this body has."""
    return tuple(panel for id, panel in body.panels.items() if panel.surface is Surface.LENS and id.startswith(group.removesuffix("s")))


def wanted_panels(selection: Selection, body: Body, book: PriceBook) -> Mapping[str, Wanted]:
    """Panel id -> how much of it is wanted, whether or not film holds there. Whatever is added is added whole."""
    wanted: dict[str, Wanted] = {}
    if selection.package is not Package.NONE:
        wanted.update(_by_rule(book.packages[selection.package], body))
    wanted.update(dict.fromkeys(selection.add, WHOLE))
    for id in selection.remove:
        wanted.pop(id, None)
    return wanted


def _by_rule(rule: PackageRule, body: Body) -> Mapping[str, Wanted]:
    """The rule's panels, as far as this body has them; extra zones are never part of a package."""
    if rule.whole_body:
        return {id: WHOLE for id, panel in body.panels.items() if is_body_panel(panel) and panel.layer is not Layer.ZONE}
    wanted = dict.fromkeys(rule.panels, WHOLE)
    wanted |= {id: Wanted(Extent.STRIP, depth_mm=depth) for id, depth in rule.strips.items() if id not in wanted}
    above = _rear_arch_top_mm(body)
    wanted |= {id: Wanted(Extent.BELOW_ARCH, top_mm=above + up) for id, up in rule.below_arch.items() if id not in wanted}
    return {id: part for id, part in wanted.items() if id in body.panels}


def _rear_arch_top_mm(body: Body) -> float:
    rear = max(body.wheels, key=lambda wheel: wheel.x_mm)
    return rear.tyre_radius_mm + rear.arch_radius_mm


def covered_part(panel: Panel, wanted: Wanted) -> Panel:
    """The part of the panel that is wanted, with an `open` edge where it was cut; the panel itself when all of it is.

    The same part is the same object for as long as it is remembered, so that what is measured of it is remembered too.
    """
    return panel if wanted.extent is Extent.WHOLE else _cut(panel, wanted)


@lru_cache(maxsize=256)
def _cut(panel: Panel, wanted: Wanted) -> Panel:
    if wanted.extent is Extent.STRIP:
        return leading_strip(panel, wanted.depth_mm)
    return keep_below(panel, wanted.top_mm)
