"""Makes the Flask app: wiring first, then the guards that hold for every surface, then the surfaces."""

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from configurator.cli import register_commands
from configurator.settings import BadSetting, Settings, read_settings, started_from_command_line
from configurator.web import assets, errors, i18n, limits, metrics, security, surfaces
from configurator.web.wiring import Wiring

MAX_BODY_BYTES = 1_000_000
"""Bound on any request body; photo upload raises it for its own route only."""


def create_app(settings: Settings | None = None, *, wiring: Wiring | None = None) -> Flask:
    """A configured app. Raises BadSetting when a web server starts it without a secret."""
    settings = settings or read_settings()
    if not settings.secret_key and not started_from_command_line():
        raise BadSetting("TUCKLINE_SECRET_KEY must be set to at least 32 random characters before the web server starts")
    app = Flask(__name__, template_folder="../../templates", static_folder=None)
    app.secret_key = settings.secret_key or None
    app.config.update(
        MAX_CONTENT_LENGTH=MAX_BODY_BYTES,
        MAX_FORM_MEMORY_SIZE=MAX_BODY_BYTES,
        MAX_FORM_PARTS=600,
        SESSION_COOKIE_NAME="tuckline_staff",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=settings.session_hours * 3600,
    )
    app.extensions["tuckline"] = wiring or Wiring(settings)
    if settings.trusted_proxies:
        hops = settings.trusted_proxies
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops)  # type: ignore[method-assign]
    for install in (metrics.install, errors.install, security.install, limits.install, i18n.install, assets.install, surfaces.install):
        install(app)
    register_commands(app)
    return app
