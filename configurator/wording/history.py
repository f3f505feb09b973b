"""What an entry of a request's history says, as a sentence without its subject: who did it stands before it."""

from datetime import datetime

from configurator.domain.desk import Event
from configurator.wording.filling import fill
from configurator.wording.marks import N_
from configurator.wording.words import Words

EVENTS: dict[str, str] = {
    "assigned": N_("gave it to {to}"),
    "assigned_to_no_one": N_("gave it to no one"),
    "light_measured": N_("wrote down what was measured of lamps and glass"),
    "light_unmeasured": N_("took back what was measured of lamps and glass"),
    "logged_in": N_("logged in"),
    "log_in_refused": N_("failed to log in"),
    "moved": N_("{source:state} → {target:state}"),
    "noted": N_("wrote a note"),
    "opened": N_("opened it first"),
    "password_changed": N_("changed the password"),
    "person_added": N_("added {name} ({role:role})"),
    "photo_added": N_("added a photo: {of:photos}"),
    "photo_removed": N_("took a photo away: {of:photos}"),
    "placed": N_("{source:state} → {target:state}: bay {bay}, {drop_off:datetime}"),
    "received": N_("sent it"),
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
