"""A contact as typed, checked and brought into one form: e-mail normalised, phone as E.164."""

import unicodedata
from dataclasses import replace

import phonenumbers
from email_validator import EmailNotValidError, validate_email

from configurator.domain.review import CarWords, Contact
from configurator.errors import Fault, InvalidInput

LONGEST = {
    "name": 120,
    "email": 254,
    "phone": 40,
    "company": 120,
    "description": 200,
    "colour": 60,
    "plate": 20,
    "note": 1000,
    "notes": 4000,
}
"""Characters. The e-mail's is RFC 5321's longest path without its angle brackets; the others are the shop's own bounds."""


def checked_contact(contact: Contact, *, country: str) -> Contact:
    """The contact in one form. Raises InvalidInput with paths under `contact`. `country` reads a phone without its prefix."""
    faults: list[Fault] = []
    name = checked_text(contact.name, "contact.name", faults, longest=LONGEST["name"], required=True)
    company = checked_text(contact.company or "", "contact.company", faults, longest=LONGEST["company"]) or None
    email = _email(contact.email, faults)
    phone = _phone(contact.phone or "", country, faults)
    if faults:
        raise InvalidInput(faults)
    return replace(contact, name=name, email=email, phone=phone, company=company)


def checked_car(car: CarWords) -> CarWords:
    """The car's words, trimmed. Raises InvalidInput with paths under `car`."""
    faults: list[Fault] = []
    words = {
        name: checked_text(getattr(car, name), f"car.{name}", faults, longest=LONGEST[name], lines=name == "note")
        for name in ("description", "colour", "plate", "note")
    }
    if faults:
        raise InvalidInput(faults)
    return CarWords(**words)


def checked_text(text: str, path: str, faults: list[Fault], *, longest: int, required: bool = False, lines: bool = False) -> str:
    """Trimmed text in Unicode NFC without control characters (line breaks only where `lines`); notes a fault otherwise."""
    tidy = unicodedata.normalize("NFC", text.replace("\r\n", "\n")).strip()
    if any(unicodedata.category(character) in {"Cc", "Cs"} and not (lines and character in "\n\t") for character in tidy):
        faults.append(Fault(path, "unreadable_text"))
    elif len(tidy) > longest:
        faults.append(Fault(path, "text_too_long", {"most": longest}))
    elif required and not tidy:
        faults.append(Fault(path, "missing"))
    return tidy


def _email(text: str, faults: list[Fault]) -> str:
    tidy = text.strip()
    if not tidy:
        faults.append(Fault("contact.email", "missing"))
        return ""
    try:
        return validate_email(tidy, check_deliverability=False).normalized
    except EmailNotValidError:
        faults.append(Fault("contact.email", "email_invalid"))
        return ""


def _phone(text: str, country: str, faults: list[Fault]) -> str | None:
    tidy = text.strip()
    if not tidy:
        return None
    try:
        number = phonenumbers.parse(tidy, country)
    except phonenumbers.NumberParseException:
        number = None
    if number is None or not phonenumbers.is_possible_number(number):
        faults.append(Fault("contact.phone", "phone_invalid"))
        return None
    formatted = phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)
    return f"{formatted};ext={number.extension}" if number.extension else formatted
