"""Lamps as they are cut: no notch in their outline, nothing else in their place, the lid's edge on theirs."""

import itertools

import pytest
import shapely

from configurator.domain.body.charting import charts_of
from configurator.domain.body.measure import edges
from configurator.domain.body.placing import place
from configurator.domain.body.side_plan import plan_side
from tests.domain.body.surfaces import BODIES, STYLES, a_body


@pytest.mark.parametrize("lamp", ["headlamp", "tail_lamp"])
@pytest.mark.parametrize("style", BODIES)
def test_a_lamps_outline_never_turns_back(style: str, lamp: str) -> None:
    """A slip of the pen leaves a slot that a disc of 60 mm can't enter; a swung outline has none."""
    charts = charts_of(STYLES[style], STYLES[style].typical_size)
    outline = shapely.Polygon(place(STYLES[style], charts).curves[lamp])

    assert outline.is_valid
    assert outline.buffer(30).buffer(-30).area - outline.area < 0.0005 * outline.area


@pytest.mark.parametrize("style", sorted(set(BODIES) - {"pickup"}))
def test_a_lid_ends_at_the_lamp(style: str) -> None:
    """Where it comes near a tail lamp its edge is the lamp's: no strip of quarter is left between the two. A pickup has a post there."""
    beside = sum(edge.length_mm for edge in edges(a_body(style).panels["rear_lid"]) if (edge.neighbour or "").startswith("tail_lamp"))

    assert beside > 200


@pytest.mark.parametrize("style", BODIES)
def test_lamps_and_sensors_keep_out_of_each_other(style: str) -> None:
    authored = STYLES[style]
    charts = charts_of(authored, authored.typical_size)
    parts = plan_side(authored, charts, place(authored, charts), frozenset(authored.possible_features)).parts
    small = [name for name in parts if name.endswith("lamp") or name.startswith(("parking_sensor", "grille", "intake"))]
    overlapping = [pair for pair in itertools.combinations(small, 2) if parts[pair[0]].intersection(parts[pair[1]]).area > 1]

    assert not overlapping
