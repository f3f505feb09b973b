"""What an entry of a request's history says, as a sentence without its subject: who did it stands before it."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from configurator.domain.desk import Event
from configurator.domain.message import Fact
from configurator.domain.review import State
from configurator.wording.filling import fill
from configurator.wording.marks import N_
from configurator.wording.words import Words

EVENTS: dict[str, str] = {
    "account_link_made": N_("made a link into {name}'s account on the server"),
    "audit_exported": N_("took the audit trail as a file"),
    "requests_exported": N_("took requests as a file"),
    "person_exported": N_("took a person's data as a file: {requests} requests"),
    "assigned": N_("gave it to {to}"),
    "assigned_to_no_one": N_("gave it to no one"),
    "device_ended": N_("ended the tablet “{label}”"),
    "device_opened": N_("made a browser the tablet “{label}”"),
    "device_picked_up": N_("took the tablet “{label}” with a PIN"),
    "caution_settled": N_("settled a caution"),
    "caution_unsettled": N_("opened a caution again"),
    "erased": N_("took out everything about the person"),
    "bay_blocked": N_("blocked bay {bay}, {start:datetime} to {end:datetime}"),
    "bay_unblocked": N_("unblocked bay {bay}, {start:datetime} to {end:datetime}"),
    "light_measured": N_("wrote down what was measured of lamps and glass"),
    "light_unmeasured": N_("took back what was measured of lamps and glass"),
    "line_added": N_("added the line “{label}”: {after:money}"),
    "line_adjusted": N_("changed {line:line}: {before:money} → {after:money}"),
    "line_restored": N_("put a line back as estimated"),
    "line_struck": N_("struck {line:line}: {before:money}"),
    "log_in_refused": N_("failed to log in"),
    "logged_in": N_("logged in"),
    "moved": N_("{source:state} → {target:state}"),
    "noted": N_("wrote a note"),
    "opened": N_("opened it first"),
    "password_changed": N_("changed the password"),
    "password_reset_asked": N_("asked for a link to set a new password"),
    "password_set": N_("set a password with a link"),
    "person_away": N_("wrote down that {person} is not in, {start:datetime} to {end:datetime}"),
    "person_back": N_("took back that {person} is not in, {start:datetime} to {end:datetime}"),
    "person_added": N_("added {name} ({role:role})"),
    "person_erased": N_("erased a person: {requests} requests, {photos} photos"),
    "person_invited": N_("invited {name} again"),
    "person_let_back": N_("let {name} in again"),
    "person_shut_out": N_("took {name}'s access away"),
    "photo_added": N_("added a photo: {of:photos}"),
    "photo_removed": N_("took a photo away: {of:photos}"),
    "pin_cleared": N_("cleared {name}'s PIN"),
    "pin_refused": N_("typed a wrong PIN"),
    "pin_set": N_("set {name}'s PIN"),
    "placed": N_("{source:state} → {target:state}: bay {bay}, {drop_off:datetime}"),
    "piece_remade": N_("cut a piece again: {panel:panel}"),
    "quote_accepted": N_("accepted quote {version}"),
    "quote_opened": N_("has seen quote {version}"),
    "quote_sent": N_("sent quote {version}: {total:money}"),
    "quote_terms_changed": N_("changed the terms of the quote"),
    "received": N_("sent it"),
    "scope_changed": N_("changed the scope: {before:money} → {after:money}, as usual"),
    "recovery_codes_made": N_("made new recovery codes"),
    "role_changed": N_("gave {name} the role {role:role}"),
    "second_factor_off": N_("took {name}'s second step off"),
    "second_factor_on": N_("turned the second step on"),
    "sessions_ended": N_("logged {name} out everywhere"),
    "site_allowed": N_("let {site} show the configurator"),
    "site_removed": N_("took {site} off the list of sites"),
    "task_struck": N_("left out: {operation:operation} {panel:panel}"),
}


QUOTE_MOVES: Mapping[State, str] = {State.QUOTED: "quote_sent", State.ACCEPTED: "quote_accepted"}
"""Moves that name the quote they are about."""


def say_event(event: Event, words: Words) -> str:
    """The words of one entry."""
    code, facts = event.kind, dict(event.facts)
    if event.kind == "moved" and event.source is None:
        code = "received"
    elif event.kind == "moved" and event.target is not None:
        code = "placed" if "bay" in facts else QUOTE_MOVES.get(event.target, code) if "version" in facts else code
        facts |= {"source": str(event.source), "target": str(event.target)}
    elif event.kind == "assigned" and not facts.get("to"):
        code = "assigned_to_no_one"
    return fill(words.gettext(EVENTS[code]), facts, lambda value, spec: _printed(value, spec, words, facts))


def _printed(value: object, spec: str, words: Words, facts: Mapping[str, Fact]) -> str:
    if spec == "money" and isinstance(value, Decimal):
        return words.money(value, str(facts["currency"]), short=True)
    if spec == "datetime" and isinstance(value, datetime):
        return words.datetime(value)
    return words.name(spec, str(value)) if spec else str(value)
