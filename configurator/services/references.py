"""References that people can read out over the phone: `PFB-7K3M`."""

import re
import secrets
from collections.abc import Callable

ALPHABET = "346789CDFGHJKMNPQRTVWXY"
"""No vowels (no words by accident), and none of 0/O, 1/I/L, 2/Z, 5/S, 8/B twice: only one of each pair that is misread."""

TRIES_PER_LENGTH = 12


def prefix_of(shop_name: str) -> str:
    """The initials of a shop's name, at most three; `R` when it has no Latin letters."""
    initials = "".join(word[0] for word in re.findall(r"[A-Za-z]+", shop_name))
    return initials[:3].upper() or "R"


def new_reference(shop_name: str, *, is_taken: Callable[[str], bool], length: int = 4) -> str:
    """A reference that isn't taken; grows by a letter when the short ones run out."""
    for _ in range(TRIES_PER_LENGTH):
        reference = f"{prefix_of(shop_name)}-{''.join(secrets.choice(ALPHABET) for _ in range(length))}"
        if not is_taken(reference):
            return reference
    return new_reference(shop_name, is_taken=is_taken, length=length + 1)
