"""Where a price range lies on an axis: the figures behind the range strips of inbox and request page."""

import math
from dataclasses import dataclass
from decimal import Decimal

WIDTH = 100.0
"""The strip's own units; the page scales it."""


@dataclass(frozen=True)
class Strip:
    """Positions of low, typical, high (and of a firm price and the cost, where they are) from 0 to WIDTH."""

    low: float
    typical: float
    high: float
    firm: float | None = None
    cost: float | None = None


@dataclass(frozen=True)
class Axis:
    """A logarithmic axis: equal distances are equal ratios, so that the width of a band is its relative uncertainty."""

    least: float
    most: float

    def at(self, amount: Decimal | float) -> float:
        """The position of an amount; held inside the strip."""
        share = math.log(max(float(amount), 1.0) / self.least) / math.log(self.most / self.least)
        return round(min(max(share, 0.0), 1.0) * WIDTH, 2)

    def strip(self, low: Decimal, typical: Decimal, high: Decimal, *, firm: Decimal | None = None, cost: Decimal | None = None) -> Strip:
        return Strip(
            self.at(low),
            self.at(typical),
            self.at(high),
            self.at(firm) if firm is not None else None,
            self.at(cost) if cost is not None else None,
        )


def axis_over(amounts: list[Decimal]) -> Axis:
    """An axis that holds all amounts with a little room at both ends."""
    positive = [float(amount) for amount in amounts if amount > 0] or [1.0]
    return Axis(min(positive) / 1.08, max(positive) * 1.08)
