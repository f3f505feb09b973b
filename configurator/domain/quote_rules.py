"""What a quote needs before it can go out, how long it may hold, and what the customer still has to confirm."""

from collections.abc import Collection, Iterable, Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from configurator.domain.estimate import Caution
from configurator.domain.firm_price import outdated
from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.lamps import needs_acknowledging
from configurator.domain.light import LampLight
from configurator.domain.money import rounded
from configurator.domain.quoting import Draft, FirmPrice, Offer, Original, caution_key
from configurator.domain.review import Need
from configurator.domain.terms import Terms

MOST_OFFERS = 3


def to_settle(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions that somebody must have dealt with before a quote goes out: the severity `stop`."""
    return tuple(caution for caution in cautions if caution.severity == "stop")


def unsettled(estimate: KeptEstimate, draft: Draft) -> tuple[Caution, ...]:
    """Those of them that nobody has dealt with."""
    return tuple(caution for caution in to_settle(estimate.cautions) if not draft.settled.get(caution_key(caution)))


def expiry_of(draft: Draft, today: date, terms: Terms, zone: ZoneInfo) -> date:
    """The last day a quote holds: as typed, else the book's days from today, but never after the last date that is offered."""
    if draft.expiry is not None:
        return draft.expiry
    usual = today + timedelta(days=terms.quote_valid_days)
    last = last_offered(draft.offers, zone)
    return usual if last is None else max(min(usual, last), today)


def last_offered(offers: Iterable[Offer], zone: ZoneInfo) -> date | None:
    """The latest drop-off that is offered, a day of the shop's own calendar."""
    return max((offer.drop_off.astimezone(zone).date() for offer in offers), default=None)


def is_within_offers(expiry: date, offers: Collection[Offer], zone: ZoneInfo) -> bool:
    """Whether there is still a date to accept on the quote's last day."""
    last = last_offered(offers, zone)
    return last is None or expiry <= last


def end_of(day: date, zone: ZoneInfo) -> datetime:
    """The moment at which a day is over on the shop's clock."""
    return datetime.combine(day + timedelta(days=1), time.min, zone)


def met_needs(estimate: KeptEstimate, draft: Draft, expiry: date, today: date, zone: ZoneInfo) -> frozenset[Need]:
    """Which needs of sending a quote are met; the state table says which must be."""
    return frozenset(_met(estimate, draft, expiry, today, zone))


def _met(estimate: KeptEstimate, draft: Draft, expiry: date, today: date, zone: ZoneInfo) -> Iterator[Need]:
    if not unsettled(estimate, draft):
        yield Need.SETTLED_CAUTIONS
    reasons = [*(change.reason for change in draft.adjustments.values()), *(added.reason for added in draft.additions)]
    if all(reasons) and not outdated(estimate, draft):
        yield Need.REASON_PER_CHANGE
    if expiry >= today and is_within_offers(expiry, draft.offers, zone):
        yield Need.EXPIRY_WITHIN_HELD_DATES


def deposit_of(draft: Draft, price: FirmPrice, terms: Terms) -> Decimal:
    """What the shop asks for to hold the date: as typed, else the book's share of the price."""
    return draft.deposit if draft.deposit is not None else rounded(price.total * terms.deposit_share, price.currency)


def still_acknowledged(original: Original, light: Iterable[LampLight]) -> frozenset[str]:
    """The lamps that the visitor confirmed and that carry the same film as then: a darker one must be confirmed again."""
    before = {row.lamp: row.film for row in original.estimate.light}
    return frozenset(row.lamp for row in light if row.lamp in original.acknowledged and before.get(row.lamp) == row.film)


def confirmations(light: Iterable[LampLight], acknowledged: Collection[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The lamps that need off-road or show use confirmed: those for which the visitor did so, and those still to be confirmed."""
    needed = needs_acknowledging(light)
    return tuple(lamp for lamp in needed if lamp in acknowledged), tuple(lamp for lamp in needed if lamp not in acknowledged)
