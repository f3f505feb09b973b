"""Sending a plan: one POST, guarded by a signed token instead of a cookie, kept once however often it is sent."""

from datetime import date

from flask import Response, g, make_response, redirect, render_template, request, url_for

from configurator.domain.review import CarWords, Contact, RequestDraft
from configurator.errors import Fault, InvalidInput
from configurator.services.submitting import KeyReused, StaleEstimate, submit
from configurator.web import form_tokens
from configurator.web.form_tokens import FormRefused
from configurator.web.i18n import words
from configurator.web.visitor import rendering
from configurator.web.visitor.callers import PHONE, sender
from configurator.web.visitor.form import is_page_key
from configurator.web.visitor.look import Look
from configurator.web.visitor.look_rules import look_rules
from configurator.web.visitor.plan import Plan
from configurator.web.visitor.sent_fields import SentFields, sent_fields
from configurator.web.visitor.shared import plans
from configurator.web.visitor.steps import Step
from configurator.web.visitor.view import View
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales

OWN_FIELDS = {
    "name", "email", "phone", "description", "colour", "plate", "notes", "date", "other_date", "acknowledged", "form_token", "website",
    "price_book", "language",
}  # fmt: skip
"""Fields of this form that are not part of the plan."""
TRY_AGAIN = {"form_stale", "form_too_quick"}
"""Refusals that a person may meet: the form is shown again with a fresh token and everything that was typed."""


def send() -> Response:
    """Sends the plan; on success the private page opens (in a frame: a page that links to it)."""
    look: Look = g.look
    sent = sent_fields(request.form)
    pairs = [(key, value) for key, value in request.form.items(multi=True) if key not in OWN_FIELDS and not is_page_key(key)]
    try:
        plan = plans().plan(pairs)
    except InvalidInput as error:
        return rendering.refused(error.faults, mended=None)
    try:
        guard = _guard(sent, look.site)
        draft = _draft(sent, plan, look, guard.site)
        submitted = submit(draft, wired().desk(), idempotency_key=f"form-{guard.id}", by=sender(look))
    except FormRefused as refused:
        if refused.code not in TRY_AGAIN:
            raise
        renewed = form_tokens.renew(sent.form_token) if refused.code == "form_stale" else sent.form_token
        return _again(look, plan, sent, (Fault("", refused.code),), token=renewed)
    except StaleEstimate:
        return _again(look, plan, sent, (Fault("", "estimate_stale"),))
    except KeyReused:
        return _again(look, plan, sent, (Fault("", "idempotency_key_reused"),), token=form_tokens.issue(look.site))
    except InvalidInput as error:
        return _again(look, plan, sent, error.faults)
    if look.at_desk:
        return make_response(redirect(url_for("staff.request", reference=submitted.reference), 303))
    if look.embedded:
        return _sent_in_frame(look, submitted.reference, submitted.token)
    return make_response(redirect(f"/r/{submitted.token}", 303))


def _guard(sent: SentFields, site: str) -> form_tokens.FormGuard:
    """Raises FormRefused; a filled honeypot counts as forged."""
    guard = form_tokens.check(sent.form_token, site=site)
    if sent.website:
        raise FormRefused("form_forged")
    return guard


def _draft(sent: SentFields, plan: Plan, look: Look, site: str) -> RequestDraft:
    faults = [Fault("dates", "must_be_a_date") for text in sent.all_dates if _day(text) is None]
    if faults:
        raise InvalidInput(faults)
    return RequestDraft(
        selection=plan.given,
        contact=Contact(name=sent.name, email=sent.email, phone=sent.phone or None, language=_language(sent, look)),
        price_book=sent.price_book,
        car=CarWords(description=sent.description, colour=sent.colour, plate=sent.plate),
        dates=tuple(day for day in map(_day, sent.all_dates) if day),
        notes=sent.notes,
        acknowledged=frozenset(sent.acknowledged),
        consents={} if look.at_desk else {"privacy_notice": True},
        source=PHONE if look.at_desk else site,
    )


def _language(sent: SentFields, look: Look) -> str:
    """The language the visitor reads: that of the page; of a caller what was asked."""
    return sent.language if look.at_desk and sent.language in available_locales() else words().locale


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _again(look: Look, plan: Plan, sent: SentFields, faults: tuple[Fault, ...], *, token: str = "") -> Response:
    return rendering.page(View(look=look, step=Step.SEND, plan=plan, faults=faults, sent=sent, form_token=token or sent.form_token))


def _sent_in_frame(look: Look, reference: str, token: str) -> Response:
    context = {"look": look, "look_rules": look_rules(look), "reference": reference, "private_link": f"/r/{token}"}
    response = make_response(render_template("configure/sent.html", **context))
    response.headers["Cache-Control"] = "no-store"
    return response
