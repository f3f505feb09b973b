"""The private page itself: where the request stands, what was asked for, and what the visitor can do now."""

from dataclasses import dataclass

from flask import Blueprint, Response, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Event, Request
from configurator.domain.review import Actor, State, moves_from
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.quotes.expiring import expire_if_due
from configurator.web.i18n import words
from configurator.web.private.guard import request_of
from configurator.web.private.quote import quote_card
from configurator.web.quote_reading import as_quoted
from configurator.web.request_drawing import drawing_of
from configurator.web.request_reading import read_request, shop_time
from configurator.web.wiring import wired
from configurator.wording.words import Words

STAGES = (State.RECEIVED, State.IN_REVIEW, State.QUOTED, State.SCHEDULED, State.IN_BAY, State.HANDED_OVER)


@dataclass(frozen=True)
class Stage:
    """One stage of the status line; `standing`: done, now or ahead."""

    text: str
    standing: str
    at: str


def private_page(token: str) -> str:
    """The page."""
    return _page(token, expire_if_due(request_of(token), wired().desk()))


def ask_withdraw(token: str) -> str | BaseResponse:
    """Asks before the request is withdrawn: it can't be taken back."""
    kept = request_of(token)
    if not _may(kept, State.WITHDRAWN):
        return redirect(url_for("private.page", token=token), code=303)
    return render_template("private/withdraw.html", token=token, kept=kept, faults={}, typed="")


def withdraw(token: str) -> Response | BaseResponse:
    """Withdraws the request."""
    kept = request_of(token)
    typed = request.form.get("reason", "")
    try:
        reviewing.withdraw(token, wired().desk(), reason=typed)
    except InvalidInput as error:
        faults = {fault.path: words().fault(fault) for fault in error.faults}
        return make_response(render_template("private/withdraw.html", token=token, kept=kept, faults=faults, typed=typed), 422)
    return redirect(url_for("private.page", token=token), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/<token>", "page", private_page)
    blueprint.add_url_rule("/<token>/withdraw", "ask_withdraw", ask_withdraw)
    blueprint.add_url_rule("/<token>/withdraw", "withdraw", withdraw, methods=["POST"])


def _page(token: str, kept: Request) -> str:
    say, offer = words(), quote_card(kept)
    with wired().store.reading() as work:
        history = work.requests.history(kept.id)
    shown = as_quoted(kept, offer.quote.content) if offer else kept
    reading = read_request(shown)
    return render_template(
        "private/page.html",
        token=token,
        kept=kept,
        reading=reading,
        offer=offer,
        stages=_stages(kept, history, say),
        heading=_heading(kept, say),
        next_step=_next_step(kept, say),
        reason=next((event.reason for event in reversed(history) if event.target is kept.state and event.reason), ""),
        sent=say.date(shop_time(kept.received_at).date()),
        drawing=drawing_of(shown, "sheet"),
        may_withdraw=_may(kept, State.WITHDRAWN),
        State=State,
    )


def _may(kept: Request, target: State) -> bool:
    return any(move.target is target for move in moves_from(kept.state, Actor.VISITOR))


def _stages(kept: Request, history: tuple[Event, ...], say: Words) -> tuple[Stage, ...]:
    reached = {event.target: event.at for event in history if event.kind == "moved"}
    names = {
        State.RECEIVED: say.gettext("Received"),
        State.IN_REVIEW: say.gettext("Being checked"),
        State.QUOTED: say.gettext("Quoted"),
        State.SCHEDULED: say.gettext("Appointment"),
        State.IN_BAY: say.gettext("In the bay"),
        State.HANDED_OVER: say.gettext("Handed over"),
    }
    state = State.QUOTED if kept.state in {State.ACCEPTED, State.EXPIRED} else kept.state
    here = STAGES.index(state) if state in STAGES else max((STAGES.index(one) for one in STAGES if one in reached), default=0)
    return tuple(
        Stage(
            names[stage],
            "now" if place == here and state in STAGES else "done" if place <= here else "ahead",
            say.date(shop_time(reached[stage]).date(), "medium") if stage in reached and place <= here else "",
        )
        for place, stage in enumerate(STAGES)
    )


def _heading(kept: Request, say: Words) -> str:
    return {
        State.RECEIVED: say.gettext("Your request has arrived"),
        State.IN_REVIEW: say.gettext("Your request is being checked"),
        State.QUOTED: say.gettext("Your quote is ready"),
        State.ACCEPTED: say.gettext("You have accepted the quote"),
        State.SCHEDULED: say.gettext("Your appointment"),
        State.IN_BAY: say.gettext("Your car is with us"),
        State.HANDED_OVER: say.gettext("Your coverage record"),
        State.DECLINED: say.gettext("This request was declined"),
        State.WITHDRAWN: say.gettext("This request is withdrawn"),
        State.EXPIRED: say.gettext("The quote has run out"),
    }[kept.state]


def _next_step(kept: Request, say: Words) -> str:
    due = say.datetime(shop_time(kept.answer_due), "weekday")
    return {
        State.RECEIVED: say.gettext("We look at it and answer, usually by %(due)s.") % {"due": due},
        State.IN_REVIEW: say.gettext("Somebody of us is working on your quote. You get a mail when it is ready."),
        State.QUOTED: say.gettext("Look at the firm price and decide. Nothing is booked before you accept."),
        State.ACCEPTED: say.gettext("We now find a place in the bay for your car and write to you."),
        State.SCHEDULED: say.gettext("Bring your car at the time below. You can add it to your calendar."),
        State.IN_BAY: say.gettext("We are working on it. You get a mail when it is ready."),
        State.HANDED_OVER: say.gettext("Keep this page: it names every film, its roll and its warranty."),
        State.DECLINED: say.gettext("Nothing more happens with this request. You can send another one at any time."),
        State.WITHDRAWN: say.gettext("Nothing more happens with this request. You can send another one at any time."),
        State.EXPIRED: say.gettext("Call or write to us if you still want it: we then make a new quote."),
    }[kept.state]
