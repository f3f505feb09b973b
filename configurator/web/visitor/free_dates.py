"""The first free drop-off dates for a plan, the one that is picked among them."""

from dataclasses import replace

from configurator.domain.timeline import Opening
from configurator.services.places.finding_openings import free_places
from configurator.services.ports import StoreUnavailable
from configurator.web.visitor.plan import Plan
from configurator.web.wiring import wired

MOST = 6


def free_dates(plan: Plan) -> tuple[Opening, ...]:
    """Up to MOST places from now on; a picked day that is free but lies later is added at the end.

    None while the database doesn't answer: the estimate doesn't need it, and a date that may be taken is worse than none.
    """
    try:
        agenda = wired().bookings()
    except StoreUnavailable:
        return ()
    shop, now = wired().shop, wired().clock()
    places = free_places(shop, replace(plan.given, drop_off=None), agenda, now)[:MOST]
    picked = plan.given.drop_off
    if picked is None or any(place.drop_off.date() == picked for place in places):
        return places
    later = free_places(shop, plan.given, agenda, now)[:1]
    return (*places, *(place for place in later if place.drop_off.date() == picked))
