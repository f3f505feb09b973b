"""The list of surfaces (groups of addresses) the app serves. Registration only; decisions live in each surface."""

from flask import Flask


def install(app: Flask) -> None:
    """Registers every blueprint."""
    from configurator.web import health
    from configurator.web.api import routes as api

    for surface in (health, api):
        app.register_blueprint(surface.blueprint)
