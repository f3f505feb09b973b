"""Phone numbers as people write them."""

import phonenumbers


def phone(number: str) -> str:
    """A stored number (E.164, perhaps with an extension) in international form; what is none stays as it is."""
    try:
        parsed = phonenumbers.parse(number.replace(";ext=", " ext. "))
    except phonenumbers.NumberParseException:
        return number
    return str(phonenumbers.format_number(parsed, phonenumbers.PhoneNumberFormat.INTERNATIONAL))
