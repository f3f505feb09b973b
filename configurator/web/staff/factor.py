"""One's own second step: set up with a QR code, proved with a code, recovery codes shown once, taken off."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.errors import InvalidInput
from configurator.services.access import second_factor
from configurator.services.access.one_time_codes import as_base32, provisioning_uri
from configurator.web import limits
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.staff.account import done, refused
from configurator.web.staff.guard import ANY_STAFF, needs, staff_session, user
from configurator.web.staff.qr import qr_code
from configurator.web.wiring import wired


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def begin() -> Response:
    """Makes a secret, once the password has shown who asks."""
    try:
        second_factor.begin(user(), request.form.get("factor_password", ""), wired().doorkeeper)
    except InvalidInput as error:
        return refused(error)
    return redirect(url_for("staff.factor"), code=303)


@needs(ANY_STAFF)
def set_up() -> Response:
    """The secret as QR code and as text, and a field to prove that the app has it."""
    return _set_up()


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def confirm() -> Response:
    """Turns it on; the recovery codes are on this answer and nowhere else."""
    try:
        codes = second_factor.confirm(user(), request.form.get("code", "")[:40], wired().doorkeeper, but=staff_session())
    except InvalidInput as error:
        return _set_up({fault.path: words().fault(fault) for fault in error.faults})
    return _codes(codes)


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def new_codes() -> Response:
    """Fresh recovery codes."""
    try:
        return _codes(second_factor.new_codes(user(), request.form.get("factor_password", ""), wired().doorkeeper))
    except InvalidInput as error:
        return refused(error)


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def turn_off() -> Response:
    """Takes it off."""
    try:
        second_factor.turn_off(user(), request.form.get("factor_password", ""), wired().doorkeeper)
    except InvalidInput as error:
        return refused(error)
    return done("factor_off")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/account/second-factor", "factor", set_up)
    blueprint.add_url_rule("/account/second-factor", "factor_begin", begin, methods=["POST"])
    for name, view in (("confirm", confirm), ("codes", new_codes), ("off", turn_off)):
        blueprint.add_url_rule(f"/account/second-factor/{name}", f"factor_{name}", view, methods=["POST"])


def _set_up(faults: dict[str, str] | None = None) -> Response:
    secret = second_factor.secret_in_set_up(user(), wired().doorkeeper)
    if secret is None:
        return redirect(url_for("staff.account"), code=303)
    uri = provisioning_uri(secret, account=user().email, issuer=wired().shop.book.shop.name)
    key = as_base32(secret)
    page = render_template(
        "staff/second_factor.html",
        qr=qr_code(uri, title=words().gettext("QR code for your authenticator app; the key stands below it as text")),
        uri=uri,
        secret_text=" ".join(key[at : at + 4] for at in range(0, len(key), 4)),
        faults=faults or {},
    )
    return make_response(page, 422 if faults else 200)


def _codes(codes: tuple[str, ...]) -> Response:
    return make_response(render_template("staff/recovery_codes.html", codes=codes))
