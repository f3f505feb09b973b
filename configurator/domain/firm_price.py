"""The fixed price from the lines of an estimate as the desk changed them: to the cent, with tax by the book, in the shop's step.

The way is that of the estimate's own typical figure (`price.py`), so that a quote in which nothing was changed costs exactly that.
"""

from collections.abc import Iterator
from decimal import Decimal

from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.message import Message
from configurator.domain.money import rounded, tax_inside, to_step
from configurator.domain.price_book import Customer, PriceBook, TaxShown
from configurator.domain.quoting import ADDED, Adjustment, Draft, FirmPrice, QuoteLine

ZERO = Decimal(0)
MINIMUM = "minimum"
WORKED_OUT = frozenset({"tax", "rounding"})
"""Lines of an estimate that follow from the others; nobody adjusts them."""
MAY_BE_NEGATIVE = frozenset({"discount", "spread"})
"""Every other line is something that is paid for; a deduction is a line of its own, with its own reason."""


def firm_price(estimate: KeptEstimate, draft: Draft, book: PriceBook, customer: Customer = Customer.CONSUMER) -> FirmPrice:
    """The price of the draft's lines. Raises nothing: a line without a reason is refused when it is written."""
    currency = estimate.price.currency
    lines = tuple(_quoted(estimate, draft))
    lines += tuple(_minimum(estimate, draft, book, sum((line.amount for line in lines), ZERO)))
    net = sum((line.amount for line in lines), ZERO)
    rate, shown = book.tax.rate or ZERO, book.tax.shown_to(customer)
    included = shown is TaxShown.INCLUDED
    total = rounded(to_step(rounded(net * (1 + rate), currency) if included else net, book.rates.step), currency)
    tax = tax_inside(total, rate, currency) if included else rounded(ZERO, currency)
    return FirmPrice(
        currency=currency,
        lines=lines,
        net=net,
        tax=tax,
        rounding=total - net - tax,
        total=total,
        tax_shown=str(shown),
        tax_rate=book.tax.rate,
        tax_on_top=None if included or book.tax.rate is None else rounded(total * rate, currency),
    )


def outdated(estimate: KeptEstimate, draft: Draft) -> tuple[str, ...]:
    """Adjusted lines whose figure in the estimate is another now: the scope was changed since, so somebody must look again."""
    now = {line.code: line.typical for line in estimate.lines}
    return tuple(code for code, change in draft.adjustments.items() if code in now and now[code] != change.estimated)


def estimated_amount(estimate: KeptEstimate, code: str) -> Decimal | None:
    """What a line stands at in the estimate; None where it has no such line that can be adjusted. The minimum charge always can be."""
    if code in WORKED_OUT:
        return None
    if code == MINIMUM:
        return _minimum_of(estimate)
    return next((line.typical for line in estimate.lines if line.code == code), None)


def _quoted(estimate: KeptEstimate, draft: Draft) -> Iterator[QuoteLine]:
    for line in estimate.lines:
        if line.code not in WORKED_OUT and line.code != MINIMUM:
            yield _line(line.code, line.why, line.typical, draft.adjustments.get(line.code))
    for added in draft.additions:
        yield QuoteLine(added.id, ADDED, added.label, None, None, added.amount, reason=added.reason, reader=added.reader)


def _line(code: str, why: Message | None, estimated: Decimal, change: Adjustment | None) -> QuoteLine:
    if change is None:
        return QuoteLine(code, code, "", why, estimated, estimated)
    struck = change.amount is None
    amount = rounded_zero(estimated) if change.amount is None else change.amount
    return QuoteLine(code, code, "", why, estimated, amount, struck, change.reason, change.reader)


def rounded_zero(like: Decimal) -> Decimal:
    """Nothing, with as many decimals as another amount."""
    return ZERO.quantize(like)


def _minimum(estimate: KeptEstimate, draft: Draft, book: PriceBook, subtotal: Decimal) -> Iterator[QuoteLine]:
    """Up to the minimum charge, worked out again from the lines as they now stand, unless the desk changed it with a reason."""
    change = draft.adjustments.get(MINIMUM)
    missing = rounded(max(book.rates.minimum - subtotal, ZERO), estimate.price.currency)
    why = Message("line_minimum", {"minimum": book.rates.minimum, "currency": estimate.price.currency})
    if change is not None:
        yield _line(MINIMUM, why, _minimum_of(estimate), change)
    elif missing:
        yield QuoteLine(MINIMUM, MINIMUM, "", why, missing, missing)


def _minimum_of(estimate: KeptEstimate) -> Decimal:
    nothing = rounded(ZERO, estimate.price.currency)
    return next((line.typical for line in estimate.lines if line.code == MINIMUM), nothing)
