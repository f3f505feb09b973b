"""A firm price against the range that the visitor was told: on one footing, also where a business is quoted without tax."""

from decimal import Decimal

import pytest

from configurator.domain.estimate import PriceRange
from configurator.domain.quoting import FirmPrice
from configurator.web.staff.quote_bench import comparable


def firm(shown: str, rate: str | None) -> FirmPrice:
    total = Decimal("2000.00")
    return FirmPrice("EUR", (), total, Decimal(0), Decimal(0), total, shown, Decimal(rate) if rate is not None else None)


TOLD = PriceRange("EUR", Decimal("1190.00"), Decimal("2380.00"), Decimal("3570.00"), "included", 0.8)


def test_a_business_compares_without_tax() -> None:
    """19 % inside: 1190 / 1.19 = 1000, 2380 / 1.19 = 2000, 3570 / 1.19 = 3000."""
    band = comparable(TOLD, firm("excluded", "0.19"))

    assert (band.low, band.typical, band.high, band.tax) == (1000, 2000, 3000, "excluded")


@pytest.mark.parametrize(("shown", "rate"), [("included", "0.19"), ("excluded", None), ("excluded", "0")])
def test_otherwise_the_range_stays_as_it_was_told(shown: str, rate: str | None) -> None:
    assert comparable(TOLD, firm(shown, rate)) == TOLD
