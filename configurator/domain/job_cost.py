"""What a job costs the shop itself, as far as its price book says so, and what a price leaves over.

Film and tape at cost, overhead and consumables as they are; hands at `rates.cost_per_hour` where the book has it, else at the rate
that customers pay, which makes the margin look smaller than it is (`hands_at_cost` says which).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from configurator.domain.costing import Hands, costs
from configurator.domain.estimate import Estimate
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.money import to_money
from configurator.domain.price_book import PriceBook


@dataclass(frozen=True)
class JobCost:
    """Cost at the mean, and where the work runs to its late hours; money without tax."""

    typical: Decimal
    late: Decimal
    hands_at_cost: bool


def job_cost(estimate: Estimate, book: PriceBook) -> JobCost:
    """The cost of an estimate that was made with this book."""
    spent = costs(estimate.scope, estimate.operations, estimate.film, book)
    hands = sum(_hands(item, book) for item in spent.hands)
    other = _film(estimate.film, book) + spent.tape + spent.consumables + spent.overhead + spent.risk.mean
    hours = sum(item.minutes for item in spent.hands) / 60
    hourly = hands / hours + float(book.rates.overhead_per_hour) if hours else 0.0
    longer = max(estimate.labour_hours["high"] - hours, 0.0) * hourly
    return JobCost(to_money(hands + other, book.currency), to_money(hands + other + longer, book.currency), bool(book.rates.cost_per_hour))


def margin(net: Decimal, cost: Decimal) -> float | None:
    """The share of a price without tax that is left after its cost; None for a price of nothing."""
    return float((net - cost) / net) if net > 0 else None


def _hands(item: Hands, book: PriceBook) -> float:
    role = item.operation.role
    at_cost = book.rates.cost_per_hour.get(role) if role else None
    return item.minutes * (float(at_cost) / 60 if at_cost is not None else item.rate)


def _film(uses: Sequence[FilmUse], book: PriceBook) -> float:
    return sum(use.length_m * float(book.films[use.film].roll(use.roll_width_mm).cost_per_m) for use in uses)
