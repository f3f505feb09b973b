"""Typical sizes and plausible ranges against the dimensions of real cars: the table of 1985 beside this file (see dimensions/README.md).

Cars have grown since: where they left the table, the newer figure is named with its source.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from configurator.domain.body.measure import frontal_area_m2
from configurator.domain.body.records import Size
from configurator.domain.body.scaling import size_faults
from tests.domain.body.surfaces import BODIES, STYLES, a_body

LIKE = {"sedan": "sedan", "hatchback": "hatchback", "wagon": "wagon", "convertible": "convertible", "coupe": "two doors"}
"""Our style -> the table's word. The table has no word for coupe; any car with two doors may be one."""
ISO_3833 = {
    "sedan": "3.1.1.1",
    "wagon": "3.1.1.4",
    "coupe": "3.1.1.5",
    "convertible": "3.1.1.6",
    "hatchback": None,
    "suv": None,
    "pickup": None,
    "van": None,
}
"""Clauses of ISO 3833:1977 as its published contents list has them; None: a trade word without a clause of its own."""


def _cars(word: str) -> list[Size]:
    with (Path(__file__).parent / "dimensions" / "exterior_1985.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if word in (row["body_style"], f"{row['doors']} doors")]
    return [Size(*(float(row[name]) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm"))) for row in rows]


def _ratios(size: Size) -> dict[str, float]:
    return {
        "width / length": size.width_mm / size.length_mm,
        "height / length": size.height_mm / size.length_mm,
        "height / width": size.height_mm / size.width_mm,
        "overhangs / length": (size.length_mm - size.wheelbase_mm) / size.length_mm,
    }


def test_the_table_is_whole() -> None:
    assert {style: len(_cars(style)) for style in ("sedan", "hatchback", "wagon", "hardtop", "convertible")} == {
        "sedan": 94,
        "hatchback": 68,
        "wagon": 25,
        "hardtop": 8,
        "convertible": 6,
    }


@pytest.mark.parametrize("style", LIKE)
def test_typical_proportions_lie_among_real_ones(style: str) -> None:
    """Within a tenth of the table's own range: tracks have widened, overhangs shrunk since 1985."""
    ours = _ratios(STYLES[style].typical_size)
    for name, value in ours.items():
        real = [_ratios(car)[name] for car in _cars(LIKE[style])]
        assert 0.9 * min(real) <= value <= 1.1 * max(real), name


@pytest.mark.parametrize("style", BODIES)
def test_the_wheelbase_is_a_plausible_share_of_the_length(style: str) -> None:
    """L101 / L103 of real cars: 0.525 to 0.626 in the table; 0.604 for the DrivAer reference car; to 0.66 for electric platforms and long
    beds (from memory)."""
    allowed, typical = STYLES[style].plausible.wheelbase_share, STYLES[style].typical_size

    assert 0.50 <= allowed.least < allowed.most <= 0.68
    assert 0.52 <= typical.wheelbase_mm / typical.length_mm <= 0.66


@pytest.mark.parametrize("style", LIKE)
def test_real_cars_of_plausible_size_make_bodies_of_their_size(style: str) -> None:
    """Every car of the table whose size the style accepts is built to its dimensions, and throws a car's shadow (0.74 to 0.86 of W x H)."""
    for car in {car for car in _cars(LIKE[style]) if not list(size_faults(STYLES[style], car))}:
        body = a_body(style, length_mm=car.length_mm, width_mm=car.width_mm, height_mm=car.height_mm, wheelbase_mm=car.wheelbase_mm)
        ends = ("front_bumper", "front_lip", "rear_bumper", "rear_lid", "hood")
        skin = np.vstack([panel.mesh.vertices for name, panel in body.panels.items() if name in ends])
        assert np.ptp(skin[:, 0]) == pytest.approx(car.length_mm, abs=4)
        assert body.wheels[1].x_mm - body.wheels[0].x_mm == pytest.approx(car.wheelbase_mm)
        assert 0.74 <= frontal_area_m2(body) / (car.width_mm * car.height_mm / 1e6) <= 0.86


def test_the_table_tries_more_than_one_style() -> None:
    accepted = {style: sum(not list(size_faults(STYLES[style], car)) for car in _cars(LIKE[style])) for style in LIKE}
    assert sum(count > 0 for count in accepted.values()) >= 2, accepted


def test_an_implausible_car_is_refused_though_it_was_real() -> None:
    """The narrowest cars of 1985 are narrower than any sedan that this program has learned to draw: refused, with the range."""
    narrowest = min(_cars("sedan"), key=lambda car: car.width_mm)
    (fault, *_) = size_faults(STYLES["sedan"], narrowest)
    assert fault.facts["min_mm"] < fault.facts["max_mm"]


def test_every_style_stands_for_one_clause_or_says_that_it_has_none() -> None:
    assert {name: style.iso_3833 for name, style in STYLES.items()} == ISO_3833
