"""The request document: who asks, for what, when, and what was acknowledged."""

from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from configurator.domain.review import CarWords, Contact, RequestDraft
from configurator.errors import Fault, InvalidInput
from configurator.wire.faults import refuse
from configurator.wire.fields import Day, Flag, Id, Listed, Part, StrictSchema, Table, Text
from configurator.wire.selection import SelectionSchema, selection_of

MOST_DATES = 3


class ContactSchema(StrictSchema):
    name = Text(longest=120, least=1, required=True)
    email = Text(longest=254, least=3, required=True)
    phone = Text(longest=40, load_default="")
    company = Text(longest=120, load_default="")
    language = Text(longest=20, load_default="")


class CarSchema(StrictSchema):
    """The car in the visitor's own words."""

    description = Text(longest=200, load_default="")
    colour = Text(longest=60, load_default="")
    plate = Text(longest=20, load_default="")
    note = Text(longest=1000, lines=True, load_default="")


class RequestSchema(StrictSchema):
    """`form_token` guards against forged and replayed forms; `website` must stay empty (people never see it)."""

    selection = Part(SelectionSchema, required=True)
    contact = Part(ContactSchema, required=True)
    car = Part(CarSchema, load_default=lambda: CarSchema().load({}))
    dates = Listed(Day(), most=MOST_DATES, load_default=list)
    notes = Text(longest=4000, lines=True, load_default="")
    acknowledged = Listed(Id(), most=8, load_default=list)
    price_book = Text(longest=80, least=1, required=True)
    form_token = Text(longest=400, load_default="")
    website = Text(longest=200, load_default="")
    consents = Table(Flag(), most=20, load_default=dict)


def load_request(document: object) -> tuple[RequestDraft, str, str]:
    """(draft, form token, honeypot) of a document. Raises InvalidInput with every fault of shape."""
    if not isinstance(document, dict):
        raise InvalidInput([Fault("", "must_be_an_object")])
    try:
        loaded = RequestSchema().load(document)
    except ValidationError as error:
        raise refuse(error) from None
    return _draft(loaded), loaded["form_token"], loaded["website"]


def _draft(loaded: dict[str, Any]) -> RequestDraft:
    contact = {name: value or None for name, value in loaded["contact"].items() if name not in {"name", "email"}}
    return RequestDraft(
        selection=selection_of(loaded["selection"]),
        contact=Contact(name=loaded["contact"]["name"], email=loaded["contact"]["email"], **contact),
        price_book=loaded["price_book"],
        car=CarWords(**loaded["car"]),
        dates=tuple(loaded["dates"]),
        notes=loaded["notes"],
        acknowledged=frozenset(loaded["acknowledged"]),
        consents=MappingProxyType(dict(loaded["consents"])),
    )
