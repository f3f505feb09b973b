"""What every staff page shows around its content: who is in, where they may go, how much waits there."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, g, request, url_for

from configurator.domain.review import State
from configurator.domain.staff import Right, User
from configurator.services.access.device_sessions import HANDS_IDLE
from configurator.services.access.logging_in import IDLE
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.guard import at_tablet, form_token
from configurator.web.wiring import wired
from configurator.wording.words import Words


@dataclass(frozen=True)
class Entry:
    """One link of the rail. `count_means` is read out after the number."""

    text: str
    href: str
    is_here: bool
    count: int = 0
    count_means: str = ""
    is_hot: bool = False


@dataclass(frozen=True)
class NavGroup:
    title: str
    entries: tuple[Entry, ...]


def add_to(blueprint: Blueprint) -> None:
    """Gives every template of the staff area what the frame needs."""

    @blueprint.context_processor
    def frame() -> dict[str, object]:
        say = words()
        return {
            "form_token": form_token,
            "staff_user": staff_user,
            "at_tablet": at_tablet,
            "keys_on": lambda: bool(staff_user() and staff_user().keys_on),  # type: ignore[union-attr]
            "session_ends": session_ends,
            "navigation": navigation,
            "rights": Right,
            "shop_name": lambda: wired().shop.book.shop.name,
            "price_book": lambda: wired().shop.book.version,
            "shop_now": lambda: shop_time(wired().clock()),
            "local": shop_time,
            "language_name": lambda locale: Words(locale).language_name(),
            "group_titles": group_titles(say),
            "mail_states": mail_states(say),
        }


def staff_user() -> User | None:
    """Who is in, or None on the log-in pages."""
    user: User | None = g.get("staff_user")
    return user


def session_ends() -> int | None:
    """Seconds until the session ends by itself if nothing more is done."""
    session = g.get("staff_session")
    if session is None:
        return None
    idle = HANDS_IDLE if at_tablet() else IDLE
    return int(min((session.expires_at - wired().clock()).total_seconds(), idle.total_seconds()))


def navigation() -> tuple[NavGroup, ...]:
    """The rail: only what this person may open."""
    return tuple(group for group in _groups() if group.entries)


def _groups() -> Iterator[NavGroup]:
    say = words()
    desk = NavGroup(say.gettext("Front desk"), (*_desk_entries(say), *_calendar_entries(say)))
    bay = NavGroup(say.gettext("Bay"), tuple(_bay_entries(say)))
    at_desk = user_may(Right.READ_REQUESTS)
    yield from (desk, bay) if at_desk else (bay, desk)
    yield NavGroup(say.gettext("Records"), tuple(_record_entries(say)))
    yield NavGroup(say.gettext("Set-up"), tuple(_set_up_entries(say)))


def user_may(right: Right) -> bool:
    """Whether somebody is in who has this right."""
    user = staff_user()
    return user is not None and user.may(right)


def _desk_entries(say: Words) -> Iterator[Entry]:
    user = staff_user()
    if user is None or not user.may(Right.READ_REQUESTS):
        return
    with wired().store.reading() as work:
        unread, failed = work.inbox.unopened(), work.mails.failed()
    yield _entry(say.gettext("Inbox"), "staff.inbox", count=unread, count_means=say.gettext("unread"), is_hot=True)
    yield _entry(say.gettext("Customers"), "staff.customers")
    yield _entry(say.gettext("Mail"), "staff.mails", count=failed, count_means=say.gettext("not sent"), is_hot=True)


def _record_entries(say: Words) -> Iterator[Entry]:
    user = staff_user()
    if user is not None and user.may(Right.EXPORT):
        yield _entry(say.gettext("Export requests"), "staff.export")
    if user is not None and user.may(Right.DATA_RIGHTS):
        yield _entry(say.gettext("Data of a person"), "staff.person_data")
    if user is not None and user.may(Right.AUDIT):
        yield _entry(say.gettext("Audit trail"), "staff.audit")


def _set_up_entries(say: Words) -> Iterator[Entry]:
    user = staff_user()
    if user is not None and user.may(Right.SITES):
        yield _entry(say.gettext("Your site"), "staff.site")
    if user is not None and user.may(Right.PEOPLE):
        yield _entry(say.gettext("People"), "staff.people")
        yield _entry(say.gettext("Bay tablets"), "staff.devices")


def _calendar_entries(say: Words) -> Iterator[Entry]:
    user = staff_user()
    if user is not None and user.may(Right.PLAN):
        yield _entry(say.gettext("Calendar"), "staff.calendar")


def _bay_entries(say: Words) -> Iterator[Entry]:
    if user_may(Right.BAY_PARTS):
        yield _entry(say.gettext("Bay today"), "staff.bay")
    if user_may(Right.BAY):
        yield _entry(say.gettext("To order"), "staff.bay_to_order")
    if user_may(Right.PRICE_BOOK):
        yield _entry(say.gettext("Planned and real"), "staff.results")


def _entry(text: str, endpoint: str, *, count: int = 0, count_means: str = "", is_hot: bool = False) -> Entry:
    return Entry(text, url_for(endpoint), request.endpoint == endpoint, count, count_means, is_hot)


def group_titles(say: Words) -> Mapping[str, str]:
    """What the inbox says above each group."""
    return {
        State.RECEIVED.value: say.gettext("New: nobody has taken these"),
        State.IN_REVIEW.value: say.gettext("In review"),
        State.QUOTED.value: say.gettext("Quoted: waiting for the customer"),
        State.ACCEPTED.value: say.gettext("Accepted: no place in the bay yet"),
        State.SCHEDULED.value: say.gettext("Scheduled: has a place in the bay"),
        State.IN_BAY.value: say.gettext("In the bay"),
        State.EXPIRED.value: say.gettext("Expired: the quote ran out"),
        State.HANDED_OVER.value: say.gettext("Handed over"),
        State.DECLINED.value: say.gettext("Declined"),
        State.WITHDRAWN.value: say.gettext("Withdrawn"),
    }


def state_meanings(say: Words) -> tuple[tuple[State, str], ...]:
    """Each state in half a sentence, for the list of marks."""
    return (
        (State.RECEIVED, say.gettext("has come in, nobody has taken it")),
        (State.IN_REVIEW, say.gettext("somebody has taken it")),
        (State.QUOTED, say.gettext("a firm quote is out, good until a date")),
        (State.ACCEPTED, say.gettext("the customer said yes, no place yet")),
        (State.SCHEDULED, say.gettext("has a bay and dates")),
        (State.IN_BAY, say.gettext("checked in, the work order runs")),
        (State.HANDED_OVER, say.gettext("car and record are with the customer")),
        (State.DECLINED, say.gettext("the shop or the customer said no, with a reason")),
        (State.WITHDRAWN, say.gettext("the customer took it back")),
        (State.EXPIRED, say.gettext("the quote ran out")),
    )


def mail_states(say: Words) -> Mapping[str, str]:
    """The states of a mail."""
    return {"waiting": say.gettext("waiting"), "sent": say.gettext("sent"), "failed": say.gettext("not sent")}


def when(moment: datetime) -> str:
    """Day and time on the shop's clock."""
    return words().datetime(shop_time(moment), "medium")
