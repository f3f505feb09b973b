"""The visitor's private page, `/r/<token>`: whoever has the link may see it, so nothing of it is cached, indexed or referred."""

from functools import cache

from flask import Blueprint, Flask

from configurator.web.private import guard


def install(app: Flask) -> None:
    """Registers the private pages."""
    app.register_blueprint(_with_pages())


@cache
def _with_pages() -> Blueprint:
    """The blueprint with its addresses: added once, however many apps a process makes."""
    from configurator.web.private import appointment, pages, photos, quote, record

    for module in (pages, quote, photos, record):
        module.add_to(guard.blueprint)
    appointment.add_to(guard.blueprint)
    return guard.blueprint
