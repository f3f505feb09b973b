"""The mail folder: what goes out, what failed and why, and another try."""

from dataclasses import replace

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.desk import OutgoingMail
from configurator.domain.staff import Right
from configurator.services.access.account_links import ACCOUNT_LINK
from configurator.services.mail.sending import ready
from configurator.web.health import outbox_is_silent
from configurator.web.i18n import words
from configurator.web.staff.guard import needs
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired

PAGE_ROWS = 50
STATES = {"waiting", "sent", "failed"}
HIGHEST_ID = 2**62


@needs(Right.SEE_MAIL)
def mails() -> str:
    """The newest first."""
    state = request.args.get("state", "")
    state = state if state in STATES else ""
    with wired().store.reading() as work:
        found = work.mails.latest(limit=PAGE_ROWS + 1, before_id=_before(), state=state)
        counts, beat = work.mails.counts(), work.mails.last_beat()
    return render_template(
        "staff/mails.html",
        mails=found[:PAGE_ROWS],
        more_before=found[PAGE_ROWS - 1].id if len(found) > PAGE_ROWS else None,
        counts=counts,
        state=state,
        folder=None if wired().settings.smtp_url else wired().mail_folder,
        worker_is_silent=outbox_is_silent(beat),
    )


@needs(Right.SEE_MAIL)
def mail(mail_id: int) -> str:
    """One mail as it leaves. A request's private link is shown, since the desk can open that page anyway; a link into an account never."""
    with wired().store.reading() as work:
        found = work.mails.by_id(mail_id) if mail_id < HIGHEST_ID else None
    if found is None:
        abort(404)
    return render_template("staff/mail.html", mail=found, text=_shown(found))


@needs(Right.SEE_MAIL)
def mail_again(mail_id: int) -> Response:
    """Puts it back to the front of the outbox."""
    with wired().store.writing() as work:
        if mail_id >= HIGHEST_ID or not work.mails.try_again(mail_id, wired().clock()):
            abort(404)
    return redirect(url_for("staff.mail", mail_id=mail_id), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/mail", "mails", mails)
    blueprint.add_url_rule("/mail/<int:mail_id>", "mail", mail)
    blueprint.add_url_rule("/mail/<int:mail_id>/again", "mail_again", mail_again, methods=["POST"])


def _before() -> int | None:
    return whole_number(request.args.get("before", ""))


def _shown(mail: OutgoingMail) -> str:
    withheld = mail.letter.text.replace(ACCOUNT_LINK, words().gettext("(This link stands in the mail alone.)"))
    return ready(replace(mail, letter=replace(mail.letter, text=withheld)), wired().post_room).text
