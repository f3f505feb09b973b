"""JSON Schemas (2020-12) of the documents that go out. Inputs are generated from their marshmallow schemas (`wire.openapi`)."""

from typing import Any

from configurator.domain.body.records import EdgeKind
from configurator.domain.light import LightStatus
from configurator.domain.selection import Material, Treatment
from configurator.domain.work import Kind, Role, Zone

JsonSchema = dict[str, Any]

NUMBER: JsonSchema = {"type": "number"}
COUNT: JsonSchema = {"type": "integer", "minimum": 0}
TEXT: JsonSchema = {"type": "string"}
SHARE: JsonSchema = {"type": "number", "minimum": 0, "maximum": 1}
MONEY: JsonSchema = {
    "type": "string",
    "pattern": r"^-?\d+(\.\d+)?$",
    "description": "decimal string with the currency's own number of decimals (ISO 4217)",
}
MOMENT: JsonSchema = {"type": "string", "format": "date-time"}
LINE_CODES = (
    "film", "lamp_film", "windshield_film", "labour", "parts", "prep", "consumables", "overhead", "risk", "spread", "discount", "minimum", "tax", "rounding",  # noqa: E501
)  # fmt: skip


def thing(properties: JsonSchema, *, optional: tuple[str, ...] = ()) -> JsonSchema:
    """A closed object whose properties are all there but the optional ones."""
    required = [name for name in properties if name not in optional]
    return {"type": "object", "properties": properties, "required": required, "additionalProperties": False}


def many(items: JsonSchema) -> JsonSchema:
    """An array of `items`."""
    return {"type": "array", "items": items}


def maybe(schema: JsonSchema) -> JsonSchema:
    """The schema, or null."""
    return {"anyOf": [schema, {"type": "null"}]}


def one_of(values: Any) -> JsonSchema:
    """One of an enumeration's words."""
    return {"type": "string", "enum": [str(value) for value in values]}


RANGE = thing({"typical": NUMBER, "high": NUMBER})

PRICE = thing(
    {
        "currency": {"type": "string", "pattern": "^[A-Z]{3}$"},
        "low": MONEY,
        "typical": MONEY,
        "high": MONEY,
        "tax": one_of(("excluded", "included")),
        "confidence": SHARE,
    }
)

TIME = thing(
    {
        "labour_hours": RANGE,
        "bay_hours": RANGE,
        "days_off_road": thing({"typical": COUNT, "high": COUNT}),
        "drop_off": maybe(MOMENT),
        "hand_back": thing({"typical": maybe(MOMENT), "high": maybe(MOMENT)}),
    }
)

PANEL = thing(
    {
        "id": TEXT,
        "name": TEXT,
        "covered": {"type": "boolean"},
        "covered_area_m2": {"type": "number", "minimum": 0},
        "area_m2": {"type": "number", "minimum": 0},
        "finish": maybe(TEXT),
        "film": maybe(TEXT),
        "material": one_of(Material),
        "edges": many(thing({"kind": one_of(EdgeKind), "length_mm": NUMBER, "treatment": one_of(Treatment), "part": maybe(TEXT)})),
        "seam_mm": NUMBER,
        "difficulty": SHARE,
        "reason": maybe(TEXT),
    }
)

FILM = thing(
    {
        "film": TEXT,
        "roll_width_mm": NUMBER,
        "length_m": {"type": "number", "minimum": 0},
        "pieces": COUNT,
        "piece_area_m2": {"type": "number", "minimum": 0},
        "waste_share": {"type": "number", "maximum": 1},
    }
)

LIGHT = thing(
    {
        "lamp": one_of(("headlamps", "fog_lamps", "tail_lamps", "windshield")),
        "film": TEXT,
        "transmission": SHARE,
        "reflector": maybe(SHARE),
        "needs_times_minimum": maybe(NUMBER),
        "status": one_of(LightStatus),
        "functions": many(
            thing(
                {
                    "function": TEXT,
                    "status": one_of(LightStatus),
                    "source": TEXT,
                    "minimum_cd": NUMBER,
                    "maximum_cd": NUMBER,
                    "as_built_minimum_cd": NUMBER,
                    "left_cd": NUMBER,
                },
                optional=("minimum_cd", "maximum_cd", "as_built_minimum_cd", "left_cd"),
            )
        ),
    }
)

