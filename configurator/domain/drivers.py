"""What the range depends on: shares of its variance, grouped so that a visitor or an owner can act on them."""

from collections import defaultdict

from configurator.domain.costing import Costs
from configurator.domain.estimate import Driver
from configurator.domain.work import Kind, Operation

UNSEEN_CAR, FILM_LENGTH = "unseen_car", "film_length"
_OF_KIND = {
    Kind.CHECK_IN: "checks",
    Kind.INSPECT: "checks",
    Kind.HAND_OVER: "checks",
    Kind.WASH: "paint_condition",
    Kind.STRIP_COATING: "paint_condition",
    Kind.CORRECTION: "paint_condition",
    Kind.REMOVE_FILM: "old_film",
    Kind.PARTS_OFF: "parts",
    Kind.PARTS_ON: "parts",
    Kind.LAMP: "lamps",
    Kind.WINDSHIELD: "windshield",
}
_OF_PANEL = {
    "front_bumper": "front_bumper",
    "rear_bumper": "rear_bumper",
    "hood": "hood",
    "fender": "fenders",
    "door_front": "doors",
    "door_rear": "doors",
    "quarter": "quarters",
    "bed_side": "quarters",
    "rocker": "rockers",
    "a_pillar": "pillars",
    "b_pillar": "pillars",
    "mirror": "mirrors",
    "roof_rail": "small_panels",
    "roof": "roof",
    "rear_lid": "rear_lid",
}
"""Panel id prefix -> driver, the longer prefix first; every other panel is a small one."""


def drivers(costs: Costs) -> tuple[Driver, ...]:
    """Shares (0..1, together 1) of the variance of the variable part, largest first.

    With v_i the deviation of operation i's cost and rho the common correlation, its share is
    (v_i^2 + rho v_i (sum v - v_i)) / Var: its own scatter and its part in what it shares with the others.
    """
    total = costs.variable.variance
    if total <= 0:
        return ()
    parts: dict[str, float] = defaultdict(float)
    deviations = sum(item.deviation for item in costs.hands)
    for item in costs.hands:
        own = item.deviation
        parts[driver_of(item.operation)] += own**2 + costs.correlation * own * (deviations - own)
    for risk in costs.risks:
        parts[risk.family] += risk.moments.variance
    parts[UNSEEN_CAR] = (costs.unseen_cv * sum(item.cost for item in costs.hands)) ** 2
    parts[FILM_LENGTH] = (costs.film_cv * costs.film_total) ** 2
    shares = (Driver(code, variance / total) for code, variance in parts.items() if variance > 0)
    return tuple(sorted(shares, key=lambda driver: (-driver.share, driver.code)))


def driver_of(operation: Operation) -> str:
    """The driver that an operation's scatter is counted to."""
    if operation.kind in _OF_KIND:
        return _OF_KIND[operation.kind]
    prefixes = (prefix for prefix in _OF_PANEL if (operation.panel or "").startswith(prefix))
    return _OF_PANEL.get(max(prefixes, key=len, default=""), "small_panels")
