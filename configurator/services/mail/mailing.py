"""The mails that the desk writes: each goes into the outbox in the same transaction as what it tells."""

from datetime import datetime
from zoneinfo import ZoneInfo

from configurator.domain.desk import STAFF_LINK, NewMail, Request
from configurator.domain.message import Fact
from configurator.services.desk import Desk
from configurator.services.ports import Work
from configurator.wording.phones import phone
from configurator.wording.words import words_for


def about_new_request(request: Request, desk: Desk, work: Work) -> None:
    """To the visitor: it has arrived, and the private link. To the shop: it is there, and by when an answer was promised."""
    due = shop_time(request.answer_due, desk)
    to_visitor(request, desk, work, "request_received", answer_due=due, price_range=_range(request, request.locale))
    to_shop(request, desk, work, "new_request", answer_due=due, price_range=_range(request, desk.default_locale), staff_link=STAFF_LINK)


def to_visitor(request: Request, desk: Desk, work: Work, kind: str, *, calendar: str | None = None, **facts: Fact | None) -> None:
    """A mail to whoever sent the request, in their language."""
    shop = desk.book.shop
    letter = desk.letters.write(
        kind, request.locale, reference=request.reference, name=request.contact.name, shop=shop.name, shop_phone=phone(shop.phone), **facts
    )
    mail = NewMail(
        kind=kind, recipient=request.contact.email, letter=letter, locale=request.locale, request_id=request.id, calendar=calendar
    )
    work.mails.add(mail, desk.clock())


def to_shop(request: Request, desk: Desk, work: Work, kind: str, **facts: Fact | None) -> None:
    """A mail to the shop's own address; it names no person, only the reference."""
    letter = desk.letters.write(kind, desk.default_locale, reference=request.reference, shop=desk.book.shop.name, **facts)
    mail = NewMail(kind=kind, recipient=desk.book.shop.email, letter=letter, locale=desk.default_locale, request_id=request.id)
    work.mails.add(mail, desk.clock())


def shop_time(moment: datetime, desk: Desk) -> datetime:
    """A moment on the shop's own clock."""
    return moment.astimezone(ZoneInfo(desk.book.hours.time_zone))


def _range(request: Request, locale: str) -> str:
    price = request.estimate.price
    return words_for(locale).money_range(price.low, price.high, price.currency)
