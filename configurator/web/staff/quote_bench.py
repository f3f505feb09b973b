"""The quote in the making as the desk reads it: lines against the estimate, price against the band, margin, what still blocks it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from configurator.domain.estimate import PriceRange
from configurator.domain.firm_price import MINIMUM, estimated_amount
from configurator.domain.job_cost import JobCost, job_cost, margin
from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.quoting import ADDED, FirmPrice, Quote, QuoteLine, Reader, caution_key
from configurator.domain.review import Need
from configurator.errors import InvalidInput
from configurator.services.quotes.quoting import Workbench
from configurator.web.i18n import words
from configurator.web.quote_reading import line_label
from configurator.web.range_strips import Strip, axis_over
from configurator.web.request_reading import CautionRow, caution_row, sentence, shop_time
from configurator.web.wiring import wired
from configurator.wording.words import Words


@dataclass(frozen=True)
class BenchLine:
    """One line on the desk. `is_outdated`: adjusted on another figure than today's, so somebody must look again."""

    id: str
    label: str
    why: str
    estimated: str
    now: str
    change: str
    reason: str
    reader: Reader
    is_added: bool
    is_struck: bool
    is_changed: bool
    is_outdated: bool
    amount: str


@dataclass(frozen=True)
class Check:
    """One thing that must hold before the quote can go. `tone`: good, care (may go) or stop (may not)."""

    tone: str
    text: str


@dataclass(frozen=True)
class SettleRow:
    key: str
    caution: CautionRow
    how: str


@dataclass(frozen=True)
class VersionRow:
    """A sent quote in the list of versions."""

    version: int
    sent: str
    total: str
    standing: str


@dataclass(frozen=True)
class Margin:
    """For the desk only: cost, what is left of the price, and of it where the work runs long."""

    cost: str
    share: str
    late_share: str
    hands_at_cost: bool
    is_low: bool
    least: str


@dataclass(frozen=True)
class BenchReading:
    """The page's reading."""

    lines: tuple[BenchLine, ...]
    before_rounding: str
    estimated_before: str
    tax: str
    rounding: str
    total: str
    tax_words: str
    checks: tuple[Check, ...]
    settle: tuple[SettleRow, ...]
    versions: tuple[VersionRow, ...]
    strip: Strip
    band: str
    margin: Margin | None
    can_go: bool


def read_bench(bench: Workbench, gone: Iterable[str] = ()) -> BenchReading:
    """The reading in the language of the page. `gone`: offered dates that are taken or over, in words."""
    gone = tuple(gone)
    say, price, told = words(), bench.price, _told(bench)
    band = comparable(told, price)
    cost = _cost(bench)
    left = _margin(price, cost, say) if cost else None
    before = price.net
    return BenchReading(
        lines=tuple(_line(line, bench, say) for line in price.lines),
        before_rounding=say.money(before, price.currency),
        estimated_before=say.money(_estimated_net(bench.request.estimate), price.currency),
        tax=say.money(price.tax, price.currency) if price.tax else "",
        rounding=say.money(price.rounding, price.currency),
        total=say.money(price.total, price.currency),
        tax_words=say.gettext("tax excluded") if price.tax_shown == "excluded" else say.gettext("tax included"),
        checks=(*_gone(gone, say), *_checks(bench, band, left, say)),
        settle=tuple(_settle(bench, say)),
        versions=tuple(version_row(quote, say) for quote in reversed(bench.quotes)),
        strip=axis_over([band.low, band.high, price.total, *([cost.typical] if cost else [])]).strip(
            band.low, band.typical, band.high, firm=price.total, cost=cost.typical if cost else None
        ),
        band=say.money_range(band.low, band.high, price.currency),
        margin=left,
        can_go=bench.can_be_written and not bench.missing and not gone,
    )


def comparable(told: PriceRange, price: FirmPrice) -> PriceRange:
    """The range that the visitor was told, without tax where the quote is a business's and stands without."""
    if told.tax == price.tax_shown or not price.tax_rate or price.tax_shown != "excluded":
        return told
    low, typical, high = (amount / (1 + price.tax_rate) for amount in (told.low, told.typical, told.high))
    return PriceRange(told.currency, low, typical, high, price.tax_shown, told.confidence)


def _told(bench: Workbench) -> PriceRange:
    return bench.original.estimate.price if bench.original else bench.request.estimate.price


def _estimated_net(estimate: KeptEstimate) -> Decimal:
    return sum((line.typical for line in estimate.lines if line.code not in {"tax", "rounding"}), Decimal(0))


