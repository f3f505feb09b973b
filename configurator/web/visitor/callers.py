"""What is different when somebody of the staff fills the configurator in for a caller: who sends it, and whom the shop knows already."""

from configurator.domain.desk import VISITOR, Person
from configurator.web.staff import guard
from configurator.web.visitor.look import Look
from configurator.web.visitor.sent_fields import NOTHING_SENT, SentFields
from configurator.web.wiring import wired

PHONE = "phone"
"""Source of a request that came by a call, in the place of a site's origin."""


def sender(look: Look) -> Person:
    """Who sends a request: the visitor, or the staff member who took the call."""
    return guard.person() if look.at_desk else VISITOR


def known_contact(look: Look) -> SentFields:
    """The contact of a customer whose page the call was started from."""
    if not look.customer:
        return NOTHING_SENT
    with wired().store.reading() as work:
        customer = work.customers.by_id(int(look.customer))
    if customer is None:
        return NOTHING_SENT
    return SentFields(name=customer.name, email=customer.email, phone=customer.phone or "", language=customer.language)
