"""What an empty inbox says: why it is empty, and proof that everything behind it works."""

from dataclasses import dataclass

from configurator.domain.selection import Package, Selection, Vehicle
from configurator.services.estimating import estimate
from configurator.web.health import outbox_is_silent
from configurator.web.i18n import words
from configurator.web.wiring import wired


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
    """Tries the engine and the outbox."""
    return Proof(newest_id == 0, (_engine(), _outbox()))


def _engine() -> Check:
    """An estimate as a visitor gets it, with today's price book."""
    say, shop = words(), wired().shop
    body = next(iter(shop.styles))
    price = estimate(shop, Selection(vehicle=Vehicle(body=body), package=Package.FULL_FRONT)).price
    facts = {"package": say.name("package", Package.FULL_FRONT), "body": say.name("body", body)}
    facts["range"] = say.money_range(price.low, price.high, price.currency)
    return Check(True, say.gettext("The configurator works: %(package)s on %(body)s is %(range)s just now.") % facts)


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
