"""What an empty inbox says: why it is empty, and proof that everything behind it works."""

from dataclasses import dataclass

from configurator.domain.selection import Package, Selection, Vehicle
from configurator.services.estimating import estimate
from configurator.web.health import outbox_is_silent
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.wiring import wired
from configurator.wording.ages import age


@dataclass(frozen=True)
class Check:
    """One thing that was tried just now."""

    works: bool
    text: str


@dataclass(frozen=True)
class Proof:
    """`is_first_day`: nobody has ever sent anything."""

    is_first_day: bool
    checks: tuple[Check, ...]


def proof(newest_id: int) -> Proof:
    """Tries the engine and the outbox, and says where a visitor met the configurator last."""
    return Proof(newest_id == 0, (_engine(), *_last_seen(), _outbox()))


def _engine() -> Check:
    """An estimate as a visitor gets it, with today's price book."""
    say, shop = words(), wired().shop
    body = next(iter(shop.styles))
    price = estimate(shop, Selection(vehicle=Vehicle(body=body), package=Package.FULL_FRONT)).price
    facts = {"package": say.name("package", Package.FULL_FRONT), "body": say.name("body", body)}
    facts["range"] = say.money_range(price.low, price.high, price.currency)
    return Check(True, say.gettext("The configurator works. Tried just now: %(body)s, %(package)s, %(range)s.") % facts)


def _last_seen() -> tuple[Check, ...]:
    """The site of the shop that showed it last; none where it is on no other site."""
    say, now = words(), wired().clock()
    with wired().store.reading() as work:
        seen = work.sites.last_seen()
    if not seen:
        return ()
    site = max(seen, key=lambda origin: seen[origin])
    facts = {"site": site, "age": age(shop_time(seen[site]), shop_time(now), say)}
    return (Check(True, say.gettext("Last seen by a visitor on %(site)s (%(age)s).") % facts),)


def _outbox() -> Check:
    """Whether somebody is there to send mail, and where it goes."""
    say = words()
    with wired().store.reading() as work:
        beat = work.mails.last_beat()
    if outbox_is_silent(beat):
        return Check(False, say.gettext("Mail waits: the outbox worker is silent. Start it: flask --app app work-outbox"))
    if wired().settings.smtp_url:
        return Check(True, say.gettext("Mail leaves through your mail server."))
    return Check(True, say.gettext("Mail is written into a folder, since no mail server is set."))
