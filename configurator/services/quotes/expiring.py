"""The clock's own move: a quote whose last day is over has expired. Made by the outbox worker, and by whoever looks at it first."""

from configurator.domain.desk import CLOCK, Request
from configurator.domain.review import MoveRefused, Need, State
from configurator.services.desk import Desk
from configurator.services.mail import mailing
from configurator.services.ports import ChangedMeanwhile
from configurator.services.reviewing import find, move

BATCH = 50


def expire_due(desk: Desk, *, limit: int = BATCH) -> int:
    """Lets every quote expire whose time has come, each by itself; how many did."""
    with desk.store.reading() as work:
        references = work.quotes.run_out(desk.clock(), limit=limit)
    return sum(_expire(reference, desk) for reference in references)


def expire_if_due(request: Request, desk: Desk) -> Request:
    """The request as it is after the clock had its say."""
    if request.state is not State.QUOTED:
        return request
    with desk.store.reading() as work:
        quote = work.quotes.current(request.id)
    if quote is None or not quote.has_expired(desk.clock()):
        return request
    _expire(request.reference, desk)
    with desk.store.reading() as work:
        return find(request.reference, work)


def _expire(reference: str, desk: Desk) -> bool:
    """Whether it was this call that moved it: somebody may have answered, or sent a new quote, a moment before."""
    try:
        with desk.store.writing() as work:
            request = find(reference, work)
            quote = work.quotes.current(request.id)
            if quote is None or not quote.has_expired(desk.clock()):
                return False
            expired = move(request, State.EXPIRED, CLOCK, desk, work, met=[Need.EXPIRY_PASSED], facts={"version": quote.version})
            mailing.to_visitor(expired, desk, work, "quote_expired")
            mailing.to_shop(expired, desk, work, "quote_expired_shop")
            return True
    except (MoveRefused, ChangedMeanwhile):
        return False
