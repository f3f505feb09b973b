"""Which locale a reader gets: the language from our catalogues, figures and dates from the whole CLDR locale."""

import re
from collections.abc import Iterable
from functools import lru_cache

from babel import Locale, UnknownLocaleError

from configurator.wording.catalogue import languages

DEFAULT_LOCALE = "en_US"
_WELL_FORMED = re.compile(r"[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8}){0,3}\Z")


def available_locales() -> tuple[str, ...]:
    """One locale for each language we have words in, as a language menu offers them."""
    return tuple(DEFAULT_LOCALE if language == "en" else language for language in languages())


def negotiate(accepted: Iterable[str]) -> str:
    """The first of `accepted` (best first, `de-AT` or `de_AT`) whose language we have words in, else the default.

    The territory is kept, so that a reader in Vienna gets German words with Austrian figures. A bare `en` is `en_US`.
    """
    for tag in accepted:
        locale = known_locale(tag)
        if locale is not None and locale.language in languages():
            return DEFAULT_LOCALE if str(locale) == "en" else str(locale)
    return DEFAULT_LOCALE


@lru_cache(maxsize=256)
def known_locale(tag: str) -> Locale | None:
    """The CLDR locale of a language tag, or of the nearest shorter tag that CLDR has; None for nonsense."""
    if not _WELL_FORMED.match(tag):
        return None
    parts = re.split("[-_]", tag)
    for length in range(len(parts), 0, -1):
        try:
            return Locale.parse("_".join(parts[:length]))
        except (UnknownLocaleError, ValueError):
            continue
    return None
