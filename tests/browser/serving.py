"""An app on a port of its own, and the way in for the people who work there."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask
from playwright.sync_api import Page
from werkzeug.serving import make_server

from tests.browser.conftest import Visit
from tests.web.desk_app import PASSWORD

ADVISOR = ("robin@film.example", PASSWORD)
"""Of the shops that `desk_app` makes."""


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Where the app is while it runs."""
    server = make_server("127.0.0.1", 0, app, threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()


def log_in(here: Visit, email: str, password: str) -> Page:
    """By keyboard, to the page behind the log-in."""
    page = here.open("/staff/login")
    page.fill("[name=email]", email)
    page.fill("[name=password]", password)
    page.locator("[name=password]").press("Enter")
    page.wait_for_url(lambda address: "/staff/login" not in address)
    return page
