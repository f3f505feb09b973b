"""The price of a job: a range with its typical figure, and lines that add up to the typical to the smallest unit of money.

Each cost stands on its line at its mean; the line `spread` leads from the sum of means to the median of the whole, `rounding` to
the shop's step. The range is rounded outward (low down, high up), so that a firm price of the same job falls inside what was shown.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from configurator.domain.costing import Costs
from configurator.domain.drivers import drivers
from configurator.domain.estimate import Driver, Line, PriceRange
from configurator.domain.message import Fact, Message
from configurator.domain.moments import Z10, Z50, Z90, Moments, correlated_variance
from configurator.domain.money import down_to_step, rounded, tax_inside, to_money, to_step, up_to_step
from configurator.domain.price_book import Customer, PriceBook, TaxShown
from configurator.domain.selection import Package

CONFIDENCE = 0.8
"""Low is the first, high the ninth decile: eight of ten such jobs are expected to end between them."""

ZERO = Decimal(0)


@dataclass(frozen=True)
class Priced:
    price: PriceRange
    lines: tuple[Line, ...]
    drivers: tuple[Driver, ...]
    labour_hours: Mapping[str, float]


@dataclass(frozen=True)
class Amounts:
    """Low, typical and high of one thing."""

    low: Decimal
    typical: Decimal
    high: Decimal

    def __add__(self, other: "Amounts") -> "Amounts":
        return Amounts(self.low + other.low, self.typical + other.typical, self.high + other.high)

    def __sub__(self, other: "Amounts") -> "Amounts":
        return Amounts(self.low - other.low, self.typical - other.typical, self.high - other.high)

    def each(self, change: Callable[[Decimal], Decimal]) -> "Amounts":
        return Amounts(change(self.low), change(self.typical), change(self.high))

    def line(self, code: str, **facts: Fact) -> Line:
        """As a price line, explained by the message `line_<code>`; its ends in order (a discount on a high price is the lower one)."""
        ends = (self.low, self.typical, self.high)
        return Line(code, min(ends), self.typical, max(ends), Message(f"line_{code}", facts))


def price_of_nothing(book: PriceBook, customer: Customer) -> PriceRange:
    """The price of an empty scope."""
    zero = to_money(0.0, book.currency)
    return PriceRange(book.currency, zero, zero, zero, tax=str(book.tax.shown_to(customer)), confidence=CONFIDENCE)


def price(costs: Costs, book: PriceBook, *, package: Package, customer: Customer = Customer.CONSUMER) -> Priced:
    """Range, lines, drivers and hands-on hours of a job with these costs. The package's discount stays whatever was added to it."""
    means = tuple(_cost_lines(costs, book.currency))
    total = Amounts(*(to_money(costs.quantile(z), book.currency) for z in (Z10, Z50, Z90)))
    after = _Adjusted.of(total, book, package, customer)
    sum_of_means = sum((line.typical for line in means), ZERO)
    spread = total.each(lambda amount: amount - sum_of_means).line("spread")
    lines = (*means, spread, *after.lines(book, package))
    shown = after.shown
    return Priced(
        price=PriceRange(book.currency, shown.low, shown.typical, shown.high, str(book.tax.shown_to(customer)), CONFIDENCE),
        lines=tuple(line for line in lines if line.code == "rounding" or line.low or line.typical or line.high),
        drivers=drivers(costs),
        labour_hours={name: costs.minutes.lognormal_quantile(z) / 60 for name, z in (("typical", Z50), ("high", Z90))},
    )


@dataclass(frozen=True)
class _Adjusted:
    """The way from the cost of a job to the price that is shown."""

    total: Amounts
    discounted: Amounts
    floored: Amounts
    tax: Amounts
    shown: Amounts

    @classmethod
    def of(cls, total: Amounts, book: PriceBook, package: Package, customer: Customer) -> "_Adjusted":
        share = 1 - _discount(book, package)
        discounted = total.each(lambda amount: rounded(amount * share, book.currency))
        floored = discounted.each(lambda amount: max(amount, book.rates.minimum))
        rate = book.tax.rate if book.tax.shown_to(customer) is TaxShown.INCLUDED and book.tax.rate else ZERO
        gross = floored.each(lambda amount: rounded(amount * (1 + rate), book.currency))
        step = book.rates.step
        shown = Amounts(down_to_step(gross.low, step), to_step(gross.typical, step), up_to_step(gross.high, step))
        shown = shown.each(lambda amount: rounded(amount, book.currency))
        return cls(total, discounted, floored, shown.each(lambda amount: tax_inside(amount, rate, book.currency)), shown)

    def lines(self, book: PriceBook, package: Package) -> Iterator[Line]:
        """Each step of the way as a line; with the lines before them their typical figures add up to the one shown."""
        rates = book.rates
        yield (self.discounted - self.total).line("discount", package=str(package), share=_discount(book, package))
        yield (self.floored - self.discounted).line("minimum", minimum=rates.minimum, currency=book.currency)
        yield self.tax.line("tax", rate=book.tax.rate or ZERO)
        yield (self.shown - self.floored - self.tax).line("rounding", step=rates.step, currency=book.currency)


def _discount(book: PriceBook, package: Package) -> Decimal:
    return ZERO if package is Package.NONE else book.packages[package].discount


# -- what things cost, each on its line at its mean


def _cost_lines(costs: Costs, currency: str) -> Iterator[Line]:
    def line(code: str, mean: float, spread: Moments | None = None, **facts: Fact) -> Line:
        low, high = (mean, mean) if spread is None else (spread.lognormal_quantile(z) for z in (Z10, Z90))
        return Amounts(*(to_money(amount, currency) for amount in (low, mean, high))).line(code, **facts)

    for code in ("film", "lamp_film", "windshield_film"):
        use = costs.film[code]
        spread = Moments(use.money, (costs.film_cv * use.money) ** 2)
        yield line(code, use.money, spread, metres=use.metres, area_m2=use.piece_area_m2)
    for code in ("labour", "parts", "prep"):
        hands = tuple(item for item in costs.hands if item.line == code)
        tape = costs.tape if code == "parts" else 0.0
        wages = sum(item.wage for item in hands)
        alone = correlated_variance((item.minutes_deviation * item.rate for item in hands), costs.correlation)
        spread = Moments(wages + tape, alone + (costs.unseen_cv * wages) ** 2)
        yield line(code, wages + tape, spread, hours=sum(item.minutes for item in hands) / 60, parts=costs.parts)
    yield line("consumables", costs.consumables, area_m2=costs.area_m2)
    yield line("overhead", costs.overhead, hours=costs.minutes.mean / 60)
    yield line("risk", costs.risk.mean, costs.risk, pieces=sum(risk.family == "remakes" for risk in costs.risks), parts=costs.parts)
