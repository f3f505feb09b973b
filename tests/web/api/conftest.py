"""An app with a migrated database of its own and a clock that stands still until a test moves it."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web import form_tokens
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from tests.services.conftest import Clock
from tests.shops import demo_shop


@pytest.fixture
def wiring(tmp_path: Path) -> Wiring:
    environment = {
        "TUCKLINE_SECRET_KEY": "s" * 40,
        "DATABASE_URL": f"sqlite:///{tmp_path}/api.db",
        "TUCKLINE_DATA_DIR": str(tmp_path),
        "TUCKLINE_RATE_ESTIMATES": "100000/minute",
    }
    made = Wiring(read_settings(environment), clock=Clock())
    made.__dict__["shop"] = demo_shop()
    upgrade(made.store.engine)
    return made


@pytest.fixture
def app(wiring: Wiring) -> Flask:
    return create_app(wiring.settings, wiring=wiring)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def form_token(app: Flask, wiring: Wiring) -> str:
    """A token as old as a quick person's form."""
    with app.test_request_context("/"):
        token = form_tokens.issue()
    wiring.clock.now += timedelta(seconds=30)  # type: ignore[attr-defined]
    return token


@pytest.fixture
def request_document(form_token: str) -> dict[str, Any]:
    """A request that the demo shop accepts."""
    return {
        "selection": {"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}, "region": "us"},
        "contact": {"name": "Mara Quill", "email": "mara@example.org"},
        "price_book": demo_shop().book.version,
        "form_token": form_token,
        "consents": {"privacy": True},
    }
