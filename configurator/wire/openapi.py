"""The OpenAPI 3.1 document, generated from the very schemas that read the documents."""

from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import fields

from configurator import __version__
from configurator.wire import fields as strict
from configurator.wire.output_schemas import SCHEMAS
from configurator.wire.request import RequestSchema
from configurator.wire.selection import SelectionSchema

Document = dict[str, Any]
VIEWS = ("left", "right", "front", "top", "rear", "sheet", "front_left", "front_right", "rear_left", "rear_right")


def openapi_document(server: str) -> Document:
    """The document for a server address."""
    marshmallow = MarshmallowPlugin(schema_name_resolver=_component_name)
    spec = APISpec(
        title="Tuckline",
        version=__version__,
        openapi_version="3.1.0",
        info={
            "description": "Coverage packages, price ranges and days off-road for a paint-protection-film shop.",
            "license": {"name": "see README"},
        },
        servers=[{"url": server}],
        plugins=[marshmallow],
    )
    assert marshmallow.converter is not None
    marshmallow.converter.add_attribute_function(_field_schema)  # type: ignore[no-untyped-call]
    spec.components.schema("Selection", schema=SelectionSchema)
    spec.components.schema("Request", schema=RequestSchema)
    for name, schema in SCHEMAS.items():
        spec.components.schema(name, schema)
    for path, operations in PATHS.items():
        spec.path(path, operations=operations)
    return _closed(spec.to_dict())


def _component_name(schema: Any) -> str:
    made: type[Any] = schema if isinstance(schema, type) else type(schema)
    return made.__name__.removesuffix("Schema")


def _field_schema(self: Any, field: fields.Field[Any], **_: Any) -> Document:
    """JSON Schema of our own fields; apispec knows the library's."""
    if isinstance(field, strict.Number):
        kind = "integer" if isinstance(field, strict.Whole) else "number"
        return {"type": kind, "minimum": field.low, "maximum": field.high}
    if isinstance(field, strict.Flag):
        return {"type": "boolean"}
    if isinstance(field, strict.Id):
        return {"type": "string", "pattern": f"^{field.FORM.pattern}$"}
    if isinstance(field, strict.Text):
        return {"type": "string", "minLength": field.least, "maxLength": field.longest}
    if isinstance(field, strict.Choice):
        return {"type": "string", "enum": [str(word) for word in field.choices]}
    if isinstance(field, strict.Day):
        return {"type": "string", "format": "date"}
    if isinstance(field, strict.Listed):
        return {"maxItems": field.most, "uniqueItems": True}
    return {}


def _closed(document: Document) -> Document:
    """Unknown names are refused, and the document says so; library defaults that aren't JSON are dropped."""
    for schema in document["components"]["schemas"].values():
        if schema.get("type") == "object":
            schema.setdefault("additionalProperties", False)
        for part in schema.get("properties", {}).values():
            if isinstance(part, dict):
                part.pop("default", None)
    document["components"]["schemas"]["Problem"]["additionalProperties"] = True
    return document


def _answer(text: str, schema: str | None = None, media: str = "application/json") -> Document:
    content: Document = {media: {"schema": {"$ref": f"#/components/schemas/{schema}"}}} if schema else {media: {}}
    return {"description": text, "content": content}


def _faults(*statuses: int) -> Document:
    texts = {
        400: "not readable (not JSON, not UTF-8, nested too deeply)",
        403: "the form token is missing, stale or for another site",
        404: "no such address",
        409: "the price book changed since the visitor saw the price; `estimate` holds the fresh one",
        413: "the body is over the bound",
        415: "not sent as application/json",
        422: "understood, but something in it can't be; `errors` names each path",
        429: "too many from this address",
    }
    return {str(status): _answer(texts[status], "Problem", "application/problem+json") for status in statuses}


LANGUAGE = {"in": "query", "name": "lang", "schema": {"type": "string"}, "description": "language of the texts; otherwise Accept-Language"}
SELECTION_QUERY = {
    "in": "query",
    "name": "selection",
    "style": "form",
    "explode": True,
    "schema": {
        "type": "object",
        "properties": {"body": {"type": "string"}},
        "required": ["body"],
        "additionalProperties": {"type": "string"},
    },
    "description": "the selection as flat keys (body, package, add, remove, finish, edges, lamp.headlamps, ...), as in the configurator's links",  # noqa: E501
}


def _json_body(schema: str) -> Document:
    return {"required": True, "content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{schema}"}}}}


PATHS: Document = {
    "/api/v1/catalog": {
        "get": {
            "summary": "What there is to choose from",
            "operationId": "catalog",
            "parameters": [LANGUAGE],
            "responses": {"200": _answer("the catalogue", "Catalog"), **_faults(429)},
        }
    },
    "/api/v1/estimates": {
        "post": {
            "summary": "A selection's price range, appointment length and days off-road",
            "operationId": "estimate",
            "parameters": [LANGUAGE],
            "requestBody": _json_body("Selection"),
            "responses": {"200": _answer("the estimate", "Estimate"), **_faults(400, 413, 415, 422, 429)},
        }
    },
    "/api/v1/diagram.svg": {
        "get": {
            "summary": "The drawing of a selection",
            "operationId": "diagram",
            "parameters": [LANGUAGE, {"in": "query", "name": "view", "schema": {"type": "string", "enum": list(VIEWS)}}, SELECTION_QUERY],
            "responses": {"200": _answer("the drawing", None, "image/svg+xml"), **_faults(422, 429)},
        }
    },
    "/api/v1/openings": {
        "get": {
            "summary": "The next free drop-off dates for a selection",
            "operationId": "openings",
            "parameters": [LANGUAGE, SELECTION_QUERY],
            "responses": {"200": _answer("free places in date order", "Openings"), **_faults(422, 429)},
        }
    },
    "/api/v1/requests": {
        "post": {
            "summary": "Send a request to the shop",
            "operationId": "submit",
            "parameters": [
                LANGUAGE,
                {
                    "in": "header",
                    "name": "Idempotency-Key",
                    "schema": {"type": "string", "maxLength": 80},
                    "description": "the same key gives the same answer",
                },
            ],
            "requestBody": _json_body("Request"),
            "responses": {"201": _answer("received", "Submitted"), **_faults(400, 403, 409, 413, 415, 422, 429)},
        }
    },
    "/api/v1/openapi.json": {
        "get": {
            "summary": "This document",
            "operationId": "openapi",
            "responses": {"200": _answer("OpenAPI 3.1"), **_faults(429)},
        }
    },
}
