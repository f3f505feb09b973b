"""The routes of /api/v1: read the document, call the use case, write the document."""

import gzip
import hashlib
import json
from functools import lru_cache
from typing import Any

from flask import Blueprint, Response, make_response, request
from werkzeug.exceptions import UnsupportedMediaType

from configurator.errors import Fault, InvalidInput
from configurator.services import depiction, estimating, submitting
from configurator.services.cataloguing import nameable_panels
from configurator.services.places.finding_openings import free_places
from configurator.services.ports import StoreUnavailable
from configurator.web import form_tokens, limits
from configurator.web.embed.cors import allow_listed_sites
from configurator.web.errors import problem
from configurator.web.form_tokens import FormRefused
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.wiring import wired
from configurator.wire.catalog import dump_catalog
from configurator.wire.estimate import dump_estimate
from configurator.wire.openapi import openapi_document
from configurator.wire.openings import dump_openings
from configurator.wire.query import selection_from_query
from configurator.wire.request import load_request
from configurator.wire.selection import load_selection
from configurator.wire.strict_json import parse_json

blueprint = Blueprint("api", __name__, url_prefix="/api/v1")
allow_listed_sites(blueprint)

PACK_FROM_BYTES = 1000
QUERY_EXTRAS = {"lang", "view", "width", "theme", "labels"}


@blueprint.get("/catalog")
@limiter.limit(limits.estimates)
def catalog() -> Response:
    """Bodies, panels, films, packages, regions in one language."""
    shop = wired().shop
    return _cacheable(dump_catalog(shop.styles, nameable_panels(shop), shop.book, words()))


@blueprint.post("/estimates")
@limiter.limit(limits.estimates)
def estimates() -> Response:
    """A selection's estimate."""
    shop = wired().shop
    selection = load_selection(_document())
    return _json(dump_estimate(estimating.estimate(shop, selection), words(), shop.book))


@blueprint.get("/diagram.svg")
@limiter.limit(limits.estimates)
def diagram() -> Response:
    """The drawing of a selection, with its own stylesheet inside."""
    view = request.args.get("view", "sheet")
    if view not in depiction.STANDALONE_VIEWS:
        raise InvalidInput([Fault("view", "not_a_choice", {"id": view[:40], "choices": ", ".join(depiction.STANDALONE_VIEWS)})])
    svg = depiction.standalone(wired().shop, _queried_selection(), view, words())
    response = _packed(svg.encode(), "image/svg+xml; charset=utf-8")
    response.headers["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    response.headers["Cache-Control"] = "public, max-age=300"
    return response


@blueprint.get("/openings")
@limiter.limit(limits.estimates)
def openings() -> Response:
    """Free drop-off places for a selection, in date order; 503 while what is booked can't be read."""
    selection = _queried_selection()
    try:
        agenda = wired().bookings()
    except StoreUnavailable:
        return problem(503, "unexpected")
    return _json(dump_openings(free_places(wired().shop, selection, agenda, wired().clock())))


@blueprint.post("/requests")
@limiter.limit(limits.requests)
def requests() -> Response:
    """Sends a request to the shop."""
    draft, token, honeypot = load_request(_document())
    try:
        guard = form_tokens.check(token)
    except FormRefused as refused:
        return problem(403, refused.code)
    if honeypot:
        return problem(403, "form_forged")
    key = request.headers.get("Idempotency-Key", "")[:80] or f"form-{guard.id}"
    try:
        sent = submitting.submit(draft, wired().desk(), idempotency_key=key)
    except submitting.StaleEstimate as stale:
        return problem(409, stale.code, estimate=dump_estimate(stale.fresh, words(), wired().shop.book))
    link = f"{wired().settings.public_url or request.host_url.rstrip('/')}/r/{sent.token}"
    response = _json({"reference": sent.reference, "link": link, "estimate": dump_estimate(sent.estimate, words(), wired().shop.book)})
    response.status_code = 201
    return response


@blueprint.get("/openapi.json")
@limiter.limit(limits.estimates)
def openapi() -> Response:
    """The OpenAPI 3.1 document."""
    return _cacheable(_openapi(wired().settings.public_url or request.host_url.rstrip("/")))


@lru_cache(maxsize=8)
def _openapi(server: str) -> dict[str, Any]:
    return openapi_document(server)


def _document() -> object:
    if request.mimetype != "application/json":
        raise UnsupportedMediaType
    return parse_json(request.get_data(cache=False))


def _queried_selection() -> Any:
    return selection_from_query(request.args.items(multi=True), ignore=QUERY_EXTRAS.__contains__)


def _json(document: object) -> Response:
    response = _packed(json.dumps(document, ensure_ascii=False).encode(), "application/json")
    response.headers["Cache-Control"] = "no-store"
    return response


def _cacheable(document: object) -> Response:
    data = json.dumps(document, ensure_ascii=False).encode()
    response = _packed(data, "application/json")
    response.set_etag(hashlib.sha256(data).hexdigest()[:24], weak=True)
    response.headers["Cache-Control"] = "public, max-age=60"
    response.headers["Vary"] = "Accept-Encoding, Accept-Language"
    response.make_conditional(request)
    return response


def _packed(data: bytes, kind: str) -> Response:
    packs = len(data) >= PACK_FROM_BYTES and request.accept_encodings.quality("gzip") > 0
    response = make_response(gzip.compress(data, 5, mtime=0) if packs else data)
    response.content_type = kind
    response.headers["Vary"] = "Accept-Encoding"
    if packs:
        response.headers["Content-Encoding"] = "gzip"
    return response
