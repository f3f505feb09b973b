"""What an entry of a request's history says, as a sentence without its subject: who did it stands before it."""

from datetime import datetime

from configurator.domain.desk import Event
from configurator.wording.filling import fill
from configurator.wording.marks import N_
from configurator.wording.words import Words

EVENTS: dict[str, str] = {
    "assigned": N_("gave it to {to}"),
    "assigned_to_no_one": N_("gave it to no one"),
    "device_ended": N_("ended the tablet “{label}”"),
    "device_opened": N_("made a browser the tablet “{label}”"),
    "device_picked_up": N_("took the tablet “{label}” with a PIN"),
    "erased": N_("took out everything about the person"),
    "light_measured": N_("wrote down what was measured of lamps and glass"),
    "light_unmeasured": N_("took back what was measured of lamps and glass"),
    "logged_in": N_("logged in"),
    "log_in_refused": N_("failed to log in"),
    "moved": N_("{source:state} → {target:state}"),
    "noted": N_("wrote a note"),
    "opened": N_("opened it first"),
    "password_changed": N_("changed the password"),
    "password_reset_asked": N_("asked for a link to set a new password"),
    "password_set": N_("set a password with a link"),
    "person_added": N_("added {name} ({role:role})"),
    "person_invited": N_("invited {name} again"),
    "person_let_back": N_("let {name} in again"),
    "person_shut_out": N_("took {name}'s access away"),
    "person_erased": N_("erased a person: {requests} requests, {photos} photos"),
    "photo_added": N_("added a photo: {of:photos}"),
    "photo_removed": N_("took a photo away: {of:photos}"),
    "pin_cleared": N_("cleared {name}'s PIN"),
    "pin_refused": N_("typed a wrong PIN"),
    "pin_set": N_("set {name}'s PIN"),
    "placed": N_("{source:state} → {target:state}: bay {bay}, {drop_off:datetime}"),
    "received": N_("sent it"),
    "recovery_codes_made": N_("made new recovery codes"),
    "role_changed": N_("gave {name} the role {role:role}"),
    "second_factor_off": N_("took {name}'s second step off"),
    "second_factor_on": N_("turned the second step on"),
    "sessions_ended": N_("logged {name} out everywhere"),
    "site_allowed": N_("let {site} show the configurator"),
    "site_removed": N_("took {site} off the list of sites"),
}


def say_event(event: Event, words: Words) -> str:
    """The words of one entry."""
    code, facts = event.kind, dict(event.facts)
    if event.kind == "moved" and event.source is None:
        code = "received"
    elif event.kind == "moved" and event.target is not None:
        code = "placed" if "bay" in facts else code
        facts |= {"source": str(event.source), "target": str(event.target)}
    elif event.kind == "assigned" and not facts.get("to"):
        code = "assigned_to_no_one"
    return fill(words.gettext(EVENTS[code]), facts, lambda value, spec: _printed(value, spec, words))


def _printed(value: object, spec: str, words: Words) -> str:
    if spec == "datetime" and isinstance(value, datetime):
        return words.datetime(value)
    return words.name(spec, str(value)) if spec else str(value)
