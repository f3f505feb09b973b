"""The drop-offs that a quote offers: what is free, and whether what was picked still is."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time
from zoneinfo import ZoneInfo

from configurator.domain.appointments import Choice, Place
from configurator.domain.desk import Request
from configurator.domain.message import Message
from configurator.domain.quote_rules import MOST_OFFERS
from configurator.domain.quoting import Draft, Offer
from configurator.domain.timeline import Opening
from configurator.errors import Fault, InvalidInput
from configurator.services.desk import Desk
from configurator.services.places import placing
from configurator.services.places.placing import Look
from configurator.services.ports import Work

SHOWN = 6
"""Free drop-offs that the desk picks from."""
NEAR_A_WISH = 2
"""And so many more from each day on that the visitor asked for."""


@dataclass(frozen=True)
class OfferLook:
    """A drop-off on the desk: picked or not, and why it can't be had (empty: it can)."""

    offer: Offer
    picked: bool
    why: tuple[Message, ...] = ()


def choices(request: Request, draft: Draft, desk: Desk, work: Work) -> tuple[OfferLook, ...]:
    """For the desk: what is picked already, the next free drop-offs, and those from each day on that the visitor asked for.

    In date order. Raises InvalidInput as the engine does.
    """
    picked = [_look(request, offer, desk, work) for offer in draft.offers]
    zone = ZoneInfo(desk.book.hours.time_zone)
    wanted = [datetime.combine(day, time.min, zone) for day in request.dates]
    free = {
        opening.drop_off: opening
        for after, limit in ((desk.clock(), SHOWN), *((moment, NEAR_A_WISH) for moment in wanted))
        for opening in placing.next_places(request, after, desk, work, limit=limit)
    }
    return _with_free_ones(picked, free.values())


def choices_left(request: Request, offers: Iterable[Offer], desk: Desk, work: Work) -> tuple[OfferLook, ...]:
    """For the customer: what was offered and, as soon as one of it is gone, the next free drop-offs beside it."""
    offered = [_look(request, offer, desk, work) for offer in offers]
    if not any(look.why for look in offered):
        return tuple(offered)
    free = [
        look
        for look in _with_free_ones(offered, placing.next_places(request, desk.clock(), desk, work, limit=MOST_OFFERS))
        if not look.picked
    ]
    return (*offered, *free)


def _with_free_ones(picked: list[OfferLook], free: Iterable[Opening]) -> tuple[OfferLook, ...]:
    taken = {look.offer.drop_off for look in picked}
    return tuple(
        sorted(
            [*picked, *(OfferLook(offer_of(opening), picked=False) for opening in free if opening.drop_off not in taken)],
            key=lambda look: look.offer.drop_off,
        )
    )


def picked_offers(request: Request, moments: Iterable[datetime], desk: Desk, work: Work) -> tuple[Offer, ...]:
    """The offers of these drop-offs. Raises InvalidInput for more than a few, and for one that isn't free."""
    wanted = sorted(set(moments))
    if len(wanted) > MOST_OFFERS:
        raise InvalidInput([Fault("offers", "too_many", {"most": MOST_OFFERS})])
    looks = [(moment, _best_look(request, moment, desk, work)) for moment in wanted]
    zone = ZoneInfo(desk.book.hours.time_zone)
    faults = [Fault("offers", "offer_taken", {"day": moment.astimezone(zone).date()}) for moment, look in looks if look.why]
    if faults:
        raise InvalidInput(faults)
    return tuple(_offer_at(moment, look.place) for moment, look in looks)


def offers_as_they_are(request: Request, draft: Draft, desk: Desk, work: Work) -> tuple[Offer, ...]:
    """The draft's offers with the hand-backs of the scope as it now is. Raises InvalidInput for one that is taken or over."""
    return picked_offers(request, (offer.drop_off for offer in draft.offers), desk, work) if draft.offers else ()


def offer_of(opening: Opening) -> Offer:
    """A free place as an offer."""
    return Offer(opening.drop_off, opening.hand_back_typical, opening.hand_back_high, opening.days_typical, opening.days_high, opening.bay)


def _look(request: Request, offer: Offer, desk: Desk, work: Work) -> OfferLook:
    look = _best_look(request, offer.drop_off, desk, work)
    return OfferLook(_offer_at(offer.drop_off, look.place), picked=True, why=look.why)


def _best_look(request: Request, drop_off: datetime, desk: Desk, work: Work) -> Look:
    """The first bay that is free then; the first bay where none is, to say why."""
    looks = [placing.look_at(request, Choice(drop_off, bay), desk, work) for bay in range(1, desk.book.hours.bays + 1)]
    return next((look for look in looks if not look.why), looks[0])


def _offer_at(moment: datetime, place: Place) -> Offer:
    return Offer(moment, place.typical_end, place.late_end, place.days_typical, place.days_high, place.bay)