def _line(line: QuoteLine, bench: Workbench, say: Words) -> BenchLine:
    currency = bench.price.currency
    estimated = None if line.code == ADDED else estimated_amount(bench.request.estimate, line.code)
    change = line.amount - (estimated or Decimal(0))
    text = say.money(abs(change), currency)
    return BenchLine(
        id=line.id,
        label=line_label(line, say),
        why=sentence(line.why, say) if line.why else "",
        estimated=say.money(estimated, currency) if estimated is not None and not (line.code == MINIMUM and not estimated) else "–",
        now=say.money(line.amount, currency),
        change="" if not change else f"+{text}" if change > 0 else f"−{text}",
        reason=line.reason,
        reader=line.reader,
        is_added=line.code == ADDED,
        is_struck=line.struck,
        is_changed=line.id in bench.draft.adjustments or line.code == ADDED,
        is_outdated=line.id in bench.outdated,
        amount=str(line.amount),
    )


def _gone(dates: tuple[str, ...], say: Words) -> Iterable[Check]:
    for text in dates:
        yield Check("stop", say.gettext("%(day)s is not free any more: offer another date") % {"day": text})


def _checks(bench: Workbench, band: PriceRange, left: Margin | None, say: Words) -> Iterable[Check]:
    if bench.outdated:
        names = say.list([say.name("line", code) for code in bench.outdated])
        yield Check("stop", say.gettext("The estimate of a changed line is another now; look at it again: %(lines)s") % {"lines": names})
    else:
        yield Check("good", say.gettext("Every changed line has a reason"))
    if bench.unsettled:
        count = len(bench.unsettled)
        yield Check("stop", say.ngettext("%(num)s caution still to settle", "%(num)s cautions still to settle", count) % {"num": count})
    else:
        yield Check("good", say.gettext("Every red caution is settled"))
    if Need.EXPIRY_WITHIN_HELD_DATES in bench.missing:
        yield Check("stop", say.gettext("It would hold for longer than its last offered date, or its last day is over"))
    yield _against_the_band(bench.price, band, say)
    if left is not None:
        facts = {"share": left.share, "least": left.least}
        if left.is_low:
            yield Check("care", say.gettext("Margin %(share)s is below the shop's floor of %(least)s") % facts)
        elif left.least:
            yield Check("good", say.gettext("Margin %(share)s, floor %(least)s") % facts)
    if bench.to_acknowledge:
        lamps = say.list([say.name("lamp", lamp) for lamp in bench.to_acknowledge])
        yield Check("care", say.gettext("The customer will be asked to confirm off-road or show use: %(lamps)s") % {"lamps": lamps})
    if not bench.draft.offers:
        yield Check("care", say.gettext("No date is offered: the customer can only accept without one"))


def _against_the_band(price: FirmPrice, band: PriceRange, say: Words) -> Check:
    if band.low <= price.total <= band.high:
        return Check("good", say.gettext("The price is inside the range the visitor saw"))
    by = price.total - band.high if price.total > band.high else band.low - price.total
    facts = {"amount": say.money(by, price.currency, short=True)}
    if price.total > band.high:
        return Check("care", say.gettext("The price is %(amount)s above the range the visitor saw: say why in a printed reason") % facts)
    return Check("care", say.gettext("The price is %(amount)s below the range the visitor saw") % facts)


def _settle(bench: Workbench, say: Words) -> Iterable[SettleRow]:
    for caution in bench.request.estimate.cautions:
        if caution.severity == "stop":
            key = caution_key(caution)
            yield SettleRow(key, caution_row(caution, bench.request, say), bench.draft.settled.get(key, ""))


def version_row(quote: Quote, say: Words) -> VersionRow:
    """A sent quote, and what became of it."""
    price = quote.content.price
    if quote.accepted_at:
        standing = say.gettext("accepted")
    elif quote.declined_at:
        standing = say.gettext("declined")
    elif quote.voided_at:
        standing = say.gettext("void")
    elif quote.has_expired(wired().clock()):
        standing = say.gettext("ran out")
    elif quote.opened_at:
        standing = say.gettext("seen %(moment)s") % {"moment": say.datetime(shop_time(quote.opened_at), "medium")}
    else:
        standing = say.gettext("not seen yet")
    sent = f"{say.datetime(shop_time(quote.sent_at), 'medium')}, {quote.sent_by_name}"
    return VersionRow(quote.version, sent, say.money(price.total, price.currency), standing)


def _cost(bench: Workbench) -> JobCost | None:
    """What the job costs the shop; None where today's price book can't make it any more."""
    desk = wired().desk()
    try:
        return job_cost(desk.estimate(desk.load_selection(bench.request.selection)), desk.book)
    except InvalidInput:
        return None


def _margin(price: FirmPrice, cost: JobCost, say: Words) -> Margin | None:
    net = price.total - price.tax
    shares = [margin(net, amount) for amount in (cost.typical, cost.late)]
    if shares[0] is None or shares[1] is None:
        return None
    least = wired().shop.book.terms.least_margin
    return Margin(
        cost=say.money(cost.typical, price.currency, short=True),
        share=say.percent(shares[0]),
        late_share=say.percent(shares[1]),
        hands_at_cost=cost.hands_at_cost,
        is_low=least is not None and shares[0] < least,
        least=say.percent(least) if least is not None else "",
    )
