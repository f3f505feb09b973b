"""The box of a pickup's bed is seen in every view that looks into it, alike on both sides."""

from xml.etree import ElementTree

import numpy as np
import pytest

from configurator.drawing.bed import bed_elements, rib_lines
from configurator.drawing.scene import scene
from configurator.drawing.svg import group
from tests.drawing.cars import body_of


@pytest.mark.parametrize("view", ["top", "front_left", "rear_right"])
def test_floor_and_walls_are_drawn(view: str) -> None:
    drawn = scene(body_of("pickup"), view)
    root = ElementTree.fromstring(group(*bed_elements(drawn)).to_string())
    paths = [node for node in root if node.tag == "path"]

    assert len(paths) == len(drawn.under) >= 1
    assert all(node.get("d") for node in paths)


def test_ribs_lie_on_the_floor_alike_on_both_sides() -> None:
    floor = body_of("pickup").panels["bed_floor"]
    ribs = rib_lines(floor)
    across = np.array([rib[0, 1] for rib in ribs])

    assert across == pytest.approx(-across[::-1])
    assert all((rib[:, 2] == floor.mesh.vertices[0, 2]).all() for rib in ribs)
    assert np.abs(across).max() < floor.mesh.vertices[:, 1].max()


def test_other_bodies_have_none() -> None:
    assert bed_elements(scene(body_of("sedan"), "top")) == []
