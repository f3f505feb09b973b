"""Where on the car a panel, lamp or part is worked on: one person has room in each zone at a time."""

from configurator.domain.body.records import Panel, Side
from configurator.domain.work import Zone

_NOSE = ("front_bumper", "front_lip", "grille", "headlamp", "fog_lamp")
_HOOD = ("hood",)
_TOP = ("roof", "sunroof", "windshield")
_REAR = ("rear_", "tail_lamp", "loading_edge", "tailgate", "high_mounted")
_SIDES = {Side.LEFT: Zone.LEFT, Side.RIGHT: Zone.RIGHT}


def zone_of(panel: Panel) -> Zone:
    """The panel's zone. The front is two: the nose (bumper, grille, lamps) and the hood, since two people can share it.

    Fixed by what a panel is, never by how much work it carries: zones balanced by measured work would let a longer task bring the
    car back earlier.
    """
    if panel.id.startswith("roof_rail"):
        return _SIDES.get(panel.side, Zone.TOP)
    for prefixes, zone in ((_NOSE, Zone.NOSE), (_HOOD, Zone.HOOD), (_TOP, Zone.TOP), (_REAR, Zone.REAR)):
        if panel.id.startswith(prefixes):
            return zone
    return _SIDES.get(panel.side, Zone.ALL)
