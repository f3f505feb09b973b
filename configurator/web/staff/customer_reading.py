"""The history of a customer or a car, put into words."""

from dataclasses import dataclass
from datetime import datetime

from configurator.domain.customers import Change, ChangeKind
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.wording.words import Words


@dataclass(frozen=True)
class ReadChange:
    """One entry: what was done, and each field with what stood there before and after."""

    at: str
    moment: datetime
    who: str
    text: str
    fields: tuple[tuple[str, str, str], ...]


def read_change(change: Change) -> ReadChange:
    """The words of one entry."""
    say, at = words(), shop_time(change.at)
    who = change.by.name or say.name("role", change.by.actor.value)
    names = field_names(say)
    fields = tuple((names[name], _shown(name, before, say), _shown(name, after, say)) for name, (before, after) in change.fields.items())
    return ReadChange(say.datetime(at, "medium"), at, who, _kinds(say)[change.kind], fields)


def field_names(say: Words) -> dict[str, str]:
    """What the fields are called, on the form and in the history."""
    return {
        "name": say.gettext("Name"),
        "email": say.gettext("E-mail"),
        "phone": say.gettext("Phone"),
        "company": say.gettext("Company"),
        "tax_number": say.gettext("Tax number"),
        "language": say.gettext("Reads"),
        "description": say.gettext("Make, model and year"),
        "colour": say.gettext("Color"),
        "plate": say.gettext("Plate"),
        "odometer": say.gettext("Odometer"),
        "body": say.gettext("Body"),
    }


def _kinds(say: Words) -> dict[ChangeKind, str]:
    return {
        ChangeKind.CUSTOMER: say.gettext("changed the customer"),
        ChangeKind.VEHICLE: say.gettext("changed the car"),
        ChangeKind.MERGED: say.gettext("made one of two customers"),
    }


def _shown(name: str, value: str, say: Words) -> str:
    if not value:
        return "–"
    if name == "body":
        return say.name("body", value)
    return Words(value).language_name() if name == "language" else value
