"""A judge of printed film plans who knows the document alone: no planner, no record and no check of the program is used."""

import math
from collections import defaultdict
from collections.abc import Mapping, Set
from typing import Any

import shapely
from shapely.geometry import Polygon

PRINTED_MM = 0.011
"""Coordinates are printed to a hundredth."""


def faults(
    plan: Mapping[str, Any], covered_m2: Mapping[str, float], *, directional: Set[str], gap_mm: float, margin_mm: float
) -> list[tuple[str, ...]]:
    """What is wrong with a plan for the panels of `covered_m2`: (what, where) for each fault."""
    found = [fault for roll in plan["rolls"] for fault in _of_roll(roll, directional, gap_mm, margin_mm)]
    ids = [piece["id"] for roll in plan["rolls"] for piece in roll["pieces"]]
    found += [("twice", id) for id in sorted({id for id in ids if ids.count(id) > 1})]
    return found + _of_coverage(plan, covered_m2)


def _of_roll(roll: Mapping[str, Any], directional: Set[str], gap_mm: float, margin_mm: float) -> list[tuple[str, ...]]:
    width, length, found = roll["roll_width_mm"], roll["length_m"] * 1000, []
    shapes = [Polygon(piece["polygon"]) for piece in roll["pieces"]]
    names = [piece["id"] for piece in roll["pieces"]]
    for piece, shape in zip(roll["pieces"], shapes, strict=True):
        x0, y0, x1, y1 = shape.bounds
        if not shape.is_valid or not math.isfinite(shape.area) or shape.area <= 0:
            found.append(("no outline", piece["id"]))
        if min(x0, y0) < -PRINTED_MM or x1 > length + PRINTED_MM or y1 > width + PRINTED_MM:
            found.append(("off the roll", piece["id"]))
        if any(not shape.buffer(0.1).contains(Polygon(opening)) for opening in piece["openings"]):
            found.append(("opening off the piece", piece["id"]))
        if roll["film"] in directional and piece["turned_deg"] % 180:
            found.append(("turned", piece["id"]))
        if sum(edge["segments"] for edge in piece["edges"]) != len(piece["polygon"]):
            found.append(("edges not told apart", piece["id"]))
    near = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=gap_mm - 0.1)
    found += [("too close", names[i], names[j]) for i, j in near.T if i < j]
    used = max(shape.bounds[2] for shape in shapes)
    if not used <= length <= used + margin_mm + 1.5:
        found.append(("length", roll["film"]))
    area = sum(shape.area for shape in shapes) / 1e6
    if not math.isclose(area, roll["piece_area_m2"], rel_tol=1e-3, abs_tol=1e-5):
        found.append(("area", roll["film"]))
    if not math.isclose(1 - area / (length * width / 1e6), roll["waste_share"], abs_tol=1e-3):
        found.append(("waste", roll["film"]))
    return found


def _of_coverage(plan: Mapping[str, Any], covered_m2: Mapping[str, float]) -> list[tuple[str, ...]]:
    """Shares add up to the panel to 0.1 %, and pieces are no smaller than what they cover, less what a set-back leaves bare."""
    share: dict[str, float] = defaultdict(float)
    cut: dict[str, float] = defaultdict(float)
    other: set[str] = set()
    for roll in plan["rolls"]:
        for piece in roll["pieces"]:
            share[piece["panel"]] += piece["covers_m2"]
            cut[piece["panel"]] += Polygon(piece["polygon"]).area / 1e6 + piece["bare_m2"]
            if piece["role"] in ("lamp", "windshield"):
                other.add(piece["panel"])
    found = [("not asked for", panel) for panel in share if panel not in covered_m2 and panel not in other]
    for panel, area in covered_m2.items():
        if not math.isclose(share[panel], area, rel_tol=1e-3):
            found.append(("covers", panel))
        if cut[panel] < area * 0.999:
            found.append(("too small", panel))
    return found
