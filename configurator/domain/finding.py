"""The words that a request is found by: reference, name, e-mail, phone, plate, body; lower case, without accents."""

import re
import unicodedata
from collections.abc import Iterable

LONGEST_WORD = 60
MOST_QUERY_WORDS = 6
_SIGNS = re.compile(r"[^0-9a-z]+")
LEAST_PHONE_DIGITS = 4


def folded(text: str) -> str:
    """Lower case, accents off, other scripts left as they are (NFKD, combining marks dropped)."""
    spread = unicodedata.normalize("NFKD", text.casefold())
    return "".join(character for character in spread if not unicodedata.combining(character))


def words_of(text: str) -> set[str]:
    """The words of a text: runs of letters and digits in any script."""
    return {word[:LONGEST_WORD] for word in re.findall(r"\w+", folded(text).replace("_", " "))}


def search_words(*, reference: str, email: str, phone: str | None, plate: str, texts: Iterable[str]) -> frozenset[str]:
    """Everything one request is found by; `texts` are name, company, body, car.

    A phone is found by any tail of its digits (people type the local part), a reference and a plate with or without dashes.
    """
    words = set().union(*(words_of(text) for text in (reference, email, plate, *texts)))
    words |= {compact(reference), compact(plate), folded(email)[:LONGEST_WORD]}
    words |= set(_tails(re.sub(r"\D", "", (phone or "").split(";")[0])))
    return frozenset(word for word in words if word)


def customer_words(*, name: str, company: str | None, email: str, phone: str | None, plates: Iterable[str]) -> frozenset[str]:
    """Everything a customer is found by, in the same way; `plates` of all their cars."""
    found = search_words(reference="", email=email, phone=phone, plate="", texts=(name, company or ""))
    for plate in plates:
        found |= words_of(plate) | {compact(plate)}
    return frozenset(word for word in found if word)


def query_words(text: str) -> tuple[str, ...]:
    """What a typed search looks for: all of these, each as the beginning of a word. A phone number is one word of digits."""
    tidy = folded(text.strip())
    if re.fullmatch(r"[+(]?\d[\d\s()./-]{3,}", tidy):
        digits = re.sub(r"\D", "", tidy)
        return ((digits.lstrip("0") or digits)[:LONGEST_WORD],)
    if "@" in tidy:
        return (tidy[:LONGEST_WORD],)
    return tuple(dict.fromkeys(word[:LONGEST_WORD] for word in re.findall(r"\w+", tidy)))[:MOST_QUERY_WORDS]


def compact(text: str) -> str:
    """Without spaces and dashes: `PFB-7K3M` and `pfb 7k3m` are one."""
    return _SIGNS.sub("", folded(text))[:LONGEST_WORD]


def _tails(digits: str) -> Iterable[str]:
    return (digits[start:] for start in range(len(digits) - LEAST_PHONE_DIGITS + 1))
