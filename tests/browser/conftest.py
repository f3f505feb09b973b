"""The app on a free port, a shop's own site on another origin, and a real browser.

Without a Chromium every test here is skipped by name.
"""

import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from werkzeug.serving import make_server

from configurator.domain.review import Actor
from configurator.services.access.people import add_person
from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring, system_clock
from tests.shops import demo_shop

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
)  # fmt: skip
STAFF = ("robin@film.example", "quiet river stones")
OWNER = ("ines@film.example", "quiet river stones")
LEFT = "net::ERR_ABORTED"
"""What becomes of a request, such as an icon's, when the page that made it is left before the answer: nobody's fault."""
PATIENCE_MS = 30_000
"""A cold body on a busy machine takes its time; nothing here measures speed with it."""


def chromium() -> str | None:
    """The Chromium of this machine."""
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = chromium()
    if path is None:
        if os.environ.get("CI"):
            pytest.fail("no Chromium on this machine: the browser tests can't run")
        pytest.skip("no Chromium on this machine (chromium, chromium-browser or google-chrome)")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@dataclass
class Site:
    """A shop's own site: plain pages on an origin of its own."""

    origin: str
    pages: dict[str, tuple[str, dict[str, str]]] = field(default_factory=dict)

    def show(self, path: str, html: str, **headers: str) -> str:
        """Puts a page up and gives its address."""
        self.pages[path] = (html, {name.replace("_", "-"): value for name, value in headers.items()})
        return self.origin + path


def serve_site(host: str) -> tuple[Site, ThreadingHTTPServer]:
    """Starts a site; `localhost` and `127.0.0.1` are different origins on the same machine."""
    site = Site("")

    class Pages(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            html, headers = site.pages.get(self.path.split("?")[0], ("", {}))
            body = html.encode()
            self.send_response(200 if html else 204)
            for name, value in {"Content-Type": "text/html; charset=utf-8", **headers}.items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: Any) -> None:
            """Nobody reads it."""

    server = ThreadingHTTPServer((host, 0), Pages)
    site.origin = f"http://{host}:{server.server_port}"
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return site, server


@pytest.fixture(scope="session")
def host_site() -> Iterator[Site]:
    """A site that the shop has listed."""
    site, server = serve_site("localhost")
    yield site
    server.shutdown()


@pytest.fixture(scope="session")
def stranger_site() -> Iterator[Site]:
    """A site that it has not."""
    site, server = serve_site("localhost")
    yield site
    server.shutdown()


@pytest.fixture(scope="session")
def base(tmp_path_factory: pytest.TempPathFactory, host_site: Site) -> Iterator[str]:
    """Where the app is: with a database of its own and one advisor."""
    folder = tmp_path_factory.mktemp("browser")
    settings = read_settings(
        {
            "TUCKLINE_SECRET_KEY": "s" * 40,
            "DATABASE_URL": f"sqlite:///{folder}/shop.db",
            "TUCKLINE_DATA_DIR": str(folder),
            "TUCKLINE_EMBED_SITES": host_site.origin,
            "TUCKLINE_RATE_ESTIMATES": "100000/minute",
            "TUCKLINE_RATE_REQUESTS": "1000/hour",
        }
    )
    wiring = Wiring(settings)
    wiring.__dict__["shop"] = demo_shop()
    upgrade(wiring.store.engine)
    add_person(email=OWNER[0], name="Ines Calder", role=Actor.OWNER, password=OWNER[1], store=wiring.store, now=system_clock())
    add_person(email=STAFF[0], name="Robin Hale", role=Actor.ADVISOR, password=STAFF[1], store=wiring.store, now=system_clock())
    server = make_server("127.0.0.1", 0, create_app(settings, wiring=wiring), threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()


@dataclass
class Visit:
    """A page with what went wrong on it."""

    page: Page
    base: str
    complaints: list[str]

    def open(self, path: str) -> Page:
        self.page.goto(self.base + path)
        return self.page

    @property
    def range(self) -> str:
        """The price range that is shown, wherever it is visible."""
        return next(text for text in map(str.strip, self.page.locator(".cfg-range, .cfg-bar__range").all_inner_texts()) if text)

    def change(self, act: Callable[[], object]) -> None:
        """Does something and waits until the page has taken over the server's answer."""
        self.page.evaluate(
            "document.querySelector('cfg-plan').addEventListener('plan:estimate', () => { window.answered = true }, { once: true })"
        )
        act()
        wait_until(lambda: bool(self.page.evaluate("window.answered === true")))
        self.page.evaluate("window.answered = false")

    def tap(self, view: str, panel: str) -> None:
        """Clicks the middle of a panel's disc on the drawing, as a finger would."""
        disc = self.page.locator(f".view-{view} [data-panel={panel}] .disc")
        disc.scroll_into_view_if_needed()
        box = disc.bounding_box()
        assert box is not None
        self.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def wait_until(holds: Callable[[], bool], patience_ms: int = PATIENCE_MS) -> None:
    """Waits for something to hold. Not Playwright's own wait, which evaluates text in the page: the pages' policy forbids that."""
    until = time.monotonic() + patience_ms / 1000
    while not holds():
        assert time.monotonic() < until, "waited in vain"
        time.sleep(0.02)


@pytest.fixture
def visit(browser: Browser, base: str, tmp_path: Path) -> Iterator[Callable[..., Visit]]:
    """Opens browser contexts; anything a page complains of fails the test, unless `complaints` is cleared."""
    visits: list[Visit] = []

    def make(width: int = 1440, *, script: bool = True, scheme: str = "light", **more: Any) -> Visit:
        context = browser.new_context(
            viewport={"width": width, "height": 900},
            color_scheme=scheme,
            java_script_enabled=script,
            **more,  # type: ignore[arg-type]
        )
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        made = Visit(page, base, [])
        page.on("console", lambda message: made.complaints.append(message.text) if message.type in {"error", "warning"} else None)
        page.on("pageerror", lambda error: made.complaints.append(str(error)))
        page.on("requestfailed", lambda failed: made.complaints.append(f"failed: {failed.url}") if failed.failure != LEFT else None)
        visits.append(made)
        return made

    yield make
    for made in visits:
        made.page.context.close()
    assert [complaint for made in visits for complaint in made.complaints] == []
