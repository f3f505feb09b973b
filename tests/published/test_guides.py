"""Whole estimates against what public consumer guides say of hours, days and film: weak sources, read as wide bands.

Guides at engineerfix.com and eatsip365.com on how long such work takes and what it costs; none names a measurement. The bands of
days and of the film's share for a whole car are common practice, from memory.
"""

from typing import Any

import pytest

from configurator.domain.estimate import Estimate
from tests.shops import chosen, estimated

CARS = ("coupe", "sedan", "hatchback", "suv")


def _film_share(found: Estimate) -> float:
    film = sum(line.typical for line in found.lines if line.code in ("film", "lamp_film", "windshield_film"))
    return float(film / found.price.typical)


def _hours(body: str, package: str, **rest: Any) -> float:
    return estimated(chosen(body, package, **rest)).labour_hours["typical"]


@pytest.mark.parametrize("body", ["coupe", "sedan"])
def test_partial_front_takes_six_to_ten_hours(body: str) -> None:
    """Hands-on hours in two guides."""
    assert 6 <= _hours(body, "partial_front") <= 10


@pytest.mark.parametrize("body", CARS)
def test_full_front_takes_ten_to_eighteen_hours_and_one_to_three_days(body: str) -> None:
    """Guides: one to three days at the shop; hours from memory."""
    found = estimated(chosen(body, "full_front"))
    assert 10 <= found.labour_hours["typical"] <= 18
    assert 1 <= found.timeline.typical.days_off_road <= found.timeline.high.days_off_road <= 3


@pytest.mark.parametrize("body", CARS)
def test_full_body_takes_25_to_60_hours_and_two_to_seven_days(body: str) -> None:
    """Guides: two to five days at the shop; hours and the upper end of the days from memory."""
    found = estimated(chosen(body, "full_body"))
    assert 25 <= found.labour_hours["typical"] <= 60
    assert 2 <= found.timeline.typical.days_off_road <= found.timeline.high.days_off_road <= 7


@pytest.mark.parametrize("body", CARS)
@pytest.mark.parametrize("package", ["full_front", "full_body"])
@pytest.mark.parametrize("edges", ["trimmed", "wrapped", "hidden"])
def test_film_is_a_sixth_to_two_fifths_of_the_price(body: str, package: str, edges: str) -> None:
    """Guides: 20 to 40 %; less where parts come off, since that adds hands only."""
    assert 0.17 <= _film_share(estimated(chosen(body, package, edges=edges))) <= 0.40


@pytest.mark.parametrize("body", ["coupe", "sedan"])
def test_correcting_a_front_adds_four_to_eight_hours(body: str) -> None:
    """Two guides, for two-step correction of the front end."""
    more = _hours(body, "full_front", vehicle={"prep": {"correction": "two_step"}}) - _hours(body, "full_front")
    assert 4 <= more <= 8


@pytest.mark.parametrize("body", ["coupe", "sedan"])
def test_washing_and_decontaminating_a_whole_car_takes_two_to_four_hours(body: str) -> None:
    """One guide: wash, decontamination, clay."""
    work = {operation.id: operation.mean for operation in estimated(chosen(body, "full_body")).operations}
    assert 2 <= work["wash"] / 60 <= 4
