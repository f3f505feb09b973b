"""Is the process alive, can it do its work, and what does it count?"""

import hmac
from datetime import datetime

from flask import Blueprint, Response, abort, jsonify, request

from configurator.web.metrics import exposition
from configurator.web.wiring import wired

blueprint = Blueprint("health", __name__)

OUTBOX_SILENT_SECONDS = 120
"""A worker gives a sign of life every few seconds; after two minutes without one it is taken to be gone."""


@blueprint.get("/healthz")
def healthz() -> tuple[str, dict[str, str]]:
    """Alive: answers without touching anything else."""
    return "ok\n", {"Content-Type": "text/plain; charset=utf-8", "Cache-Control": "no-store"}


@blueprint.get("/readyz")
def readyz() -> Response:
    """Ready: the database answers and is migrated. A silent outbox worker is a warning, not a reason to take no visitors."""
    state = wired().database_state()
    warnings = _warnings() if state == "ready" else []
    response = jsonify(status="ready" if state == "ready" else "not_ready", database=state, warnings=warnings)
    response.status_code = 200 if state == "ready" else 503
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.get("/metrics")
def metrics() -> Response:
    """Prometheus text, for loopback or whoever has the token."""
    if not _may_read_metrics():
        abort(403)
    response = Response(exposition(wired()), content_type="text/plain; version=0.0.4; charset=utf-8")
    response.headers["Cache-Control"] = "no-store"
    return response


def outbox_is_silent(last_beat: datetime | None) -> bool:
    """Whether the worker's last sign of life is too old."""
    return last_beat is None or (wired().clock() - last_beat).total_seconds() > OUTBOX_SILENT_SECONDS


def _warnings() -> list[str]:
    with wired().store.reading() as work:
        beat = work.mails.last_beat()
        waiting = work.mails.counts().get("waiting", 0)
    return [f"the outbox worker is silent; {waiting} mails wait"] if outbox_is_silent(beat) else []


def _may_read_metrics() -> bool:
    token = wired().settings.metrics_token
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    if token and secrets_equal(given, token):
        return True
    # Behind a proxy on this machine every visitor seems to come from loopback: then only the token counts.
    forwarded = "X-Forwarded-For" in request.headers or "Forwarded" in request.headers
    return not forwarded and request.remote_addr in {"127.0.0.1", "::1"}


def secrets_equal(one: str, other: str) -> bool:
    """Compares in even time, whatever was typed."""
    return hmac.compare_digest(one.encode("utf-8", "surrogatepass"), other.encode("utf-8", "surrogatepass"))