ESTIMATE = thing(
    {
        "version": {"const": 1},
        "selection": {"$ref": "#/components/schemas/Selection"},
        "price_book": TEXT,
        "price": PRICE,
        "time": TIME,
        "panels": many(PANEL),
        "film": many(FILM),
        "parts_off": many(thing({"id": TEXT, "part": TEXT, "panel": TEXT, "role": one_of(Role), "minutes": NUMBER})),
        "light": many(LIGHT),
        "lines": many(thing({"code": one_of(LINE_CODES), "label": TEXT, "low": MONEY, "typical": MONEY, "high": MONEY, "why": TEXT})),
        "drivers": many(thing({"code": TEXT, "label": TEXT, "share": SHARE})),
        "cautions": many(
            thing({"code": TEXT, "severity": one_of(("info", "care", "stop")), "text": TEXT, "where": maybe(TEXT), "source": maybe(TEXT)})
        ),
        "assumptions": many(TEXT),
        "reason": maybe(one_of(("nothing_chosen", "nothing_coverable"))),
    }
)

WORK = thing(
    {
        "operations": many(
            thing(
                {
                    "id": TEXT,
                    "kind": one_of(Kind),
                    "panel": maybe(TEXT),
                    "role": maybe(one_of(Role)),
                    "zone": one_of(Zone),
                    "after": many(TEXT),
                    "minutes": thing({"least": NUMBER, "usual": NUMBER, "most": NUMBER, "planned": NUMBER}),
                    "placed": many(thing({"who": TEXT, "start": MOMENT, "end": MOMENT})),
                }
            )
        )
    }
)

NAMED = thing({"id": TEXT, "name": TEXT})

CATALOG = thing(
    {
        "version": {"const": 1},
        "locale": TEXT,
        "price_book": TEXT,
        "currency": TEXT,
        "bodies": many(
            thing(
                {
                    "id": TEXT,
                    "name": TEXT,
                    "typical": {"type": "object", "additionalProperties": NUMBER},
                    "plausible": {
                        "type": "object",
                        "additionalProperties": {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2},
                    },
                    "usual_features": many(TEXT),
                    "possible_features": many(TEXT),
                    "panels": many(NAMED),
                }
            )
        ),
        "features": many(NAMED),
        "finishes": many(NAMED),
        "films": many(
            thing({"id": TEXT, "name": TEXT, "kind": one_of(("body", "lamp", "windshield")), "finish": TEXT, "transmission": maybe(SHARE)})
        ),
        "packages": many(NAMED),
        "edges": many(NAMED),
        "lamp_films": many(NAMED),
        "regions": many(NAMED),
        "materials": many(NAMED),
    }
)

OPENINGS = thing(
    {
        "openings": many(
            thing(
                {
                    "drop_off": MOMENT,
                    "hand_back": thing({"typical": MOMENT, "high": MOMENT}),
                    "days_off_road": thing({"typical": COUNT, "high": COUNT}),
                    "shortest": {"type": "boolean"},
                }
            )
        )
    }
)

PROBLEM: JsonSchema = {
    "type": "object",
    "description": "RFC 9457 problem details",
    "properties": {
        "type": TEXT,
        "title": TEXT,
        "status": {"type": "integer"},
        "code": TEXT,
        "detail": TEXT,
        "errors": many(thing({"path": TEXT, "code": TEXT, "message": TEXT})),
        "reference": TEXT,
        "estimate": {"$ref": "#/components/schemas/Estimate"},
    },
    "required": ["type", "title", "status", "code"],
}

SUBMITTED = thing({"reference": TEXT, "link": TEXT, "estimate": {"$ref": "#/components/schemas/Estimate"}}, optional=("estimate",))

SCHEMAS: JsonSchema = {
    "Estimate": ESTIMATE,
    "Work": WORK,
    "Catalog": CATALOG,
    "Openings": OPENINGS,
    "Problem": PROBLEM,
    "Submitted": SUBMITTED,
}
