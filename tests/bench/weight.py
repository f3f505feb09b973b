"""The widget's first view in Chromium, as a visitor on a slow phone meets it: bytes over the wire, paint, shifts, answer to a tap.

Throttled by the browser itself (Chrome DevTools Protocol): processor 4 times slower, 150 ms round trip, 1.6 Mbit/s. The figures are
those of the web vitals (largest-contentful-paint, layout-shift and event entries of the W3C's performance APIs). The host page stands
on another origin. The server is the one that serves for real, warmed up once: its first answer for a body builds that body.
"""

import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from typing import Any

from tests.bench.timing import Figures

ROOT = Path(__file__).parents[2]
RUNS = 5
PHONE = {"width": 390, "height": 844}
SLOW = {"offline": False, "latency": 150, "downloadThroughput": 1_600_000 / 8, "uploadThroughput": 750_000 / 8}
PROCESSOR_TIMES_SLOWER = 4
IN_ONE_PROCESS = ("--disable-features=IsolateOrigins,site-per-process", "--disable-site-isolation-trials")
"""Frames share the page's process, so that one switch slows both."""
VIEWS = {"car step": "", "coverage step": "&step=coverage"}
PLAN = "body=sedan&package=full_front"

WATCH = """
window.vitals = { cls: 0, lcp: 0, slowest: 0 };
const watch = (type, see, more = {}) =>
  new PerformanceObserver((list) => list.getEntries().forEach(see)).observe({ type, buffered: true, ...more });
watch("largest-contentful-paint", (entry) => { window.vitals.lcp = entry.startTime; });
watch("layout-shift", (entry) => { if (!entry.hadRecentInput) window.vitals.cls += entry.value; });
const onEvent = ({ interactionId, duration }) => { if (interactionId) window.vitals.slowest = Math.max(window.vitals.slowest, duration); };
watch("event", onEvent, { durationThreshold: 16 });
"""
HOST = """<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>A shop</title>
<script src="{base}/embed.js" async></script></head><body style="margin:0;font:16px sans-serif"><h1 style="font-size:22px">A shop</h1>
<tuckline-configurator body="sedan" package="full_front"><a href="{base}/configure">Plan your film</a></tuckline-configurator>
<p>What comes after</p></body></html>"""


@dataclass
class Wire:
    """What went over the wire for one page."""

    bytes: dict[str, float] = field(default_factory=dict)
    hosts: set[str] = field(default_factory=set)

    def listen(self, session: Any) -> None:
        addresses: dict[str, str] = {}
        session.on("Network.requestWillBeSent", lambda event: addresses.update({event["requestId"]: event["request"]["url"]}))
        session.on("Network.loadingFinished", lambda event: self._count(addresses.get(event["requestId"], ""), event["encodedDataLength"]))

    def _count(self, address: str, length: float) -> None:
        host = address.partition("//")[2].partition("/")[0]
        if address.startswith("http"):
            self.hosts.add(host)
            self.bytes[address] = self.bytes.get(address, 0) + length


def bench_weight() -> Figures:
    """The widget in a page of another site, and its steps as pages of their own; medians of a few visits with an empty cache."""
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import FLAGS, chromium, serve_site

    path = chromium()
    if path is None:
        print("weight: no Chromium on this machine, not measured", file=sys.stderr)
        return {}
    site, host_server = serve_site("localhost")
    with _server(site.origin) as base, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=[*FLAGS, *IN_ONE_PROCESS])
        address = site.show("/host", HOST.format(base=base))
        for warm in ("/embed/configure", "/configure"):
            for view in VIEWS.values():
                urllib.request.urlopen(f"{base}{warm}?{PLAN}&site={site.origin}{view}").read()
        embedded = [_embedded_visit(browser, address, base) for _ in range(RUNS)]
        figures = {name: median(visit[name] for visit in embedded) for name in embedded[0]}
        for name, view in VIEWS.items():
            visits = [_page_visit(browser, f"{base}/configure?{PLAN}{view}") for _ in range(RUNS)]
            figures |= {f"{name}, {key}": median(visit[key] for visit in visits) for key in visits[0]}
        browser.close()
    host_server.shutdown()
    return {f"widget: {name}": round(value, 3) for name, value in figures.items()}


