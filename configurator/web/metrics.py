"""What the process counts: requests by endpoint and how long they took; and, at the moment of asking, what waits in the store.

With several worker processes `PROMETHEUS_MULTIPROC_DIR` must name an empty folder before they start, so that they count together.
"""

import time
from collections.abc import Iterator

from flask import Flask, Response, g, request
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest, values
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector

from configurator.domain.inbox import InboxQuestion
from configurator.web.wiring import Wiring

MULTIPROCESS = values.ValueClass is not values.MutexValue
METHODS = frozenset({"GET", "HEAD", "POST", "OPTIONS"})
_here = CollectorRegistry()
REQUESTS = Counter("tuckline_http_requests", "Answers given.", ["endpoint", "method", "status"], registry=_here)
SECONDS = Histogram(
    "tuckline_http_request_seconds",
    "Time to the answer.",
    ["endpoint"],
    registry=_here,
    buckets=(0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10),
)


def exposition(wiring: Wiring) -> bytes:
    """Everything in Prometheus' text format."""
    registry = _here
    if MULTIPROCESS:
        registry = CollectorRegistry()
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    at_hand = CollectorRegistry()
    at_hand.register(_StoreCollector(wiring))
    return generate_latest(registry) + generate_latest(at_hand)


class _StoreCollector:
    """Gauges that are read from the store when they are asked for."""

    def __init__(self, wiring: Wiring) -> None:
        self._wiring = wiring

    def collect(self) -> Iterator[Metric]:
        with self._wiring.store.reading() as work:
            open_requests, mails, beat = work.inbox.counts(InboxQuestion()), work.mails.counts(), work.mails.last_beat()
        by_state = GaugeMetricFamily("tuckline_open_requests", "Requests that something is still to be done with.", labels=["state"])
        for state, count in open_requests.items():
            by_state.add_metric([state.value], count)
        yield by_state
        in_outbox = GaugeMetricFamily("tuckline_mails", "Mails in the outbox.", labels=["state"])
        for mail_state in ("waiting", "sent", "failed"):
            in_outbox.add_metric([mail_state], mails.get(mail_state, 0))
        yield in_outbox
        if beat is not None:
            age = (self._wiring.clock() - beat).total_seconds()
            yield GaugeMetricFamily("tuckline_outbox_silent_seconds", "Time since the outbox worker's last sign of life.", value=age)


def install(app: Flask) -> None:
    """Counts every answer, by endpoint: an address could hold a private link, an endpoint's name never does."""

    @app.before_request
    def start() -> None:
        g.started_at = time.perf_counter()

    @app.after_request
    def count(response: Response) -> Response:
        endpoint = request.endpoint or "none"
        method = request.method if request.method in METHODS else "other"
        REQUESTS.labels(endpoint, method, response.status_code).inc()
        SECONDS.labels(endpoint).observe(time.perf_counter() - g.get("started_at", time.perf_counter()))
        return response
