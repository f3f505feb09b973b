"""The measured body document: what the `body` command prints."""

from collections.abc import Mapping
from typing import Any

from configurator.domain.body.flatten import flatten
from configurator.domain.body.measure import area_m2, difficulty, edges, frontal_area_m2
from configurator.domain.body.records import Body, Panel
from configurator.domain.selection import Material
from configurator.wire.selection import plain


def dump_body(body: Body, materials: Mapping[str, Material], seams_mm: Mapping[str, float]) -> dict[str, Any]:
    """The contract's body document; `materials` and `seams_mm` by panel id, as a scope without coverage gives them."""
    size = body.size
    return {
        "body": body.style,
        "size": {name: plain(getattr(size, name)) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")},
        "frontal_area_m2": round(frontal_area_m2(body), 4),
        "panels": [_panel(panel, materials, seams_mm) for panel in body.panels.values() if panel.selectable],
    }


def _panel(panel: Panel, materials: Mapping[str, Material], seams_mm: Mapping[str, float]) -> dict[str, Any]:
    outline = flatten(panel).points[panel.loops[0].indices]
    return {
        "id": panel.id,
        "side": str(panel.side),
        "material": str(materials.get(panel.id, panel.surface)),
        "area_m2": round(area_m2(panel), 4),
        "edges": [{"kind": str(edge.kind), "length_mm": round(edge.length_mm, 1), "neighbour": edge.neighbour} for edge in edges(panel)],
        "seam_mm": round(seams_mm.get(panel.id, 0.0), 1),
        "difficulty": round(difficulty(panel), 4),
        "flat": [[round(float(x), 1), round(float(y), 1)] for x, y in outline],
    }
