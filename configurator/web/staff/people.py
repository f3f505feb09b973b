"""The staff, for the owner: who is there, what each may do, and one page for each to change it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.desk import Event
from configurator.domain.review import Actor
from configurator.domain.staff import STAFF_ROLES, Right, User
from configurator.errors import InvalidInput
from configurator.services.access import people, pins, second_factor
from configurator.services.access.account_links import LASTS, AccountLink, Purpose
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.guard import needs, person
from configurator.web.wiring import wired
from configurator.wording.ages import age
from configurator.wording.history import say_event

LATELY = 12
PEOPLE_EVENTS = frozenset({
    "account_link_made", "device_ended", "device_opened", "device_picked_up", "log_in_refused", "logged_in", "password_changed",
    "password_reset_asked", "password_set", "person_added", "person_invited", "person_let_back", "person_shut_out", "pin_cleared",
    "pin_refused", "pin_set", "recovery_codes_made", "role_changed", "second_factor_off", "second_factor_on", "sessions_ended",
})  # fmt: skip
SHOWN_RIGHTS = (Right.WORK_REQUESTS, Right.SEE_MONEY, Right.PLAN, Right.BAY, Right.BAY_PARTS, Right.PRICE_BOOK, Right.PEOPLE)


@dataclass(frozen=True)
class PersonRow:
    """One line of the list. `waits`: invited, and no password set yet."""

    user: User
    last_here: str
    may: tuple[bool, ...]

    @property
    def waits(self) -> bool:
        return not self.user.has_password and self.user.is_active


@dataclass(frozen=True)
class LatelyRow:
    at: str
    moment: datetime
    who: str
    text: str


@needs(Right.PEOPLE)
def list_people() -> str:
    """Everybody, and the form to invite somebody."""
    return _list()


@needs(Right.PEOPLE)
def invite() -> Response:
    """Adds somebody and mails them a link that sets their password."""
    form = request.form
    try:
        role = _role(form.get("role", ""))
        user = people.invite(email=form.get("email", ""), name=form.get("name", ""), role=role, by=person(), desk=wired().desk())
    except InvalidInput as error:
        return make_response(_list({fault.path: words().fault(fault) for fault in error.faults}), 422)
    return redirect(url_for("staff.person", user_id=user.id), code=303)


@needs(Right.PEOPLE)
def show_person(user_id: int) -> str:
    """One person's page."""
    return _person(user_id)


def _change(act: Callable[[int], object]) -> Callable[[int], Response]:
    """A view that changes one person and comes back to their page, or shows what is wrong beside its field."""

    @needs(Right.PEOPLE)
    def view(user_id: int) -> Response:
        try:
            act(user_id)
        except InvalidInput as error:
            return make_response(_person(user_id, {fault.path: words().fault(fault) for fault in error.faults}), 422)
        return redirect(url_for("staff.person", user_id=user_id), code=303)

    return view


CHANGES: dict[str, Callable[[int], object]] = {
    "role": lambda user_id: people.change_role(user_id, _role(request.form.get("role", "")), person(), wired().desk()),
    "shut-out": lambda user_id: people.shut_out(user_id, person(), wired().desk()),
    "let-back": lambda user_id: people.let_back(user_id, person(), wired().desk()),
    "log-out": lambda user_id: people.end_sessions(user_id, person(), wired().desk()),
    "invite": lambda user_id: people.invite_again(user_id, person(), wired().desk()),
    "second-factor": lambda user_id: second_factor.take_off(user_id, person(), wired().desk()),
    "pin": lambda user_id: pins.give_pin(user_id, request.form.get("pin", ""), person(), wired().desk()),
    "pin/clear": lambda user_id: pins.clear_pin(user_id, person(), wired().desk()),
}


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/people", "people", list_people)
    blueprint.add_url_rule("/people", "invite", invite, methods=["POST"])
    blueprint.add_url_rule("/people/<int(max=2147483647):user_id>", "person", show_person)
    for name, act in CHANGES.items():
        endpoint = f"person_{name.replace('-', '_').replace('/', '_')}"
        blueprint.add_url_rule(f"/people/<int(max=2147483647):user_id>/{name}", endpoint, _change(act), methods=["POST"])


def _list(faults: dict[str, str] | None = None) -> str:
    with wired().store.reading() as work:
        users, seen = work.users.all(), work.users.last_seen()
        lately = work.users.lately(PEOPLE_EVENTS, LATELY)
    return render_template(
        "staff/people.html",
        rows=tuple(PersonRow(user, _ago(seen.get(user.id)), tuple(user.may(right) for right in SHOWN_RIGHTS)) for user in users),
        right_names=_right_names(),
        roles=STAFF_ROLES,
        lately=tuple(_lately(event) for event in lately),
        faults=faults or {},
        typed=request.form,
    )


def _person(user_id: int, faults: dict[str, str] | None = None) -> str:
    with wired().store.reading() as work:
        user = people.find(user_id, work)
        credentials, seen = work.users.credentials_of(user_id), work.users.last_seen().get(user_id)
    nonce = credentials.reset_nonce if credentials and user.is_active and not user.has_password else None
    return render_template(
        "staff/person.html",
        person=user,
        last_here=_ago(seen),
        may=tuple(zip(_right_names(), (user.may(right) for right in SHOWN_RIGHTS), strict=True)),
        roles=STAFF_ROLES,
        link=_invitation(user, nonce) if nonce else None,
        may_hold_a_tablet=pins.may_hold_a_tablet(user),
        pin_least=pins.LEAST,
        pin_most=pins.MOST,
        faults=faults or {},
    )


def _invitation(user: User, nonce: str) -> str:
    """A link to hand over oneself, where no mail gets through."""
    link = AccountLink(user.id, wired().clock() + LASTS[Purpose.INVITATION])
    return f"{wired().origin}{url_for('staff.password', token=link.token(nonce, wired().links))}"


def _role(text: str) -> Actor:
    return Actor(text) if text in set(STAFF_ROLES) else Actor.VISITOR


def _ago(moment: datetime | None) -> str:
    return age(shop_time(moment), shop_time(wired().clock()), words()) if moment else ""


def _right_names() -> tuple[str, ...]:
    say = words()
    return (
        say.gettext("Requests"), say.gettext("Money"), say.gettext("Calendar"), say.gettext("Bay"), say.gettext("Parts lists"),
        say.gettext("Price book"), say.gettext("People"),
    )  # fmt: skip


def _lately(event: Event) -> LatelyRow:
    say, at = words(), shop_time(event.at)
    who = event.by.name or say.name("role", event.by.actor.value)
    return LatelyRow(say.datetime(at, "medium"), at, who, say_event(event, say))
