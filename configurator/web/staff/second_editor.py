"""Two people on one request: what the other one did, for the page that says so and keeps what was typed."""

from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.guard import user
from configurator.web.wiring import wired
from configurator.wording.history import say_event

SHOWN = 3


def changes_by_others(reference: str) -> list[str]:
    """The latest entries of the history that aren't one's own, oldest first."""
    say = words()
    with wired().store.reading() as work:
        found = work.requests.by_reference(reference)
        history = work.requests.history(found.id) if found else ()
    others = [event for event in history if event.by.id is None or event.by.id != user().id]
    return [
        f"{say.datetime(shop_time(event.at), 'weekday')}: {event.by.name or say.name('role', event.by.actor.value)} {say_event(event, say)}"
        for event in others[-SHOWN:]
    ]
