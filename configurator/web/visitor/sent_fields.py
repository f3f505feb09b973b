"""The fields of the form that sends a plan, as typed: kept and shown again when something has to be changed."""

from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

MOST_DATES = 3
LONGEST_SHOWN = 2500


@dataclass(frozen=True)
class SentFields:
    """Texts as typed, trimmed by nothing."""

    name: str = ""
    email: str = ""
    phone: str = ""
    description: str = ""
    colour: str = ""
    plate: str = ""
    notes: str = ""
    dates: tuple[str, ...] = ()
    other_date: str = ""
    acknowledged: tuple[str, ...] = ()
    form_token: str = ""
    website: str = ""
    language: str = ""
    price_book: str = ""

    @property
    def all_dates(self) -> tuple[str, ...]:
        """The ticked days and the other one, each once."""
        return tuple(dict.fromkeys((*self.dates, *((self.other_date,) if self.other_date else ()))))


NOTHING_SENT = SentFields()


def sent_fields(form: MultiDict[str, str]) -> SentFields:
    """The fields of a sent form."""
    names = (
        "name", "email", "phone", "description", "colour", "plate", "notes", "other_date", "form_token", "website", "price_book",
        "language",
    )  # fmt: skip
    texts = {name: form.get(name, "")[:LONGEST_SHOWN] for name in names}
    return SentFields(
        **texts,
        dates=tuple(form.getlist("date")[: MOST_DATES + 3]),
        acknowledged=tuple(form.getlist("acknowledged")[:8]),
    )
