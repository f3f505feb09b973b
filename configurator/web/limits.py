"""Rate limits per address, by the settings. Counted in memory per worker process unless a shared store is set."""

from flask import Flask
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address

from configurator.web.wiring import wired

limiter = Limiter(get_remote_address, default_limits=[], headers_enabled=True)


def estimates() -> str:
    """Limit for estimates, drawings and configurator pages."""
    return wired().settings.rate_estimates


def requests() -> str:
    """Limit for sending a request."""
    return wired().settings.rate_requests


def log_in() -> str:
    """Limit for staff log-in tries."""
    return wired().settings.rate_log_in


def photos() -> str:
    """Limit for photos sent."""
    return wired().settings.rate_photos


def install(app: Flask) -> None:
    """Binds the limiter to the app; routes name their own limit with `@limiter.limit(limits.estimates)`."""
    app.config.setdefault("RATELIMIT_STORAGE_URI", wired(app).settings.rate_storage)
    limiter.init_app(app)