def _embedded_visit(browser: Any, address: str, base: str) -> Figures:
    with _slow_page(browser) as (page, wire):
        page.goto(address)
        frame = _settled_frame(page)
        inside, around = frame.evaluate("window.vitals"), page.evaluate("window.vitals")
        began = frame.evaluate("performance.timeOrigin") - page.evaluate("performance.timeOrigin")
        ours = {where: length for where, length in wire.bytes.items() if where.startswith(base)}
        first_view = sum(ours.values()) / 1000
        elsewhere = len(wire.hosts - {base.partition("//")[2], address.partition("//")[2].partition("/")[0]})
        frame.locator("label[for=body-suv]").click()
        page.wait_for_timeout(1500)
        tap = frame.evaluate("window.vitals.slowest")
    return {
        "first view over the wire, kB (at most 70)": first_view,
        "requests": len(ours),
        "requests to other hosts (0)": elsewhere,
        "largest paint after the frame's start, ms (under 1000)": inside["lcp"],
        "largest paint after the host page's start, ms": inside["lcp"] + began,
        "layout shift in the frame (under 0.02)": inside["cls"],
        "layout shift in the host page (under 0.02)": around["cls"],
        "interaction to next paint, ms (under 100)": tap,
    }


def _page_visit(browser: Any, address: str) -> Figures:
    with _slow_page(browser) as (page, wire):
        page.goto(address)
        page.wait_for_timeout(1500)
        vitals, first_view = page.evaluate("window.vitals"), sum(wire.bytes.values()) / 1000
        page.locator("label.cfg-card").nth(2).click()
        page.wait_for_timeout(1500)
        return {
            "own page over the wire, kB (at most 70)": first_view,
            "largest paint, ms (under 1000)": vitals["lcp"],
            "layout shift (under 0.02)": vitals["cls"],
            "interaction to next paint, ms (under 100)": page.evaluate("window.vitals.slowest"),
        }


@contextmanager
def _slow_page(browser: Any) -> Iterator[tuple[Any, Wire]]:
    """A fresh, throttled phone."""
    context = browser.new_context(viewport=PHONE, is_mobile=True, has_touch=True, device_scale_factor=2)
    page, wire = context.new_page(), Wire()
    page.add_init_script(WATCH)
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", SLOW)
    session.send("Emulation.setCPUThrottlingRate", {"rate": PROCESSOR_TIMES_SLOWER})
    wire.listen(session)
    yield page, wire
    context.close()


def _settled_frame(page: Any) -> Any:
    """The widget's frame once it has answered and nothing moves any more."""
    frame = page.frame_locator("tuckline-configurator iframe")
    frame.locator("cfg-frame.has-strip").wait_for()
    page.wait_for_timeout(1500)
    return next(each for each in page.frames if "/embed/configure" in each.url)


@contextmanager
def _server(site: str) -> Iterator[str]:
    """The app as `make run` serves it, with a database of its own; its origin."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory() as folder:
        environment = {
            **os.environ, "TUCKLINE_SECRET_KEY": "w" * 40, "DATABASE_URL": f"sqlite:///{folder}/w.db", "TUCKLINE_DATA_DIR": folder,
            "TUCKLINE_EMBED_SITES": site, "TUCKLINE_RATE_ESTIMATES": "100000/minute",
        }  # fmt: skip
        migrate = [sys.executable, "-m", "flask", "--app", "app", "db", "upgrade"]
        subprocess.run(migrate, env=environment, cwd=ROOT, check=True, capture_output=True)
        serve = [
            sys.executable, "-m", "gunicorn", "app:app", "--bind", f"127.0.0.1:{port}", "--worker-class", "gthread", "--threads", "8",
            "--no-control-socket", "--log-level", "error",
        ]  # fmt: skip
        server = subprocess.Popen(serve, env=environment, cwd=ROOT)
        try:
            _wait_for(f"http://127.0.0.1:{port}/healthz")
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            server.wait()


def _wait_for(address: str) -> None:
    until = time.monotonic() + 60
    while True:
        try:
            urllib.request.urlopen(address, timeout=5).read()
            return
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.3)
